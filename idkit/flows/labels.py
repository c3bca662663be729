"""Labels of photos whose answer is known: a table's cells to parts, every wrong cell found before any photo is read."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

from idkit import ask, facts
from idkit.errors import CallError, IdkitError
from idkit.flows.models import model_in_use
from idkit.flows.results import Box
from idkit.vocabulary import FAMILIES, SURFACES

COLUMNS = {
    "photo": "photo",
    "file": "photo",
    "image": "photo",
    "part": "part",
    "material": "material",
    "category": "category",
    "pile": "category",
    "family": "family",
    "colour-family": "family",
    "color-family": "family",
    "group": "group",
    "surface": "surface",
    "scratch": "scratch",
    "scratch-color": "scratch-colour",
    "note": "note",
}
"""What a column may be called, and what it is; every check's name is a column too, with its unit behind it or not."""

UNITS = ("mm", "cm", "in", "g", "kg", "oz", "lb")
TRUTHS = ("material", "category", "family")
Cells = tuple[int, Mapping[str, str]]  # the row as a spreadsheet counts it, and its cells by column
BoxOf = Callable[[str], Box | None]


@dataclass(frozen=True)
class Labelled:
    """One part with its known answer: '' where its material, category or colour family is not known.

    `typed` are answers as typed, by check.
    """

    part: str
    photos: tuple[Path, ...]
    typed: Mapping[str, str]
    material: str = ""
    category: str = ""
    family: str = ""
    group: str = ""
    surface: str = ""
    note: str = ""
    scratch: Box | None = None


@dataclass(frozen=True)
class Labels:
    """Parts with known answers; what is wrong with the table, one error a cell; columns that mean nothing to idkit;
    rows without a known answer, which are left out."""

    parts: tuple[Labelled, ...]
    faults: tuple[IdkitError, ...]
    not_read: tuple[str, ...]
    without: int


@dataclass
class _Reader:
    """The table as far as it was read; faults are gathered, so that all are said at once, in the table's order.

    `headed` holds what each column is called in the table, by what it means.
    """

    name: str
    box_of: BoxOf
    headed: Mapping[str, str]
    found: list[tuple[int, int, IdkitError]] = field(default_factory=list)

    def refuse(self, row: int, column: str, got: str, right: str = "", next_step: str = "") -> None:
        """Note that a cell is wrong; a whole row where `column` is ''."""
        called = self.headed.get(column, column)
        place = f"{self.name}, row {row}" + (f", column {called}" if called else "")
        order = list(self.headed).index(column) if column in self.headed else -1
        self.found.append((row, order, CallError(place, got, right, next_step)))

    def is_wrong(self, row: int) -> bool:
        """Whether some cell of that row was refused."""
        return any(wrong == row for wrong, _, _ in self.found)

    def faults(self) -> tuple[IdkitError, ...]:
        """Every fault, by row and then by column."""
        return tuple(error for _, _, error in sorted(self.found, key=lambda each: each[:2]))


def read_labels(name: str, header: Sequence[str], rows: Sequence[Cells], folder: Path, box_of: BoxOf) -> Labels:
    """Parts from the rows of a table of that name; rows with the same `part` are photos of one part.

    `folder` is where photos are, `box_of` reads a box as typed. Photos need not be there: that is found on reading.
    """
    meaning = {column: _meaning(column) for column in header}
    headed: dict[str, str] = {}
    for column, means in meaning.items():
        headed.setdefault(means, column)
    reader = _Reader(name, box_of, headed)
    _refuse_header(reader, meaning)
    known = [(row, {meaning[c]: _with_unit(c, t) for c, t in cells.items() if meaning[c]}) for row, cells in rows]
    answered = {_part(*each) for each in known if any(each[1].get(truth) for truth in TRUTHS)}
    labelled = [each for each in known if _part(*each) in answered]
    parts: tuple[Labelled, ...] = ()
    if not reader.found:
        for row, cells in labelled:
            _refuse_cells(reader, row, cells)
        parts = tuple(_parts(reader, labelled, folder))
    if not reader.found and not labelled:
        reader.refuse(1, "", "got no row with a known answer", f"a cell under {_listed(TRUTHS)}")
    not_read = tuple(column for column in header if not meaning[column])
    return Labels(() if reader.found else parts, reader.faults(), not_read, len(known) - len(labelled))


def _part(row: int, cells: Mapping[str, str]) -> str:
    """What a row's part is called: by its own column, else after its photo, else after the row."""
    return cells.get("part") or Path(cells.get("photo", "")).stem or f"row {row}"


def _plain(column: str) -> str:
    return re.sub(r"[\s_]+", "-", column.strip().lower())


def _meaning(column: str) -> str:
    """What a column holds: one of COLUMNS' meanings or a check's name; '' where it is neither."""
    plain = _plain(column)
    if plain in ask.checks() or plain in COLUMNS:
        return COLUMNS.get(plain, plain)
    stem, _, unit = plain.rpartition("-")
    return stem if unit in UNITS and stem in ask.checks() else ""


def _with_unit(column: str, cell: str) -> str:
    """A number under 'thickness_mm' is so many mm."""
    unit = _plain(column).rpartition("-")[2]
    bare = re.fullmatch(r"[\d.,]+", cell)
    return f"{cell} {unit}" if bare and unit in UNITS and _plain(column) not in ask.checks() else cell


def _refuse_header(reader: _Reader, meaning: Mapping[str, str]) -> None:
    """Columns that are there twice by another name, and those that have to be there."""
    seen: dict[str, str] = {}
    for column, means in meaning.items():
        if means and means in seen:
            reader.refuse(1, column, f"got {seen[means]!r} and {column!r}, which mean the same", "one of them")
        seen.setdefault(means, column)
    if not set(TRUTHS) & set(seen):
        asked = ", ".join(repr(column) for column in meaning)
        reader.refuse(1, "", f"got columns {asked}", f"one of {_listed(TRUTHS)}")
    if "photo" not in seen and not set(ask.checks()) & set(seen):
        reader.refuse(1, "", "got no column photo", "photo, or answers by check")


def _refuse_cells(reader: _Reader, row: int, cells: Mapping[str, str]) -> None:
    """Every cell of a row that can't be what its column holds."""
    for column, known in {
        "material": (*facts.materials(), *(row.id for row in model_in_use().described)),
        "category": tuple(facts.categories()),
        "family": FAMILIES,
        "surface": SURFACES,
    }.items():
        if cells.get(column) and cells[column] not in known:
            near = get_close_matches(cells[column], known, n=1, cutoff=0.5)
            right = _listed(known) if len(known) < 10 else f"an id of 'idkit facts {_table_of(column)}'"
            hint = f"did you mean {near[0]}?" if near else ""
            reader.refuse(row, column, f"got {cells[column]!r}", right, hint)
    readers = {"scratch": reader.box_of, **{name: check.parse for name, check in ask.checks().items()}}
    for column, read in readers.items():
        _refuse_unreadable(reader, row, column, cells.get(column, ""), read)
    if not cells.get("photo") and not _typed(cells):
        reader.refuse(row, "photo", "got neither a photo nor an answer", "a photo's name, or an answer to a check")


def _refuse_unreadable(reader: _Reader, row: int, column: str, cell: str, read: Callable[[str], object]) -> None:
    try:
        if cell:
            read(cell)
    except IdkitError as error:
        reader.refuse(row, column, str(error).partition(": ")[2])


def _parts(reader: _Reader, rows: Sequence[Cells], folder: Path) -> Iterator[Labelled]:
    """Rows gathered by part; refused is what two rows of one part say differently, and answers that don't fit."""
    owner: dict[str, tuple[str, int]] = {}
    together: dict[str, list[Cells]] = {}
    for row, cells in rows:
        part = _part(row, cells)
        other = owner.setdefault(cells.get("photo") or f"row {row}", (part, row))
        if other[0] != part or (other[1] != row and cells.get("photo")):
            reader.refuse(row, "photo", f"got {cells['photo']!r}, which row {other[1]} has already", "each photo once")
        together.setdefault(part, []).append((row, cells))
    for part, mine in together.items():
        cells = _agreed(reader, mine)
        if any(reader.is_wrong(row) for row, _ in mine):
            continue
        typed = _typed(cells)
        try:
            ask.read(typed)
        except IdkitError as error:
            reader.refuse(mine[0][0], "", str(error))
        photos = tuple(folder / cells["photo"] for _, cells in mine if cells.get("photo"))
        words = {name: cells.get(name, "") for name in (*TRUTHS, "group", "surface", "note")}
        yield Labelled(part, photos, typed, scratch=reader.box_of(cells.get("scratch", "")), **words)


def _agreed(reader: _Reader, rows: Sequence[Cells]) -> dict[str, str]:
    """The filled cells of all rows of one part, its photos aside."""
    found: dict[str, tuple[str, int]] = {}
    for row, cells in rows:
        for column, cell in cells.items():
            said, where = found.setdefault(column, (cell, row)) if cell else ("", row)
            if cell and said != cell and column != "photo":
                got = f"got {cell!r}, but row {where} says {said!r} of the same part"
                reader.refuse(row, column, got, "the same in every row of a part, or nothing")
    return {column: cell for column, (cell, _) in found.items()}


def _typed(cells: Mapping[str, str]) -> dict[str, str]:
    """The answers among the cells."""
    return {name: cell for name, cell in cells.items() if cell and name in ask.checks()}


def _table_of(column: str) -> str:
    return {"material": "materials", "category": "categories"}[column]


def _listed(names: Collection[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} or {last}"
