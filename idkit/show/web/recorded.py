"""The addresses of records: what was kept, and what people said of it."""

from __future__ import annotations

import asyncio

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from idkit import flows
from idkit.show.web import pages
from idkit.show.web.page import Page, Routes, fields_of
from idkit.show.web.uploads import Refused

ROWS = 20


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
        materials=flows.nameable_materials(),
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
    known = {each.id for each in flows.nameable_materials()}, {each.id for each in flows.known_categories()}
    if material not in known[0] and (material or pile not in known[1]):
        raise Refused(400, "that is no metal and no pile; choose one of the list")
    return page.pages.show(request, "say.html", kept=whole.kept, material=material, pile="" if material else pile)


async def confirm(page: Page, request: Request) -> Response:
    """Note what a part turned out to be."""
    del page
    told, number = await fields_of(request), request.path_params["record"]
    voice = flows.Voice(*(told.get(name, "") for name in ("by", "yard", "note")))
    await asyncio.to_thread(flows.confirm, str(number), told.get("material", ""), told.get("pile", ""), voice)
    return RedirectResponse(f"/records/{number}", 303)


ROUTES: Routes = (
    ("GET", "/records", records),
    ("GET", "/records/{record:int}", record),
    ("GET", "/records/{record:int}/photo", thumbnail),
    ("GET", "/records/{record:int}/say", say),
    ("POST", "/records/{record:int}/confirm", confirm),
)
