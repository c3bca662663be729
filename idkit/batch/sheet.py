"""The answers file: a spreadsheet with one row a part, read with every wrong cell told at once, and made to fill in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import NamedTuple

from idkit import flows
from idkit.batch import cells
from idkit.batch.names import as_written
from idkit.errors import CallError, FaultyTable, IdkitError
from idkit.vocabulary import Bench

TO_FILL_IN = (
    *("part", "photos", "magnet", "form", "thickness", "attached", "came-out-of", "marked", "scratch-colour"),
    *("weight", "jar", "scale", "note"),
)
OWN = ("part", "photos", "scale", "note")  # columns beside the checks
AMOUNTS = ("thickness", "weight", "jar", "hung", "scale", "size", "weight-in-water")
WITH_WEIGHT = ("weight", "jar", "hung", "size", "weight-in-water")  # of no use where the weight is wrong
UNIT = re.compile(r"(.+?)\s*[(\[]\s*(\w+)\s*[)\]]")  # a column such as: thickness (mm)
BETWEEN = re.compile(r"\s*[|\n]\s*")  # photos of one cell
MOST_TOLD = 40  # wrong cells on the screen

UNKNOWN = "?"  # for the name of a column that is not known

Columns = list[tuple[str, str]]  # name and unit of each, '' where it has none


@dataclass(frozen=True)
class Row:
    """One row: a part, what was answered for it as typed, and the photos it names, maybe none.

    `told` holds its cells by column as they were read, to be written again.
    """

    part: str
    typed: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    photos: tuple[str, ...] = ()
    line: int = 0
    told: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Sheet:
    """An answers file: its name, what stands between its cells, and its rows."""

    file: str = ""
    between: str = ""
    rows: tuple[Row, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """The columns to write it again with: those to fill in, then what else any row has."""
        return tuple(dict.fromkeys((*TO_FILL_IN, *(name for row in self.rows for name in row.told))))


class ToFillIn(NamedTuple):
    """A part for the file to fill in: its name, its photos, and the row that an earlier file had for it."""

    name: str
    photos: tuple[str, ...]
    row: Row | None = None


class WrongCells(FaultyTable):
    """Cells of the answers file that can't be read: `lines` tells each, by row and column."""

    def __init__(self, file: str, lines: Sequence[str], right: str = "") -> None:
        """One line for the file, and one for each cell, up to MOST_TOLD of them."""
        super().__init__(file, lines, "cell", "no photo was looked at", right)
        shown = [f"{Path(file).name} {line}" for line in lines[:MOST_TOLD]]
        self.lines = (*shown, *([f"and {len(lines) - MOST_TOLD} more"] if len(lines) > MOST_TOLD else ()))


def read_rows(path: Path, bench: Bench) -> Sheet:
    """The rows of a file. Comma, semicolon or tab between cells, decimal commas where it is not the comma; UTF-8.

    A unit may stand in a column's name, as thickness (mm). Every cell is read before any is told wrong: WrongCells.
    CallError where the file itself can't be read, or has no column `part`.
    """
    table, between = flows.table_rows(path, "--answers")
    if not table:
        raise CallError(str(path), "is empty", "a column 'part' and a row a part", "idkit tag FOLDER --write-answers")
    columns, wrong = _columns(table[0][1])
    rows: list[Row] = []
    first: dict[tuple[str, tuple[str, ...]], int] = {}
    for line, of_row in table[1:] if "part" in dict(columns) else ():
        row, faults = _row(columns, line, of_row, bench, between)
        before = first.setdefault((row.part, row.photos), line) if row.part else line
        if before != line:
            faults = [*faults, f"column part: {row.part!r} stands in row {before} already"]
        wrong += [f"row {line}, {fault}" for fault in faults]
        rows.append(row)
    if wrong:
        unknown = any("no column" in line for line in wrong)
        raise WrongCells(str(path), wrong, f"a column a check: {', '.join(_known_columns())}" if unknown else "")
    return Sheet(str(path), between, tuple(rows))


def write_rows(path: Path, parts: Sequence[ToFillIn], sheet: Sheet) -> int:
    """A file to fill in, a row a part, with the mark by which spreadsheets know UTF-8; how many rows.

    The cells of rows that an earlier file had for these parts are written again; its other rows, in `sheet`, come last.
    No photos are named where a name holds what stands between names. A part whose name is blank has no row. CallError
    where there is such a file.
    """
    every = tuple(dict.fromkeys(photo for part in parts for photo in part.photos))
    names = dict(zip(every, as_written(every), strict=True))
    naming = not any(BETWEEN.search(photo) for photo in every)
    called = dict(zip((part.name for part in parts), as_written([part.name for part in parts]), strict=True))
    rows: list[dict[str, str]] = []
    for part in parts:
        before = part.row.told if part.row else {}
        plain = " | ".join(names[photo] for photo in part.photos) if naming else ""
        rows += [{**before, "part": called[part.name], "photos": plain}] if called[part.name] else []
    used = {part.row.line for part in parts if part.row}
    rows += [dict(row.told) for row in sheet.rows if row.line not in used]
    try:
        with path.open("x", encoding="utf-8-sig", newline="") as file:
            table = [[row.get(column, "") for column in sheet.columns] for row in rows]
            cells.write(file, [sheet.columns, *table], sheet.between)
    except FileExistsError:
        raise CallError(
            str(path), "is there already", "a new name", "what you filled in is never written over"
        ) from None
    except OSError as error:
        raise CallError(str(path), f"can't be written ({error.strerror})", "a folder that is there") from None
    return len(rows)


def _known_columns() -> tuple[str, ...]:
    return tuple(dict.fromkeys((*OWN, *(check.name for check in flows.known_checks()))))


def _columns(header: Sequence[str]) -> tuple[Columns, list[str]]:
    """Name and unit of each column, and what is wrong with them."""
    known = _known_columns()
    found: Columns = []
    wrong: list[str] = []
    for cell in header:
        told = UNIT.fullmatch(cell)
        name, unit = (told[1], told[2]) if told else (cell, "")
        name = re.sub(r"[\s_]+", "-", name.strip().lower()).replace("color", "colour")
        if name and name in (before for before, _ in found):
            wrong.append(f"row 1: column {name!r} stands there twice")
            name = UNKNOWN
        elif name and name not in known:
            near = get_close_matches(name, known, 1)
            guess = f"is it {near[0]!r}?" if near else "take it out, or put what it says into note"
            wrong.append(f"row 1: {cell!r} is no column known here; {guess}")
            name = UNKNOWN
        found.append((name, unit))
    if "part" not in dict(found):
        wrong.append(f"row 1: no column 'part' among {', '.join(filter(None, header)) or 'none'}")
    return found, wrong


def _row(columns: Columns, line: int, of_row: Sequence[str], bench: Bench, between: str) -> tuple[Row, list[str]]:
    """One row and what is wrong with it, each 'column NAME: why'."""
    faults = [f"column {at}: {cell!r} is one cell too many" for at, cell in _beyond(columns, of_row)][:1]
    told: dict[str, str] = {}
    typed: dict[str, str] = {}
    wrong = set()
    for (name, unit), cell in zip(columns, of_row, strict=False):
        if not name and cell:
            faults.append(f"a column without a name: {cell!r}")
        elif cell and name != UNKNOWN:
            told[name] = cells.with_unit(cell, unit) if name in AMOUNTS else cell
            try:
                typed[name] = flows.with_point(told[name], between, name) if name in AMOUNTS else cell
            except CallError as error:
                wrong.add(name)
                faults.append(f"column {name}: {_bare(error)}")
    part, photos, scale, note = (typed.pop(name, "") for name in OWN)
    if not part:
        faults.append("column part: is empty")
    for name, why in _faults(typed):
        wrong.add(name)
        faults.append(f"column {name}: {why}")
    try:
        typed = flows.on_this_bench(scale, typed, bench)
    except IdkitError as error:
        faults.append(f"column scale: {_bare(error)}")
    if clash := _clash(typed, wrong):
        faults.append(clash)
    names = tuple(name for name in BETWEEN.split(photos) if name)
    return Row(part, typed, note, names, line, told), faults


def _beyond(columns: Columns, of_row: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Cells under no column: how many-eth, and what stands in them."""
    yield from ((at, cell) for at, cell in enumerate(of_row, 1) if cell and at > len(columns))


def _faults(typed: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What is wrong with each answer by itself, by check."""
    for check in flows.known_checks():
        if check.name in typed:
            try:
                check.parse(typed[check.name])
            except IdkitError as error:
                yield check.name, _bare(error)


def _clash(typed: Mapping[str, str], wrong: set[str]) -> str:
    """What does not go together among the answers that can be read by themselves; '' where all do."""
    left_out = wrong | (set(WITH_WEIGHT) if "weight" in wrong else set())
    try:
        flows.understood({name: text for name, text in typed.items() if name not in left_out})
    except IdkitError as error:
        thing = str(error).partition(":")[0].split()[-1].removeprefix("--")
        return f"column {thing}: {_bare(error)}"
    return ""


def _bare(error: IdkitError) -> str:
    """An error without the option it names."""
    return str(error).partition(": ")[2].replace("--", "")
