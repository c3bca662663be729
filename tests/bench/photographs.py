"""The real photographs that the benches measure on, and a line for what they print."""

from __future__ import annotations

import csv
import sys
from pathlib import Path

HOME = Path(__file__).resolve().parents[3] / "shared" / "photos"
Row = dict[str, str]


def labelled(name: str) -> list[Row] | None:
    """The rows of labels.csv in the folder of that name, or in the one named on the command line, each with its folder.

    None, said, where the folder is missing.
    """
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HOME / name
    if not folder.is_dir():
        say(f"{folder}: no such folder; the photographs are not part of this project")
        return None
    with (folder / "labels.csv").open(encoding="utf-8", newline="") as file:
        return [{**row, "folder": str(folder)} for row in csv.DictReader(file)]


def say(line: str) -> None:
    """Print a line."""
    sys.stdout.write(line + "\n")
