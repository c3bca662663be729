"""Who is at the page, and the parts that lie open before them: in memory, until they are kept or put aside."""

from __future__ import annotations

import secrets
import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from idkit.show.web.looking import Asked, Shown
from idkit.show.web.working import NotDone, Ticket

MOST = 64  # visitors
OPEN = 40  # parts of one visitor
IDLE = 24 * 3600.0  # seconds after which a visitor who does nothing is forgotten, with what was not kept


@dataclass(eq=False)
class OpenPart:
    """A part on the page: what is asked of it, and what was shown last; the job that is under way, where one is.

    `good` is what was asked when it was last shown: it is gone back to where an answer is refused.
    """

    id: str
    folder: Path
    worker: int
    asked: Asked = Asked()
    good: Asked = Asked()
    shown: Shown | None = None
    ticket: Ticket | None = None
    refused: str = ""
    kept: int | None = None
    photos: int = 0  # that were ever put with it


@dataclass(eq=False)
class Visitor:
    """One browser, known by its cookie. `token` stands in every form of its pages, and in no other's."""

    cookie: str
    token: str
    seen: float
    parts: dict[str, OpenPart] = field(default_factory=dict)

    @property
    def unkept(self) -> list[OpenPart]:
        """The open parts that are not kept yet."""
        return [part for part in self.parts.values() if part.kept is None]


class Visitors:
    """All visitors: few, and for a time. Photos lie in `folder` for as long as their part is open."""

    def __init__(self, folder: Path, clock: Callable[[], float] = time.monotonic) -> None:
        self.folder, self.clock = folder, clock
        self.known: dict[str, Visitor] = {}

    @property
    def unkept(self) -> int:
        """How many parts lie open and are not kept."""
        return sum(len(visitor.unkept) for visitor in self.known.values())

    def welcome(self) -> Visitor:
        """A new visitor; NotDone where too many have parts open."""
        for visitor in [each for each in self.known.values() if self.clock() - each.seen > IDLE]:
            self._forget(visitor)
        if len(self.known) >= MOST:
            idle = [each for each in self.known.values() if not each.unkept]
            if not idle:
                raise NotDone("Busy", f"{MOST} others have parts open here; wait until one of them keeps theirs")
            self._forget(min(idle, key=lambda each: each.seen))
        visitor = Visitor(secrets.token_urlsafe(32), secrets.token_urlsafe(32), self.clock())
        self.known[visitor.cookie] = visitor
        return visitor

    def of(self, cookie: str) -> Visitor | None:
        """The visitor with that cookie: 256 random bits, so that the time a look-up takes tells nobody anything."""
        visitor = self.known.get(cookie)
        if visitor is not None:
            visitor.seen = self.clock()
        return visitor

    def lay(self, visitor: Visitor, worker: int) -> OpenPart:
        """A new part before a visitor; NotDone where as many lie there as may."""
        for part in [each for each in visitor.parts.values() if each.kept is not None][: len(visitor.parts) - OPEN + 1]:
            self.put_aside(visitor, part)
        if len(visitor.parts) >= OPEN:
            raise NotDone("Busy", f"{OPEN} parts lie open; keep some of them, or put them aside, first")
        name = secrets.token_urlsafe(9)
        part = OpenPart(name, self.folder / name, worker)
        part.folder.mkdir(mode=0o700)
        visitor.parts[name] = part
        return part

    def put_aside(self, visitor: Visitor, part: OpenPart) -> None:
        """Take a part off the page, its photos with it."""
        visitor.parts.pop(part.id, None)
        shutil.rmtree(part.folder, ignore_errors=True)

    def _forget(self, visitor: Visitor) -> None:
        for part in list(visitor.parts.values()):
            self.put_aside(visitor, part)
        del self.known[visitor.cookie]
