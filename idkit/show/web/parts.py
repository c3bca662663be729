"""The addresses of parts: photos sent, answers tapped, verdicts read and kept. Each is a sentence, as a command is."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from idkit.errors import CallError
from idkit.show.web import answering, looking, pages, uploads
from idkit.show.web.looking import Asked
from idkit.show.web.page import Page, Routes, fields_of, visitor_of
from idkit.show.web.uploads import Refused
from idkit.show.web.visitors import OpenPart

PATIENCE = 3.0  # seconds that a page waits for its verdict before it says that it stands in line


async def home(page: Page, request: Request) -> Response:
    """Where a photo is taken, and the parts that lie open."""
    parts = list(reversed(visitor_of(request).parts.values()))
    return page.pages.show(request, "home.html", parts=parts)


async def new_part(page: Page, request: Request) -> Response:
    """A part from its photos; without any it is told by answers alone."""
    visitor = visitor_of(request)
    async with uploads.posted(request, visitor) as form:
        photos = uploads.photos_of(form)
        part = page.visitors.lay(visitor, page.line.free())
        try:
            page.ask(part, Asked(await uploads.lay_down(photos, part.folder, 0)))
        except BaseException:
            page.visitors.put_aside(visitor, part)
            raise
    part.photos = len(photos)
    return _to(part)


async def more_photos(page: Page, request: Request) -> Response:
    """Another photo of the same part."""
    part = page.part(request)
    async with uploads.posted(request, visitor_of(request)) as form:
        photos = uploads.photos_of(form)
        if len(photos) + len(part.asked.photos) > uploads.PHOTOS:
            raise Refused(400, f"{len(part.asked.photos)} photos of it are here; right is at most {uploads.PHOTOS}")
        if photos and _open(part):
            first, part.photos = part.photos, part.photos + len(photos)
            added = await uploads.lay_down(photos, part.folder, first)
            page.ask(part, replace(part.asked, photos=(*part.asked.photos, *added)))
    return _to(part)


async def show_part(page: Page, request: Request) -> Response:
    """A part as it stands now; where others are before it in line, its place there."""
    part = page.part(request)
    if part.ticket is not None:
        await asyncio.wait({part.ticket.done}, timeout=PATIENCE)
        if not part.ticket.done.done():
            return page.pages.show(request, "line.html", ahead=page.line.ahead(part.ticket), part=part)
        await asyncio.sleep(0)  # for what the part is told when its ticket is done
    refused, part.refused = part.refused, ""
    wanted = request.query_params.get("ask", "")
    told = pages.told(part.shown.record) if part.shown and part.shown.record else None
    return page.pages.show(
        request,
        "part.html",
        part=part,
        told=told,
        refused=refused,
        question=pages.question_of(part, wanted),
        others=list(pages.others(part)),
        known=answering.checks(),
    )


async def photo(page: Page, request: Request) -> Response:
    """One photo of a part, small, as it was drawn by a worker: never the bytes that were sent."""
    part, number = page.part(request), request.path_params["number"]
    if part.shown is None or number >= len(part.shown.pictures):
        raise Refused(404, "that photo is no longer here")
    return Response(part.shown.pictures[number].jpeg, media_type="image/jpeg")


async def answer(page: Page, request: Request) -> Response:
    """An answer, a question passed over, or an answer taken back."""
    return await _changed(page, request, lambda part, form: answering.answered(part.asked, form))


async def scratch(page: Page, request: Request) -> Response:
    """A tap on a photo: bare metal shows there."""
    return await _changed(
        page,
        request,
        lambda part, form: answering.tapped(part.asked, form, part.shown.pictures if part.shown else ()),
    )


async def keep_part(page: Page, request: Request) -> Response:
    """Keep the verdict as a record, once."""
    part, told = page.part(request), await fields_of(request)
    if part.kept is None and part.shown is not None and part.shown.record is not None and not part.refused:
        ticket = page.line.put(part.worker, looking.keep, part.id, part.asked, "whole" in told)
        part.kept = await asyncio.shield(ticket.done)
    return _to(part)


async def put_aside(page: Page, request: Request) -> Response:
    """Take a part off the page."""
    part = page.part(request)
    await fields_of(request)
    page.visitors.put_aside(visitor_of(request), part)
    return RedirectResponse("/", 303)


async def _changed(page: Page, request: Request, change: Callable[[OpenPart, dict[str, str]], Asked]) -> Response:
    """The part after a form; what can't be read is said on its page."""
    part, told = page.part(request), await fields_of(request)
    try:
        if _open(part):
            page.ask(part, change(part, told))
    except CallError as error:
        part.refused = str(error)
        asked = told.get("check", "")
        return RedirectResponse(
            f"/part/{part.id}?ask={asked}" if asked in answering.checks() else f"/part/{part.id}", 303
        )
    return _to(part)


def _open(part: OpenPart) -> bool:
    """Whether a part may still change: what is kept stays as it was kept."""
    return part.kept is None


def _to(part: OpenPart) -> Response:
    return RedirectResponse(f"/part/{part.id}", 303)


ROUTES: Routes = (
    ("GET", "/", home),
    ("POST", "/part", new_part),
    ("GET", "/part/{part}", show_part),
    ("POST", "/part/{part}/photos", more_photos),
    ("GET", "/part/{part}/photo/{number:int}", photo),
    ("POST", "/part/{part}/answer", answer),
    ("POST", "/part/{part}/scratch", scratch),
    ("POST", "/part/{part}/keep", keep_part),
    ("POST", "/part/{part}/aside", put_aside),
)
