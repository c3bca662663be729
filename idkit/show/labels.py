"""A table of labels as a file."""

from __future__ import annotations

from pathlib import Path

from idkit import flows
from idkit.errors import CallError
from idkit.flows import Labels
from idkit.show import boxes

OPTION = "--labels"


def read(path: Path, folder: Path) -> Labels:
    """The labels of photos in a folder; CallError where the file is no table."""
    if not folder.is_dir():
        raise CallError("score", f"got {str(folder)!r}, which is no folder", "the folder that holds the photos")
    header, rows = flows.table_cells(path, OPTION)
    return flows.read_labels(path.name, header, rows, folder, boxes.parse)
