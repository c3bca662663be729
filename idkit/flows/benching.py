"""The user's bench: its scales, tools and words, and the check of a scale."""

from __future__ import annotations

from idkit import ask, keep
from idkit.errors import CallError
from idkit.vocabulary import Bench

WORDS = ("uk", "us")
CELLS = ("comma", "semicolon")


def bench() -> Bench:
    """The bench as it was last saved."""
    return keep.read_bench()


def tools() -> tuple[str, ...]:
    """The tools that some check needs and that not every bench has."""
    return tuple(dict.fromkeys(check.tool for check in ask.checks().values() if check.tool))


def save_scale(name: str, step: str) -> Bench:
    """Save a scale by its name and the step it weighs in, as typed."""
    return keep.save_scale(name, ask.parse_mass(step, "step").value)


def own(tool: str, *, gone: bool = False) -> Bench:
    """Note that a tool is at hand, or gone; CallError for one that no check needs."""
    return keep.own(_one_of("tool", tool, tools()), gone=gone)


def set_magnet(kind: str) -> Bench:
    """Note which kind of magnet is on the bench."""
    return keep.set_magnet(str(ask.checks()["magnet-kind"].parse(kind).value))


def set_words(words: str) -> Bench:
    """Whose words stand on the screens: uk or us."""
    return keep.set_words(_one_of("words", words, WORDS))


def set_cells(between: str) -> Bench:
    """What the spreadsheet at hand puts between cells: comma or semicolon; tables are written so."""
    return keep.set_cells(_one_of("cells", between, CELLS))


def check_scale(shown: str, pieces: str) -> ask.ScaleCheck:
    """What a scale shows for pieces of published mass: see ask."""
    return ask.check_scale(shown, pieces)


def on_this_bench(scale: str, typed: dict[str, str], known: Bench) -> dict[str, str]:
    """The answers with what the bench adds: a scale by its saved name or its step, and the magnet where it was held.

    CallError for a scale that is neither saved nor a weight.
    """
    found = dict(typed)
    if scale.strip():
        name = scale.strip().lower()
        if name in known.scales:
            found["scale"] = f"{name}: {known.scales[name] * 1000:g} g"
        elif name[0].isdigit():
            found["scale"] = scale
        else:
            saved = ", ".join(known.scales) or "none yet"
            raise CallError("--scale", f"got {scale!r}", f"a step such as '1 g' or a saved scale ({saved})")
    if known.magnet and found.get("magnet", "").strip() and "magnet-kind" not in found:
        found["magnet-kind"] = known.magnet
    return found


def _one_of(thing: str, said: str, options: tuple[str, ...]) -> str:
    name = " ".join(said.lower().split())
    if name not in options:
        raise CallError(thing, f"got {said!r}", " or ".join(options))
    return name
