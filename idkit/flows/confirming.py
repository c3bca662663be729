"""What a part turned out to be, as a yard, an analyser or the user says; and lines paid below what was claimed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from idkit import facts, keep, yard
from idkit.errors import CallError
from idkit.flows.keeping import numbers_of
from idkit.flows.naming import material_named, pile_named
from idkit.flows.piling import USUAL, pile_at, pile_of, ways_of
from idkit.vocabulary import BY, Answers, Kept, Label, Yard


@dataclass(frozen=True)
class Voice:
    """Who says it: `by` is of BY, `yard` the yard's name where it is one, `note` whatever else was said."""

    by: str
    yard: str = ""
    note: str = ""


def confirm(records: str, material: str, pile: str, voice: Voice) -> tuple[tuple[Kept, Label], ...]:
    """Note what parts turned out to be: one material, or the pile that a yard took them for; nothing is overwritten.

    `records` are numbers as typed. Gives each record as it was before, and the label that was added. CallError for an
    unknown record, material or pile, or where not exactly one of material and pile is said.
    """
    _refuse_both(material, pile)
    voice, found = _heard(voice), keep.known(numbers_of(records))
    answers, at = keep.answers([each.record for each in found]), _yard_of(voice)
    labels = tuple(label_of(each.record, answers[each.record], material, pile, voice, at) for each in found)
    keep.confirm(labels)
    return tuple(zip(found, labels, strict=True))


def withdraw(records: str, voice: Voice) -> tuple[Kept, ...]:
    """Take back what this voice said of parts; it stays in the store as taken back."""
    heard, found = _heard(voice), keep.known(numbers_of(records))
    gone = []
    for each in found:
        said = {label.yard for label in standing_of(keep.show(each.record).labels) if label.by == heard.by}
        names = [heard.yard, *([] if voice.yard.strip() else [""])]  # a yard without a name, as long as none was in use
        name = next((name for name in names if name in said), None)
        if name is None:
            got = f"got record {each.record}, of which {spoken(heard)} said nothing that stands"
            raise CallError("--withdraw", got)
        gone.append(Label(each.record, "", heard.by, name, (), "", heard.note, withdrawn=True))
    keep.confirm(gone)
    return found


def label_of(record: int, answers: Answers, material: str, pile: str, voice: Voice, at: Yard = USUAL) -> Label:
    """What was said of one part, as a label: a material, or all that a pile takes of such a part at that yard."""
    if material:
        name = material_named(material)
        return Label(record, "", voice.by, voice.yard, (name,), pile_of(name, answers).category.id, voice.note)
    named = pile_named(pile)
    return Label(record, "", voice.by, voice.yard, _takes(named, answers, at), named, voice.note)


def _takes(pile: str, answers: Answers, at: Yard) -> tuple[str, ...]:
    """Materials that go on a pile, given the part's form and thickness; as the pile's row has it where none would.

    A yard that puts piles together does not tell what is on one from what is on another.
    """
    goes, put_with = pile_at(ways_of(at)), yard.goes_with(at, pile)
    fitting = tuple(name for name in facts.materials() if goes(name, answers).category.id == put_with)
    return fitting or facts.categories()[pile].materials


def _yard_of(voice: Voice) -> Yard:
    """The yard that says it, with its ways where they are known."""
    there = yard.yards_in(keep.acts("yard")).known if voice.by == "yard" and voice.yard else {}
    name = yard.known_name(voice.yard, there)
    return there[name] if name else USUAL


@dataclass(frozen=True)
class Paid:
    """A line that a yard paid below what was claimed, as typed; `material` is what its `culprit` was called."""

    records: str
    claimed: str
    paid: str
    yard: str
    reason: str
    culprit: str = ""
    material: str = ""


def downgraded(line: Paid) -> keep.Downgrade:
    """Note such a line. No part of it gets a label but the culprit, where the yard said what that is."""
    if line.material and not line.culprit:
        raise CallError("--is", f"got {line.material!r} without --culprit", "the record that it is said of")
    if not line.reason.strip():
        raise CallError("--reason", "got nothing", "what the yard said", 'try --reason "steel screws in it"')
    culprit = numbers_of(line.culprit, most=1)[0] if line.culprit else None
    claimed, paid = pile_named(line.claimed), pile_named(line.paid)
    if claimed == paid:
        raise CallError("--paid", f"got {line.paid!r}, which is what was claimed", "what the yard paid it as")
    sold = numbers_of(line.records)
    keep.known([*sold, *([] if culprit is None else [culprit])])
    kept = keep.Downgrade(yard_heard(line.yard.strip()), claimed, paid, line.reason.strip(), sold, culprit)
    label = None
    if culprit is not None and line.material:
        voice = Voice("yard", kept.yard, kept.reason)
        label = label_of(culprit, keep.answers([culprit])[culprit], line.material, "", voice)
    keep.downgrade(kept, label)
    return kept


def spoken(voice: Voice) -> str:
    """Who says it, in words.

    >>> spoken(Voice("yard", "North gate")), spoken(Voice("self"))
    ('the yard North gate', 'you')
    """
    who = {"analyser": "the analyser", "yard": "the yard", "self": "you"}[voice.by]
    return f"{who} {voice.yard}" if voice.yard else who


def voice_of(label: Label) -> Voice:
    """Who said a label."""
    return Voice(label.by, label.yard, label.note)


def standing_of(labels: Sequence[Label]) -> tuple[Label, ...]:
    """The newest label of each voice that was not taken back, the surest voice first."""
    return keep.standing(labels)


def _heard(voice: Voice) -> Voice:
    """Who says it, a yard by the name that it has here; nobody's yard is the one in use."""
    by, named = voice.by.strip().lower() or ("yard" if voice.yard.strip() else ""), " ".join(voice.yard.split())
    if by not in BY:
        raise CallError("--by", f"got {voice.by!r}", ", ".join(BY), "say who told you what it is")
    if by == "self" and named:
        raise CallError("--yard", f"got {named!r} with --by self", "a yard with --by yard or analyser")
    if by == "yard":
        named = yard_heard(named)
    return Voice(by, named, voice.note.strip())


def yard_heard(said: str) -> str:
    """A yard's name as it was first written, the one in use where none is said; CallError for one misspelt."""
    there = yard.yards_in(keep.acts("yard"))
    known, folded = yard.known_name(said, there.known), {name.casefold(): name for name in there.known}
    if not known and (near := get_close_matches(said.casefold(), folded, 1)):
        right = folded[near[0]]
        raise CallError("--yard", f"got {said!r}, which is no yard", right, "idkit yard new begins another")
    return known or said or there.in_use or ""


def _refuse_both(material: str, pile: str) -> None:
    if bool(material.strip()) == bool(pile.strip()):
        got = f"got both {material!r} and {pile!r}" if material.strip() else "got neither a material nor --category"
        raise CallError("confirm", got, "a material, or the pile that the yard took it for")
