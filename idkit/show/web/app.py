"""The app: an address each for what a person does at the page. A handler is a sentence, as a command is."""

from __future__ import annotations

import asyncio
import errno
import os
import traceback
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from dataclasses import replace
from functools import partial
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from idkit import flows
from idkit.errors import CallError, IdkitError, StoreError
from idkit.show import terminal
from idkit.show.web import answering, looking, pages, uploads
from idkit.show.web.looking import Asked
from idkit.show.web.security import Door, Rules
from idkit.show.web.uploads import Refused
from idkit.show.web.visitors import OpenPart, Visitor, Visitors
from idkit.show.web.working import Line, NotDone

PATIENCE = 3.0  # seconds that a page waits for its verdict before it says that it stands in line
ROWS = 20
Handler = Callable[["Page", Request], Awaitable[Response]]


class Page:
    """What the handlers share: the visitors, the line of work, and the pages."""

    def __init__(self, visitors: Visitors, line: Line, shown: pages.Pages, code: str) -> None:
        self.visitors, self.line, self.pages, self.code = visitors, line, shown, code

    def part(self, request: Request) -> OpenPart:
        """The part that an address names, of this visitor."""
        part = _visitor(request).parts.get(request.path_params["part"])
        if part is None:
            raise Refused(404, "that part is no longer here: it was put aside, or the machine was started anew")
        return part

    def ask(self, part: OpenPart, asked: Asked) -> None:
        """Have a part looked at; what was asked before holds on where that can't be done."""
        part.ticket = self.line.put(part.worker, looking.shown, asked)
        part.asked, part.refused = asked, ""
        part.ticket.done.add_done_callback(partial(_answered, part, asked))


def build(visitors: Visitors, line: Line, rules: Rules, *, spelt: str = "uk", code: str = "") -> Starlette:
    """The app; `code` is the link to the page as an SVG picture, where phones need one."""
    page = Page(visitors, line, pages.Pages(spelt, bool(code)), code)

    @asynccontextmanager
    async def working(_: Starlette) -> AsyncIterator[None]:
        line.open()
        yield
        await line.close()

    return Starlette(
        routes=[
            *(Route(path, partial(handler, page), methods=[method]) for method, path, handler in ROUTES),
            Mount("/static", StaticFiles(packages=[("idkit.show.web", "static")])),
        ],
        middleware=[Middleware(Door, rules=rules, visitors=visitors, refusal=page.pages.problem)],
        exception_handlers={
            **{kind: partial(_refused, page) for kind in (Refused, HTTPException, IdkitError, NotDone, OSError)},
            Exception: partial(_broken, page),
        },
        lifespan=working,
    )


async def home(page: Page, request: Request) -> Response:
    """Where a photo is taken, and the parts that lie open."""
    parts = list(reversed(_visitor(request).parts.values()))
    return page.pages.show(request, "home.html", parts=parts)


async def new_part(page: Page, request: Request) -> Response:
    """A part from its photos; without any it is told by answers alone."""
    visitor = _visitor(request)
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
    async with uploads.posted(request, _visitor(request)) as form:
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
    part, told = page.part(request), await _fields(request)
    if part.kept is None and part.shown is not None and part.shown.record is not None and not part.refused:
        ticket = page.line.put(part.worker, looking.keep, part.id, part.asked, "whole" in told)
        part.kept = await asyncio.shield(ticket.done)
    return _to(part)


async def put_aside(page: Page, request: Request) -> Response:
    """Take a part off the page."""
    part = page.part(request)
    await _fields(request)
    page.visitors.put_aside(_visitor(request), part)
    return RedirectResponse("/", 303)


async def records(page: Page, request: Request) -> Response:
    """What was kept, the newest first."""
    asked = request.query_params
    said = asked.get("said", "")
    before = asked.get("before", "")
    wanted = flows.listing(
        asked.get("material", ""),
        asked.get("pile", ""),
        since=asked.get("since", ""),
        confirmed={"yes": True, "no": False}.get(said),
        wrong=said == "wrong",
        rows=ROWS,
        before=flows.numbers_of(before, most=1)[0] if before else None,
    )
    found = await asyncio.to_thread(flows.records, wanted)
    return page.pages.show(
        request,
        "records.html",
        rows=pages.listed(found.rows),
        before=found.before,
        asked={name: asked.get(name, "") for name in ("material", "pile", "since", "said")},
        materials=flows.known_materials(),
        categories=flows.known_categories(),
    )


async def record(page: Page, request: Request) -> Response:
    """One record, and what people said of it."""
    whole = await asyncio.to_thread(flows.record_of, str(request.path_params["record"]))
    return page.pages.show(request, "record.html", **pages.remembered(whole))


async def thumbnail(page: Page, request: Request) -> Response:
    """The small photo that was kept with a record."""
    del page
    whole = await asyncio.to_thread(flows.record_of, str(request.path_params["record"]))
    if not whole.photos or not whole.photos[0].thumbnail:
        raise Refused(404, "that record was kept without a photo")
    return Response(whole.photos[0].thumbnail, media_type="image/jpeg")


async def say(page: Page, request: Request) -> Response:
    """The second of the two taps that confirm: who says so."""
    whole = await asyncio.to_thread(flows.record_of, str(request.path_params["record"]))
    material, pile = (request.query_params.get(name, "") for name in ("material", "pile"))
    known = {each.id for each in flows.known_materials()}, {each.id for each in flows.known_categories()}
    if material not in known[0] and (material or pile not in known[1]):
        raise Refused(400, "that is no metal and no pile; choose one of the list")
    return page.pages.show(request, "say.html", kept=whole.kept, material=material, pile="" if material else pile)


async def confirm(page: Page, request: Request) -> Response:
    """Note what a part turned out to be."""
    del page
    told, number = await _fields(request), request.path_params["record"]
    voice = flows.Voice(*(told.get(name, "") for name in ("by", "yard", "note")))
    await asyncio.to_thread(flows.confirm, str(number), told.get("material", ""), told.get("pile", ""), voice)
    return RedirectResponse(f"/records/{number}", 303)


async def phones(page: Page, request: Request) -> Response:
    """The code for another phone to scan."""
    return page.pages.show(request, "phones.html")


async def code(page: Page, request: Request) -> Response:
    """That code as a picture."""
    del request
    return Response(page.code, media_type="image/svg+xml")


ROUTES: tuple[tuple[str, str, Handler], ...] = (
    ("GET", "/", home),
    ("POST", "/part", new_part),
    ("GET", "/part/{part}", show_part),
    ("POST", "/part/{part}/photos", more_photos),
    ("GET", "/part/{part}/photo/{number:int}", photo),
    ("POST", "/part/{part}/answer", answer),
    ("POST", "/part/{part}/scratch", scratch),
    ("POST", "/part/{part}/keep", keep_part),
    ("POST", "/part/{part}/aside", put_aside),
    ("GET", "/records", records),
    ("GET", "/records/{record:int}", record),
    ("GET", "/records/{record:int}/photo", thumbnail),
    ("GET", "/records/{record:int}/say", say),
    ("POST", "/records/{record:int}/confirm", confirm),
    ("GET", "/phones", phones),
    ("GET", "/phones/code.svg", code),
)


async def _changed(page: Page, request: Request, change: Callable[[OpenPart, dict[str, str]], Asked]) -> Response:
    """The part after a form; what can't be read is said on its page."""
    part, told = page.part(request), await _fields(request)
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


def _answered(part: OpenPart, asked: Asked, done: asyncio.Future[Any]) -> None:
    """Note on a part what its job ended in; a refused answer is taken back."""
    if done.cancelled():
        return
    error = done.exception()
    if error is None:
        part.shown, part.good = done.result(), asked
        return
    part.refused = str(error).replace(f"{part.folder}{os.sep}", "")
    if part.asked is asked:
        part.asked = part.good


def _visitor(request: Request) -> Visitor:
    visitor: Visitor = request.state.visitor
    return visitor


def _to(part: OpenPart) -> Response:
    return RedirectResponse(f"/part/{part.id}", 303)


async def _fields(request: Request) -> dict[str, str]:
    """What was tapped and typed, of a form without photos."""
    async with uploads.posted(request, _visitor(request)) as form:
        return {name: value for name, value in form.items() if isinstance(value, str)}


async def _refused(page: Page, request: Request, error: Exception) -> Response:
    """The page for what was not done; never a trace."""
    status, title, told = 400, "That was not done.", str(error)
    if isinstance(error, Refused):
        status = error.status
    elif isinstance(error, HTTPException):
        status, title, told = error.status_code, "There is no such page.", "Go back to the start."
    elif isinstance(error, OSError):
        full = error.errno in (errno.ENOSPC, errno.EDQUOT)
        status, title = (507, "The disk is full.") if full else (500, "The disk can't be written or read.")
        told = (
            "Nothing that was kept before is lost. Make room on the machine, then try again."
            if full
            else str(error.strerror)
        )
    elif isinstance(error, StoreError) or (isinstance(error, NotDone) and error.kind == StoreError.__name__):
        status, title = 507, "It could not be kept."
    elif isinstance(error, NotDone):
        status = 503 if error.kind == "Busy" else 400
    return page.pages.problem(request, status, title, told)


async def _broken(page: Page, request: Request, error: Exception) -> Response:
    """What nobody foresaw: a line in the terminal, a page without a trace."""
    if os.environ.get("IDKIT_DEBUG") == "1":
        terminal.say("".join(traceback.format_exception(error)))
    terminal.say(f"{request.url.path}: could not go on ({type(error).__name__}); IDKIT_DEBUG=1 tells where")
    return page.pages.problem(request, 500, "Something went wrong.", "Nothing that was kept is lost. Please report it.")
