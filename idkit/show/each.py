"""Several parts in one photo: a block of three lines a part, and the photo with every part outlined and numbered."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path

from idkit import flows
from idkit.flows import Identified, Several
from idkit.show import pictures, words
from idkit.vocabulary import Photo, Record

FIRST = 3  # materials named for each part
CONFIRM = "Confirm at the yard, part by part: a wrong piece costs the whole bucket. For one part's reasons: --json."
NOTHING = "No part found: lay the parts apart on white paper, all in the picture, and take it again."
LARGE = 1600  # longer side of the numbered picture, in pixels
TYPE = (0.016, 0.032)  # smallest and largest size of a name in it, as a share of that
NARROW = 9  # letters of a name to a line
CLEAR = 0.5  # chance from which a material or a family is named
FAMILY = {
    "copper-red": "copper red",
    "brass-yellow": "brass yellow",
    "grey-white": "grey metal",
    "rust-brown": "rust brown",
    "not-metal": "no bare metal",
}


def lines(found: Several) -> Iterator[tuple[str, str]]:
    """Every photo's parts as (style, line) pairs, what to beware of, and the reminder that the yard decides."""
    for photo, parts in found.photos:
        yield "title", f"{Path(photo.file).name}: {_counted(len(parts))}"
        yield "", ""
        if not parts:
            yield "doubt", f"  {NOTHING}"
        for number, part in enumerate(parts, 1):
            yield from _block(number, part.record)
        records = [part.record for part in parts]
        yield from _problems(records)
        yield from _cautions(records)
        yield "", ""
    if any(part.record.verdict.simulated for _, parts in found.photos for part in parts):
        yield "dim", words.SIMULATED
    yield "title", CONFIRM
    numbers = [part.record.kept for _, parts in found.photos for part in parts if part.record.kept is not None]
    if numbers:
        yield "good", f"Kept as {'record' if len(numbers) == 1 else 'records'} {_runs(numbers)}."


def draw(found: Several, path: Path) -> None:
    """Write the first photo as PNG, every part of it outlined and numbered as in the list."""
    photo, parts = found.photos[0]
    pictures.write(_numbered(photo, parts), path)


def _counted(count: int) -> str:
    return "1 part" if count == 1 else f"{count or 'no'} parts"


def _block(number: int, record: Record) -> Iterator[tuple[str, str]]:
    verdict = record.verdict
    yield ("good" if verdict.sure else "doubt"), f"{number:3}  {words.answer(record)}"
    first = list(verdict.chances.items())[:FIRST]
    yield "", "     " + ", ".join(f"{flows.name_of(name)} {words.odds(chance)}" for name, chance in first)
    if verdict.next_check is not None:
        check = verdict.next_check
        yield "", f"     Next: {check.check.replace('-', ' ')}. {words.settles(check.settles)}"
    yield from ((style, f"     {line}") for style, line in words.warnings(record))


def _problems(records: list[Record]) -> Iterator[tuple[str, str]]:
    """Each fault of the photo once, with the numbers of the parts it touches where it is not all of them."""
    said = [(number, line) for number, record in enumerate(records, 1) for line in record.photos[0].problems]
    for line, numbers in _gathered(said):
        where = "" if len(numbers) == len(records) else f" ({_listed(numbers)})"
        yield "warn", f"Photo{where}: {line}."


def _cautions(records: list[Record]) -> Iterator[tuple[str, str]]:
    """Each caution once, with the numbers of the parts it is for where it is not all of them."""
    said = [(number, caution.message) for number, each in enumerate(records, 1) for caution in each.verdict.cautions]
    for message, numbers in _gathered(said):
        whom = "" if len(numbers) == len(records) else f" ({_listed(numbers)})"
        yield "warn", f"Beware{whom}: {message}"


def _gathered(said: Iterable[tuple[int, str]]) -> Iterable[tuple[str, list[int]]]:
    found: dict[str, list[int]] = {}
    for number, line in said:
        found.setdefault(line, []).append(number)
    return found.items()


def _listed(numbers: list[int]) -> str:
    """Numbers with runs drawn together.

    >>> _listed([1, 2, 3, 5])
    'parts 1 to 3, 5'
    """
    return f"{'part' if len(numbers) == 1 else 'parts'} {_runs(numbers)}"


def _runs(numbers: list[int]) -> str:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def _numbered(photo: Photo, parts: tuple[Identified, ...]) -> pictures.Canvas:
    canvas = pictures.shown(photo, LARGE)
    scale = canvas.shape[1] / photo.encoded.shape[1]
    for part in parts:
        seen = part.seen[0].part
        if seen is not None:
            pictures.outline(canvas, seen.mask, pictures.OUTLINE)
    for number, part in enumerate(parts, 1):
        if part.record.box is not None:
            _label(canvas, number, part.record, scale)
    return canvas


def _label(canvas: pictures.Canvas, number: int, record: Record, scale: float) -> None:
    """The number and what it most likely is in the middle of its part, green where the pile is sure."""
    assert record.box is not None
    x, y = (round(scale * (record.box[side] + record.box[side + 2] / 2)) for side in (0, 1))
    least, most = (round(share * LARGE) for share in TYPE)
    pixels = max(least, min(most, round(scale * min(record.box[2:]) / 5)))
    colour = pictures.GOOD if record.verdict.sure else pictures.INK
    lines = textwrap.wrap(called(record), NARROW)
    top = y - round(0.55 * pixels * (len(lines) + 1)) + pixels
    pictures.put_centred(canvas, str(number), (x, top), round(1.4 * pixels), colour)
    for below, line in enumerate(lines, 1):
        pictures.put_centred(canvas, line, (x, top + round(1.15 * pixels * below)), pixels, colour)


def called(record: Record) -> str:
    """What a part is most likely, in a word or two: a material, else a family of colours, else that it is not clear."""
    material, chance = next(iter(record.verdict.chances.items()))
    if chance >= CLEAR:
        return flows.name_of(material)
    families = record.photos[0].families
    family = max(families, key=families.__getitem__, default="")
    return FAMILY[family] if families and families[family] >= CLEAR else "not clear"
