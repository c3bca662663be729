"""Files that idkit writes anew at each run: one that somebody changed meanwhile is put aside, never written over."""

from __future__ import annotations

import hashlib
from pathlib import Path

from idkit.errors import StoreError

LIST = "written.txt"  # of a folder: SHA-256 and name of each file as idkit left it, as sha256sum has them


def replace(new: Path, path: Path) -> Path | None:
    """Put a whole new file in place of an old one; where the old one was put, if somebody changed it.

    What will stand there is written down before, so that a run that is killed in between changes nothing.
    """
    sums, aside = _sums(path.parent), None
    there = _sum(path) if path.exists() else ""
    if there and there not in sums.get(path.name, []):
        aside, there = _free(path), ""
        path.rename(aside)
    both = [told for told in dict.fromkeys((there, _sum(new))) if told]
    if both != sums.get(path.name):
        _write(path.parent, {**sums, path.name: both})
    new.replace(path)
    return aside


def _free(path: Path) -> Path:
    """A name beside it that is not taken."""
    for number in range(1, 10_000):
        place = path.with_name(f"{path.stem} (changed {number}){path.suffix}")
        if not place.exists():
            return place
    raise StoreError(str(path), "has too many changed copies beside it", "", "take them away")


def _sums(folder: Path) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    try:
        lines = (folder / LIST).read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return {}
    for line in lines:
        told, _, name = line.partition("  ")
        found.setdefault(name, []).append(told)
    return found


def _write(folder: Path, sums: dict[str, list[str]]) -> None:
    new = folder / f".{LIST}.new"
    new.unlink(missing_ok=True)
    with new.open("x", encoding="utf-8", newline="\n") as file:
        file.writelines(f"{told}  {name}\n" for name in sorted(sums) for told in sums[name])
    new.replace(folder / LIST)


def _sum(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
