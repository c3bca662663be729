"""Which photos are one part."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from pathlib import PurePosixPath

MOST = 12  # photos that a person takes of one part; a fuller folder is a day's photos, not a part
NUMBERED = re.compile(r"(.*\S)\s*-\s*\d{1,2}", re.DOTALL)  # a camera's own counter has more digits: IMG-0042

RULES: Mapping[str, str] = {
    "folder": "a sub-folder is one part; photos beside it, one by one or by shared name",
    "name": "photos that share a name before a dash and a number are one part (tap-1, tap-2)",
    "photo": "every photo is a part",
    "answers": "the photos that a row of the answers file names are one part; others by shared name",
    "each": "every photo shows several parts",
}

Grouped = dict[str, tuple[str, ...]]  # photos by part


def chosen(photos: Sequence[str], *, named: bool) -> str:
    """The rule that fits: by the answers file where it names photos, by sub-folder where all photos lie in small ones,
    else by shared name.

    >>> chosen(["tap/1.jpg", "tap/2.jpg"], named=False), chosen(["tap-1.jpg"], named=False)
    ('folder', 'name')
    """
    if named:
        return "answers"
    folders = Counter(str(PurePosixPath(photo).parent) for photo in photos)
    small = max(folders.values(), default=0) <= MOST
    return "folder" if photos and small and "." not in folders and max(folders.values()) > 1 else "name"


def grouped(photos: Sequence[str], rule: str, rows: Mapping[str, Sequence[str]] | None = None) -> Grouped:
    """The photos by part, in order of the parts' names; every photo belongs to exactly one.

    `rows` are the photos that the answers file names, by part. A part is called after its photos, with the path under
    the folder: two of one name in two folders are two parts.

    >>> grouped(["tap-1.jpg", "tap-2.jpg", "hinge.jpg"], "name")
    {'hinge': ('hinge.jpg',), 'tap': ('tap-1.jpg', 'tap-2.jpg')}
    """
    if rule in ("photo", "each"):
        found = _one_by_one(photos)
    elif rule == "folder":
        found = _together((_folder(photo), photo) for photo in photos)
    else:
        listed = {photo: part for part, of_part in (rows or {}).items() for photo in of_part}
        found = _together((listed.get(written(photo)) or _shared(photo), photo) for photo in photos)
    return dict(sorted(found.items()))


def written(name: str) -> str:
    """A name as a person writes it: composed letters, no blanks around it, and what is no text spelt out.

    >>> written(" tap ")
    'tap'
    """
    return unicodedata.normalize("NFC", name.encode("utf-8", "backslashreplace").decode()).strip()


def _together(pairs: Iterable[tuple[str, str]]) -> Grouped:
    found: dict[str, list[str]] = defaultdict(list)
    for part, photo in pairs:
        found[part].append(photo)
    return {part: tuple(of_part) for part, of_part in found.items()}


def _one_by_one(photos: Sequence[str]) -> Grouped:
    """Each photo by its name without the ending, or with it where two would be called the same."""
    count = Counter(_stem(photo) for photo in photos)
    return {(_stem(photo) if count[_stem(photo)] == 1 else photo): (photo,) for photo in photos}


def _folder(photo: str) -> str:
    parent = str(PurePosixPath(photo).parent)
    return _shared(photo) if parent == "." else parent


def _shared(photo: str) -> str:
    """The path without its ending and without a dash and a number."""
    path = PurePosixPath(_stem(photo))
    numbered = NUMBERED.fullmatch(path.name)
    return str(path.with_name(numbered[1])) if numbered else str(path)


def _stem(photo: str) -> str:
    path = PurePosixPath(photo)
    return str(path.with_name(path.stem))
