"""Samples to and from other people: exported without what is private, imported with a stranger's care."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

from idkit import ask, facts, keep, see
from idkit.errors import CallError, IdkitError, PhotoError
from idkit.flows.describing import described
from idkit.vocabulary import Entry, KeptPhoto

NUMBERS = ("thickness", "weight", "jar", "hung", "weight-in-water", "size", "scale")
TOGETHER = 0.01  # by which the chances of a sample may miss 1, from rounding


def export_samples(path: Path, *, words: bool = False) -> int:
    """Write one's own confirmed samples into a package; how many. CallError where there are none, or for no .zip.

    With `words`, notes, names of yards and what was typed of origin and marks go with them.
    """
    if path.suffix.lower() != ".zip" or path.is_dir():
        raise CallError(str(path), "is no name for a package", "a file that ends in .zip")
    own = tuple(sample for sample in keep.samples() if not sample.package)
    if not own:
        raise CallError(
            str(path), "got nothing to write: nobody has confirmed a part", "", "idkit confirm RECORD MATERIAL"
        )
    keep.write_package(path, own, words=words)
    return len(own)


def import_samples(path: Path, weight: float = 1.0) -> keep.Imported:
    """Take a package in, all of it or nothing; its samples weigh `weight` in learning, 0 to 1.

    CallError where anything in it is not what it should be.
    """
    if not 0.0 <= weight <= 1.0:
        raise CallError("--weight", f"got {weight:g}", "0 (left out of learning) to 1 (as much as your own)")
    known = (*facts.materials(), *(row.id for row in described()))
    package = keep.read_package(path, known, tuple(facts.categories()), tuple(ask.checks()))
    for number, shared in enumerate(package.samples, 1):
        if fault := _fault(shared.entry):
            right = "a package that idkit samples export wrote"
            raise CallError(str(path), f"samples.jsonl, line {number}: {fault}", right, "nothing of it was taken")
    try:
        cleaned = tuple(
            replace(shared, entry=replace(shared.entry, photos=tuple(map(_cleaned, shared.entry.photos))))
            for shared in package.samples
        )
    except PhotoError as error:
        raise CallError(str(path), f"holds a bad {error}", "", "nothing of it was taken") from error
    return keep.keep_package(replace(package, samples=cleaned), weight)


def _fault(entry: Entry) -> str:
    """What in a stranger's sample learning could not take; '' where it could take all of it."""
    if not math.isclose(sum(entry.chances.values()), 1.0, abs_tol=TOGETHER):
        return f"chances: got a sum of {sum(entry.chances.values()):g}; right is 1"
    for name, answer in entry.answers.items():
        unknown = name == "form" and answer.value not in facts.forms()
        if unknown or isinstance(answer.value, float) is not (name in NUMBERS):
            return f"answers: {name} can't be {str(answer.value)[:40]!r}"
        others = {other: each for other, each in entry.answers.items() if other != name}
        try:
            told = [ask.checks()[name].likelihood(material, answer, others) for material in facts.materials().values()]
        except (ArithmeticError, LookupError, TypeError, ValueError, IdkitError):
            told = [math.nan]
        if not all(math.isfinite(each) and each >= 0 for each in told):
            return f"answers: {name} can't be {str(answer.value)[:40]!r}"
    return ""


def _cleaned(photo: KeptPhoto) -> KeptPhoto:
    """A photo with its thumbnail saved anew, and known by that, not by what the package says."""
    thumbnail = see.cleaned(photo.thumbnail)
    return replace(photo, thumbnail=thumbnail, likeness=see.likeness(thumbnail))
