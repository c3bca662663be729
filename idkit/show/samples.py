"""The demo: the sample parts that came with idkit, identified and set against the truth."""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

from idkit import flows
from idkit.errors import CallError
from idkit.show import boxes, terminal, words

HEAD = (
    "Ten rendered parts from an invented garden shed and bathroom (computed pictures, not photographs). Each is "
    "identified from its photo, then with the magnet, form and thickness, then weighed in water too."
)
STEPS = (("photo", ()), ("+ bench", ("magnet", "form", "thickness")), ("+ water", ("weight", "jar")))


def run(folder: Path | None) -> int:
    """Print the table and one whole verdict; keep pictures of what was seen where a folder is given.

    CallError, before anything is printed, where the folder can't be made.
    """
    if folder is not None:
        _make(folder)
    with resources.as_file(flows.samples_folder()) as samples:
        with (samples / "index.csv").open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        terminal.show([("", HEAD), ("", ""), ("title", _table("part", "what it is", "evidence", "first, in 100"))])
        for row in rows:
            terminal.show(_steps(samples, row))
            sys.stdout.flush()
        whole = _identified(samples, rows[0], len(STEPS))
        terminal.show([("", ""), ("", f"The whole verdict on {rows[0]['file']}, with everything answered:"), ("", "")])
        terminal.show(words.lines(whole.record))
        if folder is not None:
            _draw_all(samples, rows, folder)
    return 0


def _steps(samples: Path, row: dict[str, str]) -> Iterator[tuple[str, str]]:
    for number, (name, _) in enumerate(STEPS, start=1):
        verdict = _identified(samples, row, number).record.verdict
        first, chance = next(iter(verdict.chances.items()))
        mark = "sure of the pile" if verdict.sure else ""
        left = (Path(row["file"]).stem, row["material"]) if number == 1 else ("", "")
        style = "good" if verdict.sure else ""
        yield style, _table(*left, name, f"{first} {100 * chance:.0f}", mark)


def _identified(samples: Path, row: dict[str, str], steps: int) -> flows.Identified:
    typed = {"came-out-of": row["came_out_of"]}
    for _, names in STEPS[:steps]:
        typed |= {name: _typed(row, name) for name in names}
    return flows.identify(
        [samples / row["file"]],
        typed,
        surface=row["surface"],
        scratch=boxes.parse(row["scratch"]),
        every_cue=False,
    )


def _typed(row: dict[str, str], name: str) -> str:
    unit = {"thickness": " mm", "weight": " g", "jar": " g"}
    column = {"thickness": "thickness_mm", "weight": "weight_g", "jar": "jar_g"}.get(name, name)
    return f"{row[column]}{unit.get(name, '')}"


def _table(part: str, truth: str, evidence: str, first: str, mark: str = "") -> str:
    return f"{part:13}{truth:18}{evidence:9}{first:22} {mark}".rstrip()


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = "is a file" if folder.is_file() else f"can't be made ({error.strerror})"
        raise CallError("--folder", f"{folder} {why}", "a folder, or the name of a new one") from None


def _draw_all(samples: Path, rows: list[dict[str, str]], folder: Path) -> None:
    from idkit.show import pictures

    for row in rows:
        pictures.draw(_identified(samples, row, len(STEPS)), folder / f"{Path(row['file']).stem}-seen.png")
