"""Why, in words, with the numbers beside what is usual; and the question for the yard."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from idkit import facts
from idkit.decide.fuse import senses
from idkit.vocabulary import Answer, Evidence, Floats, Material, Pile, Reading

AGAINST = np.log(8.0)  # an answer speaks against a material that explains it this much worse than the best does
WORTH_NAMING = 0.03  # chance of a material without this answer, under which nobody thought of it
MENTIONED = 3  # materials spoken against in one reason
OUT_OF_TEN = "{:.0f} in 10"

SPOKEN = {"weight-in-water": "jar reading"}  # what a check is called where its name is not the bench's word
SEEN = {
    "copper-red": "copper red",
    "brass-yellow": "brass yellow",
    "grey-white": "plain grey or white metal",
    "rust-brown": "rust brown",
    "not-metal": "paint, plastic or print rather than bare metal",
}


def reasons(
    evidence: Evidence,
    materials: Sequence[Material],
    found: Floats,
    each: Mapping[str, Floats],
) -> tuple[str, ...]:
    """One sentence for the photo and one for each answer that bears on the material, in that order.

    `each` holds the log factors of the chances `found`, as fuse names them.
    """
    first = materials[int(np.argmax(found))]
    use_photo, answers = senses(evidence)
    said = list(_of_photo(evidence))
    if evidence.photo is not None and not use_photo and not evidence.photo.unlike:
        said.append("the photo's white is not known, so the colour of the scratch is taken from the eye alone")
    unasked = np.log(found) - sum(factor for name, factor in each.items() if name != "photo")
    for name, factor in each.items():
        if name != "photo":
            measured = _VALUES.get(name, _named)(answers[name], first)
            said.append(f"{SPOKEN.get(name, name.replace('-', ' '))}: {measured}{_against(factor, materials, unasked)}")
    return tuple(said)


def confirm_line(likeliest: Sequence[Material], pile: Pile, *, one_pile: bool, sure: bool) -> str:
    """The one question to say aloud at the yard, fitted to what is still open. Every verdict ends with it."""
    first, second = likeliest
    if first.id == "something-else":
        return "Confirm at the yard: 'I can't name this one: would you put the XRF gun on it?'"
    if sure:
        return f"Confirm at the yard: 'I take this for {first.name}: is it your {pile.category.name}?'"
    if one_pile:
        return f"Confirm at the yard: 'I think this is {first.name}: does it go with {pile.category.name}?'"
    return f"Confirm at the yard: 'Is this {first.name}, or could it be {second.name}?'"


def confirm_pile(pile: Pile) -> str:
    """The question where the form alone decides the pile, whatever metal is inside."""
    return f"Confirm at the yard: 'I would put this with {pile.category.name}: do you agree?'"


def confirm_closed() -> str:
    """The question about a thing that stays closed, and so goes on no pile."""
    return "Confirm at the yard: 'Do you take a thing like this, closed as it is?'"


def confirm_afar() -> str:
    """What is said of a thing that nobody should carry about."""
    return "Confirm with the yard by telephone only, and leave it where it lies."


def tenths(chance: float) -> str:
    """A chance as hand sorters say it.

    >>> tenths(0.62), tenths(0.97), tenths(0.02)
    ('6 in 10', 'nearly certain', 'hardly')
    """
    if chance >= 0.95:
        return "nearly certain"
    if chance < 0.05:
        return "hardly"
    return OUT_OF_TEN.format(min(9, max(1, round(10 * chance))))


def _of_photo(evidence: Evidence) -> list[str]:
    if evidence.photo is None:
        return []
    family = max(evidence.photo.families, key=evidence.photo.families.__getitem__)
    chance = evidence.photo.families[family]
    said = f"the photo shows {SEEN[family]} ({tenths(chance)}){_colour(evidence.readings)}"
    if family == "grey-white" and evidence.surface != "scratched":
        said += "; a photo can't tell which grey metal"
    elif evidence.surface != "scratched" and family in ("copper-red", "brass-yellow"):
        said += "; plating can look the same"
    return [
        said,
        *(
            ["it is unlike anything idkit knows, so what the photo shows is not counted"]
            if evidence.photo.unlike
            else []
        ),
    ]


def _colour(readings: Sequence[Reading]) -> str:
    known = {reading.name: reading.value for reading in readings}
    hue, chroma = known.get("hue", float("nan")), known.get("chroma", float("nan"))
    if np.isnan(chroma):
        return ""
    if np.isnan(hue):
        return f": chroma {chroma:.0f}, too grey for a hue"
    beside = f"{_polished('copper', 'copper-querry')}, {_polished('yellow brass', 'cu70-zn30')}"
    return f": hue {hue:.0f}°, chroma {chroma:.0f} ({beside})"


def _polished(name: str, optics: str) -> str:
    bare = facts.colours()[optics]
    hue, chroma = np.degrees(np.arctan2(bare.b, bare.a)), np.hypot(bare.a, bare.b)
    return f"polished {name} {hue:.0f}° and {chroma:.0f}"


def _named(answer: Answer, first: Material) -> str:
    del first
    return str(answer.value).replace("-", " ")


def _words(answer: Answer, first: Material) -> str:
    del first
    return f"'{answer.typed}'" + (
        ", which says nothing of the metal: kept as a note" if answer.value == "unknown" else ""
    )


def _magnet(answer: Answer, first: Material) -> str:
    pull = {"none": "no pull", "weak": "a weak pull", "strong": "a strong pull", "in-places": "pull in places only"}
    usual = max(first.magnet, key=first.magnet.__getitem__)
    return f"{pull[str(answer.value)]} (usual for {first.name}: {usual}, {100 * first.magnet[usual]:.0f} in 100)"


def _thickness(answer: Answer, first: Material) -> str:
    usual = f" (usual for {first.name}: {1e3 * first.thickness_low:.1f} to {1e3 * first.thickness_high:.1f})"
    rough = answer.uncertainty > 0.2 * float(answer.value)  # a range
    said = answer.typed if rough and answer.typed else f"{1e3 * float(answer.value):.1f} mm"
    return said + (usual if np.isfinite(first.thickness_low) else "")


def _density(answer: Answer, first: Material) -> str:
    measured = f"{float(answer.value) / 1e3:.2f} ± {answer.uncertainty / 1e3:.2f} g/cm³"
    return f"{measured} ({first.name}: {first.density_low / 1e3:.2f} to {first.density_high / 1e3:.2f})"


_VALUES: Mapping[str, Callable[[Answer, Material], str]] = {
    "magnet": _magnet,
    "thickness": _thickness,
    "weight-in-water": _density,
    "came-out-of": _words,
    "marked": _words,
}


def _against(factor: Floats, materials: Sequence[Material], unasked: Floats) -> str:
    """Which materials this answer speaks against, of those that were likely before anything was asked (log chances)."""
    before = np.exp(unasked - unasked.max())
    worse = (factor < factor.max() - AGAINST) & (before > WORTH_NAMING * before.sum())
    order = [i for i in np.argsort(-before) if worse[i]][:MENTIONED]
    return f"; speaks against {', '.join(materials[i].name for i in order)}" if order else ""
