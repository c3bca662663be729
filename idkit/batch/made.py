"""Folders that idkit makes: marked, so that no photo is looked for there, and taken only where nothing is anybody's."""

from __future__ import annotations

import os
from pathlib import Path

from idkit.errors import CallError, StoreError

MARK = "made-by-idkit.txt"
RESULTS = "idkit made this folder and what is in it; idkit looks for no photos here. journal.txt lets a run go on.\n"
COPIES = "Copies that idkit made, a folder a pile; the photos lie where they were. idkit looks for no photos here.\n"
NOBODYS = ("thumbs.db", "desktop.ini")  # what systems leave in an empty folder, beside names that start with a dot


def mark_of(folder: Path) -> str:
    """RESULTS or COPIES where idkit made this folder; '' where not: a file of the mark's name with other words in it is
    the user's.
    """
    try:
        told = (folder / MARK).read_bytes().decode("utf-8", "replace").replace("\r\n", "\n")
    except OSError:
        return ""
    return told if told in (RESULTS, COPIES) else ""


def refuse(target: Path, photos: Path, option: str, mark: str) -> None:
    """CallError where idkit may not make a folder its own: only what is new, empty, or has that mark of an earlier run,
    and is neither the folder of the photos nor one above it.
    """
    here, root = target.resolve(), photos.resolve()
    got = ""
    if here == root or here in root.parents:
        got = f"{target} {'is' if here == root else 'holds'} the folder of the photos"
    elif target.exists() and not target.is_dir():
        got = f"{target} is a file"
    elif _in(target, option) and mark_of(target) != mark:
        got = f"{target} was made for another use" if mark_of(target) else f"{target} holds what idkit did not make"
    if got:
        raise CallError(option, got, "a new or an empty folder", "what lies in a folder of yours is left as it is")


def make(target: Path, option: str, mark: str) -> None:
    """Make the folder, and mark it; StoreError where the disk says no."""
    try:
        target.mkdir(parents=True, exist_ok=True)
        if mark_of(target) != mark:
            with (target / MARK).open("x", encoding="utf-8", newline="\n") as file:
                file.write(mark)
    except OSError as error:
        got = f"{target} can't be written ({error.strerror})"
        raise StoreError(option, got, "", f"make room, or name another place: {option}") from None


def _in(folder: Path, option: str) -> bool:
    """Whether anything lies in a folder, which may be new."""
    try:
        with os.scandir(folder) as entries:
            return any(not entry.name.startswith(".") and entry.name.lower() not in NOBODYS for entry in entries)
    except FileNotFoundError:
        return False
    except OSError as error:
        raise StoreError(option, f"{folder} can't be read ({error.strerror})", "", "name another place") from None
