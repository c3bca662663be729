"""A table of labels as a file: comma, semicolon or tab between its cells, as spreadsheets save them."""

from __future__ import annotations

import csv
from pathlib import Path

from idkit import flows
from idkit.errors import CallError
from idkit.flows import Labels
from idkit.show import boxes

OPTION = "--labels"
MARKS = ",;\t"


def read(path: Path, folder: Path) -> Labels:
    """The labels of photos in a folder; CallError where the file is no table."""
    if not folder.is_dir():
        raise CallError("score", f"got {str(folder)!r}, which is no folder", "the folder that holds the photos")
    lines = _text(path).splitlines(keepends=True)
    first = lines[0] if lines else ""
    reader = csv.reader(lines, delimiter=max(MARKS, key=first.count))
    header = [cell.strip() for cell in next(reader, [])]
    if not any(header) or len(set(header)) < len(header):
        raise CallError(OPTION, f"{path.name} starts with {first.strip()[:60]!r}", "a row of column names, each once")
    rows = []
    for cells in reader:
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(header):
            place, got = f"{path.name}, row {reader.line_num}", f"got {len(cells)} cells"
            raise CallError(place, got, f"{len(header)}, one a column", "a cell with a comma in it needs quotes")
        rows.append((reader.line_num, dict(zip(header, (cell.strip() for cell in cells), strict=True))))
    return flows.read_labels(path.name, header, rows, folder, boxes.parse)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise CallError(OPTION, f"{path} can't be read ({error.strerror})", "a csv file") from None
    except UnicodeDecodeError:
        got, right = f"{path} is not in UTF-8", "a csv file in UTF-8"
        raise CallError(OPTION, got, right, "save it anew as 'CSV UTF-8'") from None
