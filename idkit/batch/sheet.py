"""The answers file: a spreadsheet with one row a part, read with every wrong cell told at once, and made to fill in."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

from idkit import flows
from idkit.batch.grouping import written
from idkit.errors import CallError, IdkitError
from idkit.vocabulary import Bench

TO_FILL_IN = (
    *("part", "photos", "magnet", "form", "thickness", "attached", "came-out-of", "marked", "scratch-colour"),
    *("weight", "jar", "scale", "note"),
)
OWN = ("part", "photos", "scale", "note")  # columns beside the checks
AMOUNTS = ("thickness", "weight", "jar", "hung", "scale", "size", "weight-in-water")
UNIT = re.compile(r"(.+?)\s*[(\[]\s*(\w+)\s*[)\]]")  # a column such as: thickness (mm)
NUMBER = re.compile(r"\d+([.,]\d+)?")
COMMA = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d.,])")
FORMULA = ("=", "+", "-", "@", "\t", "\r")  # what a spreadsheet takes for a formula at the start of a cell
BETWEEN = re.compile(r"\s*[|\n]\s*")  # photos of one cell
MOST_TOLD = 40  # wrong cells on the screen


@dataclass(frozen=True)
class Row:
    """One row: a part, what was answered for it as typed, and the photos it names, maybe none."""

    part: str
    typed: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    photos: tuple[str, ...] = ()
    line: int = 0


Rows = dict[str, Row]


class WrongCells(CallError):
    """Cells of the answers file that can't be read: `lines` tells each, by row and column."""

    def __init__(self, file: str, lines: Sequence[str]) -> None:
        """One line for the file, and one for each cell."""
        count = f"{len(lines)} cell{'s' if len(lines) > 1 else ''} can't be read"
        super().__init__(file, f"{count}, so no photo was looked at", "", "mend them and run the same command again")
        shown = list(lines[:MOST_TOLD])
        self.lines = (*shown, *([f"and {len(lines) - MOST_TOLD} more"] if len(lines) > MOST_TOLD else ()))


def read_rows(path: Path, bench: Bench) -> Rows:
    """The rows by part. Comma, semicolon or tab between cells, decimal commas where it is not the comma; UTF-8.

    A unit may stand in a column's name, as thickness (mm). Every cell is read before any is told wrong: WrongCells.
    CallError where the file itself can't be read, has no column `part`, or an unknown one.
    """
    text = _text(path)
    between = _between(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    try:
        table = [(reader.line_num, cells) for cells in reader if any(cell.strip() for cell in cells)]
    except csv.Error as error:
        raise CallError(str(path), f"row {reader.line_num}: {error}", "a spreadsheet saved as CSV") from None
    if table and table[0][1][0].lower().startswith("sep="):
        del table[0]
    if not table:
        raise CallError(str(path), "is empty", "a column 'part' and a row a part", "idkit tag FOLDER --write-answers")
    columns = _columns(str(path), table[0][1])
    rows: Rows = {}
    wrong: list[str] = []
    first: dict[str, int] = {}
    for line, cells in table[1:]:
        row, faults = _row(columns, line, cells, bench, commas=between != ",")
        if row.part in rows:
            faults = [*faults, f"column part: {row.part!r} stands in row {first[row.part]} already"]
        wrong += [f"{path.name} row {line}, {fault}" for fault in faults]
        rows[row.part] = row
        first.setdefault(row.part, line)
    if wrong:
        raise WrongCells(str(path), wrong)
    return rows


def write_rows(path: Path, photos: Mapping[str, Sequence[str]]) -> None:
    """A file to fill in, a row a part, with the mark by which spreadsheets know UTF-8.

    CallError where there is one of that name. Photos whose names hold what stands between names are left out.
    """
    try:
        with path.open("x", encoding="utf-8-sig", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(TO_FILL_IN)
            for part, of_part in photos.items():
                plain = [] if any(BETWEEN.search(photo) for photo in of_part) else map(written, of_part)
                cells = {"part": guarded(written(part)), "photos": guarded(" | ".join(plain))}
                writer.writerow([cells.get(column, "") for column in TO_FILL_IN])
    except FileExistsError:
        raise CallError(
            str(path), "is there already", "a new name", "what you filled in is never written over"
        ) from None
    except OSError as error:
        raise CallError(str(path), f"can't be written ({error.strerror})", "a folder that is there") from None


def guarded(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula (OWASP, CSV injection): an apostrophe goes before it.

    >>> guarded("=1+1"), guarded("tap")
    ("'=1+1", 'tap')
    """
    return f"'{cell}" if cell.startswith(FORMULA) else cell


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(FORMULA) else cell


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig", "strict").replace("\0", "")
    except UnicodeDecodeError as error:
        got = f"byte {error.start + 1} is no UTF-8"
        raise CallError(str(path), got, "CSV in UTF-8", "save it as 'CSV UTF-8'") from None
    except OSError as error:
        raise CallError(str(path), f"can't be read ({error.strerror})", "a CSV file", "check the name") from None


def _between(text: str) -> str:
    """What stands between cells: whichever of semicolon, tab and comma the first line has most of."""
    lines = text.splitlines() or [""]
    told = re.fullmatch(r"sep=(.)", lines[0].strip(), re.IGNORECASE)
    return told[1] if told else max(";\t,", key=lines[0].count)


def _columns(file: str, header: Sequence[str]) -> list[tuple[str, str]]:
    """Name and unit of each column; ('', '') of one without a name."""
    known = tuple(dict.fromkeys((*OWN, *(check.name for check in flows.known_checks()))))
    found = []
    for cell in header:
        told = UNIT.fullmatch(cell.strip())
        name, unit = (told[1], told[2]) if told else (cell, "")
        name = re.sub(r"[\s_]+", "-", name.strip().lower()).replace("color", "colour")
        if name and name not in known:
            near = get_close_matches(name, known, 1)
            guess = f"is it {near[0]!r}?" if near else "take it out, or put what it says into note"
            raise CallError(file, f"row 1: {cell.strip()!r} is no column known here", ", ".join(known), guess)
        found.append((name, unit))
    names = [name for name, _ in found if name]
    twice = next((name for name in names if names.count(name) > 1), "")
    if twice:
        raise CallError(file, f"row 1: column {twice!r} stands there twice", "each column once")
    if "part" not in names:
        raise CallError(file, f"row 1: no column 'part' among {', '.join(names) or 'none'}", "part, and any check")
    return found


def _row(
    columns: Sequence[tuple[str, str]], line: int, cells: Sequence[str], bench: Bench, *, commas: bool
) -> tuple[Row, list[str]]:
    """One row and what is wrong with it, each 'column NAME: why'."""
    faults = (
        [f"column {len(columns) + 1}: {cells[len(columns)]!r} is one cell too many"] if _more(columns, cells) else []
    )
    typed: dict[str, str] = {}
    for (name, unit), cell in zip(columns, cells, strict=False):
        text = _unguarded(cell.strip())
        if not name and text:
            faults.append(f"a column without a name: {text!r}")
        elif name and text:
            typed[name] = _with_unit(text, unit, commas=commas) if name in AMOUNTS else text
    part, note, photos, scale = (typed.pop(name, "") for name in ("part", "note", "photos", "scale"))
    if not part:
        faults.append("column part: is empty")
    faults += _faults(typed)
    if not faults:
        try:
            typed = flows.on_this_bench(scale, typed, bench)
            flows.understood(typed)
        except IdkitError as error:
            faults.append(_by_column(error))
    names = tuple(written(name) for name in BETWEEN.split(photos) if name)
    return Row(written(part), typed, note, names, line), faults


def _more(columns: Sequence[object], cells: Sequence[str]) -> bool:
    return any(cell.strip() for cell in cells[len(columns) :])


def _faults(typed: Mapping[str, str]) -> Iterator[str]:
    """What is wrong with each answer by itself."""
    for check in flows.known_checks():
        if check.name in typed:
            try:
                check.parse(typed[check.name])
            except IdkitError as error:
                yield f"column {check.name}: {_bare(error)}"


def _by_column(error: IdkitError) -> str:
    """An error on answers that do not go together, by the column it names."""
    thing = str(error).partition(":")[0].split()[-1].removeprefix("--")
    return f"column {thing}: {_bare(error)}"


def _bare(error: IdkitError) -> str:
    """An error without the option it names."""
    return str(error).partition(": ")[2].replace("--", "")


def _with_unit(text: str, unit: str, *, commas: bool) -> str:
    """An amount with a decimal point where the file has decimal commas, and with the column's unit where it has none.

    >>> _with_unit("3,25", "mm", commas=True), _with_unit("1/8 in", "mm", commas=False)
    ('3.25 mm', '1/8 in')
    """
    plain = COMMA.sub(r"\1.\2", text) if commas else text
    return f"{plain} {unit}" if unit and NUMBER.fullmatch(plain) else plain
