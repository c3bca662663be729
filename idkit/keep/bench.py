"""The user's bench: scales by name, tools at hand, which magnet, whose words, and its tables. One small JSON file."""

from __future__ import annotations

import json
import os
import tempfile
from dataclasses import asdict, replace
from pathlib import Path

from idkit.errors import CallError, StoreError
from idkit.keep.home import home
from idkit.vocabulary import Bench

FILE = "bench.json"


def read_bench() -> Bench:
    """The bench as it was last saved, a plain one where none was. StoreError where the file can't be read."""
    path = home() / FILE
    if not path.exists():
        return Bench()
    try:
        kept = json.loads(path.read_text("utf-8"))
        scales = {str(name): float(step) for name, step in kept["scales"].items()}
        cells = str(kept.get("cells", Bench.cells))  # benches of earlier versions have none
        return Bench(scales, tuple(map(str, kept["tools"])), str(kept["magnet"]), str(kept["words"]), cells)
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        reason = f"can't be read ({type(error).__name__})"
        raise StoreError(str(path), reason, "the file that idkit wrote", "mend it or move it away") from error


def save_scale(name: str, step: float) -> Bench:
    """The bench with a scale of that name, its step in kg. CallError for a name that could be taken for a weight."""
    tidy = name.strip().lower()
    if not tidy or tidy[0].isdigit() or ":" in tidy:
        thing = "scale"
        raise CallError(thing, f"got the name {name!r}", "a name that starts with a letter, without ':'", "say kitchen")
    bench = read_bench()
    return _save(replace(bench, scales={**bench.scales, tidy: step}))


def own(tool: str, *, gone: bool = False) -> Bench:
    """The bench with that tool, or without it where it is gone."""
    bench = read_bench()
    others = tuple(each for each in bench.tools if each != tool)
    return _save(replace(bench, tools=others if gone else (*others, tool)))


def set_magnet(kind: str) -> Bench:
    """The bench with that kind of magnet."""
    return _save(replace(read_bench(), magnet=kind))


def set_words(words: str) -> Bench:
    """The bench with those words on its screens."""
    return _save(replace(read_bench(), words=words))


def set_cells(between: str) -> Bench:
    """The bench with that between the cells of its tables."""
    return _save(replace(read_bench(), cells=between))


def _save(bench: Bench) -> Bench:
    """Write it whole or not at all. StoreError where the folder can't be written."""
    folder = home()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=folder, prefix=FILE)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            json.dump(asdict(bench), file, indent=1)
        Path(name).replace(folder / FILE)
    except OSError as error:
        reason = f"can't be written ({error.strerror})"
        raise StoreError(str(folder), reason, "a folder of yours with room in it", "set IDKIT_HOME") from error
    return bench
