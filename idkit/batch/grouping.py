"""Which photos are one part."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from pathlib import PurePosixPath

MOST = 6  # photos that a person takes of one part; a fuller folder is a day's photos, not a part
NAMED = re.compile(r"[^\W\d_]{2}")  # letters of a name that a person gave
SIDES = ("front", "back", "side", "top", "bottom", "inside", "left", "right", "close", "closeup", "detail", "scratch")
NUMBERED = re.compile(r"(.*\S)\s*-\s*\d{1,2}", re.DOTALL)  # a camera's own counter has more digits: IMG-0042
DATED = re.compile(r"\d{4}|.*[-_. ]\d{2}(?:\d{2})?", re.DOTALL)  # before the dash: it ends a date or a time

RULES: Mapping[str, str] = {
    "folder": "a sub-folder is one part; photos beside it, one by one or by shared name",
    "name": "photos that share a name before a dash and a number are one part (tap-1, tap-2)",
    "photo": "every photo is a part",
    "answers": "the photos that a row of the answers file names are one part; others by shared name",
    "each": "every photo shows several parts",
}

Grouped = dict[str, tuple[str, ...]]  # photos by part


def chosen(photos: Sequence[str], *, named: bool) -> str:
    """The rule that fits: by the answers file where it names photos, by sub-folder where all photos lie in small ones
    and are not called after parts of their own, else by shared name.

    >>> chosen(["tap/1.jpg", "tap/2.jpg"], named=False), chosen(["tap-1.jpg"], named=False)
    ('folder', 'name')
    >>> chosen(["monday/tap.jpg", "monday/hinge.jpg"], named=False)
    'name'
    """
    if named:
        return "answers"
    folders = Counter(str(PurePosixPath(photo).parent) for photo in photos)
    most = max(folders.values(), default=0)
    small = 1 < most <= MOST and "." not in folders
    return "folder" if small and not _called_after_parts(photos) else "name"


def _called_after_parts(photos: Sequence[str]) -> bool:
    """Whether photos in one folder have names of their own, as a person gives them to parts: no counter, no side of a
    thing, and none that comes again in another folder.
    """
    names = {(str(PurePosixPath(photo).parent), _own_name(photo)) for photo in photos}
    again = Counter(name for _, name in names)
    own = Counter(folder for folder, name in names if name and again[name] == 1)
    return max(own.values(), default=0) > 1


def grouped(photos: Sequence[str], rule: str, rows: Mapping[str, Sequence[str]] | None = None) -> Grouped:
    """The photos by part, in order of the parts' names; every photo belongs to exactly one.

    `rows` are the photos that the answers file names, by part: no other photo joins them. A part is called after its
    photos, with the path under the folder: two of one name in two folders are two parts.

    >>> grouped(["tap-1.jpg", "tap-2.jpg", "hinge.jpg"], "name")
    {'hinge': ('hinge.jpg',), 'tap': ('tap-1.jpg', 'tap-2.jpg')}
    """
    if rule in ("photo", "each"):
        found = _one_by_one(photos)
    elif rule == "folder":
        found = _together((_folder(photo), photo) for photo in photos)
    else:
        listed = {photo: part for part, of_part in (rows or {}).items() for photo in of_part}
        taken = set(listed.values())
        found = _together((listed.get(photo) or _unlike(_shared(photo), taken, photo), photo) for photo in photos)
    return dict(sorted(found.items()))


def _unlike(part: str, taken: Collection[str], photo: str) -> str:
    """The part, or the whole name of the photo where a row has that name for other photos."""
    return photo if part in taken else part


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


def _own_name(photo: str) -> str:
    """What a person called a photo; '' where it is a counter, as 12 or IMG_0042."""
    name = PurePosixPath(_shared(photo)).name
    counted = re.search(r"\d{3}", name)  # a camera's own: IMG_0042, 20260412_1030, PXL_2026...
    return "" if counted or not NAMED.search(name) or name.casefold() in SIDES else name.casefold()


def _shared(photo: str) -> str:
    """The path without its ending and without a dash and a number."""
    path = PurePosixPath(_stem(photo))
    numbered = NUMBERED.fullmatch(path.name)
    return str(path.with_name(numbered[1])) if numbered and not DATED.fullmatch(numbered[1]) else str(path)


def _stem(photo: str) -> str:
    path = PurePosixPath(photo)
    return str(path.with_name(path.stem))
