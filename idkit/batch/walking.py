"""Every photo under a folder, whatever its name, none followed twice."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from idkit.batch.made import MARK, RESULTS, mark_of
from idkit.errors import CallError

ENDINGS = ("jpg", "jpeg", "jpe", "jfif", "png", "webp", "tif", "tiff", "bmp", "avif", "heic", "heif")
STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n", b"II*\0", b"MM\0*")  # of photos whose name has no ending

Identity = tuple[int, int]  # device and number of a file


@dataclass(frozen=True)
class Walked:
    """What lies in a folder: photos by path under it, sorted; how many other files; folders that can't be read, each
    with why; and those that idkit made, which are not looked into.
    """

    photos: tuple[str, ...]
    others: int
    unread: tuple[tuple[str, str], ...]
    made: tuple[str, ...]


def walk(folder: Path) -> Walked:
    """Every photo in the folder and those below it; CallError where it is none.

    Symbolic links are followed once all that lies there itself is known, in order, and only to what was not met before:
    no file twice, no loop. What starts with a dot is left alone, and so are folders that idkit made.
    """
    if not folder.is_dir():
        raise CallError(str(folder), "no such folder", "a folder of photos", "check the name")
    found = _Search(str(folder), set(), [], [], [], [], 0)
    found.enter("")
    while found.links:
        links, found.links = sorted(found.links), []
        for link in links:
            found.follow(link)
    return Walked(tuple(sorted(found.photos)), found.others, tuple(sorted(found.unread)), tuple(sorted(found.made)))


@dataclass
class _Search:
    root: str
    met: set[Identity]
    photos: list[str]
    links: list[str]
    unread: list[tuple[str, str]]
    made: list[str]
    others: int

    def enter(self, under: str) -> None:
        """A folder and all below it, without the links; those below wait their turn, however deep they lie."""
        waiting = [under]
        while waiting:
            here = waiting.pop()
            try:
                if not self._first(here):
                    continue
            except OSError as error:
                self._skipped(here, error)
                continue
            for entry in self._entries(here):
                path = f"{here}/{entry.name}" if here else entry.name
                if entry.is_symlink():
                    self.links.append(path)
                elif entry.is_dir():
                    waiting.append(path)
                elif entry.is_file() and self._is_photo(path):
                    self._met(path)  # hard links are files of their own: each counts
                    self.photos.append(path)
                else:
                    self.others += 1

    def follow(self, link: str) -> None:
        """What a link points to, where it was not met before."""
        try:
            mode = Path(self.root, link).stat().st_mode
        except OSError as error:  # it points to nothing, to itself, or to where nobody may look
            if _has_ending(link):
                self.unread.append((link, f"is a link that can't be followed ({error.strerror})"))
            else:
                self.others += 1
            return
        if stat.S_ISDIR(mode):
            self.enter(link)
        elif stat.S_ISREG(mode) and self._is_photo(link):
            self.photos += [link] if self._first(link) else []
        else:
            self.others += 1

    def _entries(self, here: str) -> list[os.DirEntry[str]]:
        try:
            with os.scandir(Path(self.root, here)) as entries:
                found = [entry for entry in entries if not entry.name.startswith(".")]
        except OSError as error:
            self._skipped(here, error)
            return []
        mark = mark_of(Path(self.root, here)) if any(entry.name == MARK for entry in found) else ""
        if mark:
            self.made.append(here)
            lost = [entry.name for entry in found if _has_ending(entry.name)] if mark == RESULTS else []
            why = "lies in a folder that idkit made, where no photo is looked for: put it elsewhere"
            self.unread += [(f"{here}/{name}" if here else name, why) for name in lost]
            return []
        return found

    def _skipped(self, here: str, error: OSError) -> None:
        self.unread.append((here or self.root, f"can't be read ({error.strerror}); nothing in it was looked at"))

    def _is_photo(self, path: str) -> bool:
        if "." in path.rpartition("/")[2][1:]:
            return _has_ending(path)
        try:
            with Path(self.root, path).open("rb") as file:
                return file.read(8).startswith(STARTS)
        except OSError:
            return False

    def _first(self, path: str) -> bool:
        """Whether this file or folder is met for the first time; OSError where it can't be reached."""
        status = Path(self.root, path).stat()
        identity = (status.st_dev, status.st_ino)
        new = identity not in self.met
        self.met.add(identity)
        return new

    def _met(self, path: str) -> None:
        """The same of a photo, which is told when it is read where it can't be reached."""
        with suppress(OSError):
            self._first(path)


def _has_ending(path: str) -> bool:
    """Whether a name ends as those of photos do.

    >>> _has_ending("a.b/tap.JPG"), _has_ending("a.jpg/tap"), _has_ending(".jpg")
    (True, False, False)
    """
    name, dot, ending = path.rpartition("/")[2].rpartition(".")
    return bool(name and dot) and ending.lower() in ENDINGS
