"""What is to be done with a folder, and what came of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from idkit.flows import Holds, OfPart, Sketch, Tagged

Tag = dict[str, Any]  # one part in JSON
Stamp = tuple[int, int, int, int]  # of a file: size, times of change of content and of name in ns, number
Read = tuple[Stamp, str]  # of a photo as it was read: its stamp, and its SHA-256 or ''
Describe = Callable[[Tagged], Tag]


@dataclass(frozen=True)
class Job:
    """One part to identify, or with `each` one photo of several: its photos by path under the folder, and its answers.

    `photos` are in order; `typed` holds answers by check, as typed. With `each`, `numbered` holds by number the answers
    and the note of single parts, those of the photo among them.
    """

    part: str
    photos: tuple[str, ...]
    typed: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    each: bool = False
    numbered: Mapping[int, OfPart] = field(default_factory=dict)


@dataclass(frozen=True)
class Manner:
    """How all jobs of a run are done. `folder` is an absolute path; `digest` that of the program and its model.

    `describe` and `sketch` are functions of a module: they are sent to other processes by name.
    """

    folder: str
    digest: str
    describe: Describe
    sketch: Sketch
    even: bool = False
    tools: tuple[str, ...] = ()
    sold: Holds | None = None  # the yard and prices in use


@dataclass(frozen=True)
class Problem:
    """Why one photo gave nothing, in one line."""

    file: str
    line: str


@dataclass(frozen=True)
class Outcome:
    """What one job gave, and of which photos.

    `kept` is False for what may go better the next time, as where a process was killed: it is told, and done again.
    """

    part: str
    files: Mapping[str, Read]
    tags: tuple[Tag, ...]
    problems: tuple[Problem, ...] = ()
    kept: bool = True
