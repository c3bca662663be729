"""What a form brings: counted while it streams, its token looked at, its photos laid down under tame names."""

from __future__ import annotations

import secrets
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartException
from starlette.requests import Request
from starlette.types import Message

from idkit.show.web.visitors import Visitor

LIMIT = 30_000_000  # bytes of a form with its photos
POURED_AWAY = 4 * LIMIT  # of one that is too large, read so that the browser gets to hear why
PHOTOS, FIELDS, FIELD = 6, 40, 4096  # of one form, and bytes of one field
LETTERS = 60  # of a photo's name


class Refused(Exception):
    """A form that is not taken: its status, and why in one line."""

    def __init__(self, status: int, line: str) -> None:
        super().__init__(line)
        self.status = status


@asynccontextmanager
async def posted(request: Request, visitor: Visitor) -> AsyncIterator[FormData]:
    """The form, where it is no larger than it may be and holds the visitor's token; Refused where not."""
    counted = _Counted(request)
    declared = request.headers.get("content-length", "0")
    if declared.isdecimal() and int(declared) > LIMIT:
        raise await counted.too_large()
    try:
        form = await Request(request.scope, counted.receive).form(
            max_files=PHOTOS + 2, max_fields=FIELDS, max_part_size=FIELD
        )
    except (MultiPartException, HTTPException) as error:
        raise await counted.why_not(error) from None
    try:
        token = form.get("token")
        if not isinstance(token, str) or not secrets.compare_digest(token.encode(), visitor.token.encode()):
            raise Refused(403, "the page it came from is out of date; open it again")
        yield form
    finally:
        await form.close()


class _Full(MultiPartException):
    """More bytes came than may: told as a fault of the form, so that what was read of it is closed."""


class _Counted:
    """A request's body, counted as it comes, whatever it said of its length."""

    def __init__(self, request: Request) -> None:
        self.request, self.count, self.ended = request, 0, False

    async def receive(self) -> Message:
        message = await self.request.receive()
        self.count += len(message.get("body", b""))
        self.ended = not message.get("more_body", False)
        if self.count > LIMIT:
            raise _Full("too large")
        return message

    async def why_not(self, error: MultiPartException | HTTPException) -> Refused:
        """The refusal of a form that was not read to its end."""
        if self.count > LIMIT:
            return await self.too_large()
        told = error.detail if isinstance(error, HTTPException) else error.message
        return Refused(400, f"the form can't be read ({told})")

    async def too_large(self) -> Refused:
        """The refusal, once the rest has been poured away: a browser that is cut off shows no page."""
        while not self.ended and self.count < POURED_AWAY:
            message = await self.request.receive()
            self.count += len(message.get("body", b""))
            self.ended = not message.get("more_body", False)
        return Refused(413, f"the photos are larger than {LIMIT // 1_000_000} MB together; send fewer, or smaller ones")


def photos_of(form: FormData) -> list[UploadFile]:
    """The photos in a form, without the places for one that were left empty; Refused for too many."""
    found = [each for each in form.getlist("photo") if isinstance(each, UploadFile) and each.size]
    if len(found) > PHOTOS:
        raise Refused(400, f"{len(found)} photos of one part; right is at most {PHOTOS}")
    return found


async def lay_down(photos: Sequence[UploadFile], folder: Path, first: int) -> tuple[Path, ...]:
    """Write photos into a folder, each in one of its own so that its name can stay; `first` is the first's number."""
    paths = []
    for number, photo in enumerate(photos, first):
        path = folder / str(number) / tame(photo.filename or "")
        path.parent.mkdir(mode=0o700)
        path.write_bytes(await photo.read())
        paths.append(path)
    return tuple(paths)


def tame(name: str) -> str:
    """A photo's name as a name and nothing else: no folders, no signs that a terminal or a file system acts on.

    >>> tame("../../etc/<b>tap.jpg"), tame("C:\\\\photos\\\\tap 2.jpg"), tame("..")
    ('b tap.jpg', 'tap 2.jpg', 'photo')
    """
    last = name.replace("\\", "/").rpartition("/")[2]
    plain = "".join(sign if sign.isalnum() or sign in " ._-()+" else " " for sign in last)
    stem, dot, ending = " ".join(plain.split()).strip(". ").rpartition(".")
    kept = f"{stem[:LETTERS]}{dot}{ending[:8]}" if stem else ending[:LETTERS]
    return kept.strip(". ") or "photo"
