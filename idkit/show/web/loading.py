"""The addresses of the load list: what goes to the yard, weighed on the spot, and what it fetches."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from idkit import flows
from idkit.errors import CallError
from idkit.show import loaded
from idkit.show.web.page import Page, Routes, fields_of
from idkit.show.weights import weight

FIRST = "Load"  # what a load is called where nobody says
SHOWN = 40  # lines of one category
TYPED = ("category", "state", "gross", "tare", "pieces", "what", "name", "payload")
Fields = Mapping[str, str]


async def load(page: Page, request: Request) -> Response:
    """The load that is asked for, the open one without; a form to begin one where there is none."""
    return await _page(page, request, request.query_params.get("load", ""))


async def _page(page: Page, request: Request, name: str, told: Fields | None = None, why: str = "") -> Response:
    """A load, with the form as it was filled in where that could not be done, and why."""
    known = list((await asyncio.to_thread(flows.loads)).values())
    shown: dict[str, Any] = {"load": None, "once": ""}
    if known:
        shown = _shown(await asyncio.to_thread(flows.show_load, name))
    others = [each for each in reversed(known) if each.name != shown["load"].name]
    typed = {field: (told or {}).get(field, "") for field in TYPED}
    form = {"typed": typed, "why": why, "weighing": "category" in (told or {}), "categories": flows.known_categories()}
    return page.pages.show(request, "load.html", 400 if why else 200, **shown, **form, others=others)


def _shown(found: flows.LoadShown) -> dict[str, Any]:
    """A load as the page shows it."""
    valued, at = found.valued, found.holds.yard
    pays = flows.to_pay(valued)
    span, expected = map(flows.money_said, pays) if pays else ("", "")
    return {
        "load": valued.load,
        "kilos": weight(valued.kg),
        "unweighed": valued.unweighed,
        "expected": expected,
        "span": span,
        "over": weight(valued.over) if valued.over is not None and valued.over > 0 else "",
        "room": weight(-valued.over) if valued.over is not None and valued.over <= 0 else "",
        "groups": [
            {
                "name": flows.named_at(group.category, at),
                "state": group.state,
                "much": weight(group.kg) if group.kg is not None else "",
                "money": flows.money_said(group.money) if group.money else group.fetched.why,
                "surely": f"{10 * group.right:.0f} in 10 surely" if group.right < 1 else "",
                "lines": [(line, loaded.within(line)) for line in group.lines[:SHOWN]],
                "more": len(group.lines) - SHOWN,
            }
            for group in valued.groups
        ],
        "questions": found.questions,
        "dangers": [f"{each.message} {each.who}" for each in found.dangers],
        "since": found.since,
        "cautions": [each.message for each in found.cautions],
        "doubts": found.holds.doubts,
        "once": secrets.token_hex(8),
    }


async def new(page: Page, request: Request) -> Response:
    """Begin a load."""
    told = await fields_of(request)
    try:
        found, _ = await asyncio.to_thread(flows.new_load, told.get("name") or FIRST, "", told.get("payload", ""))
    except CallError as error:
        return await _page(page, request, "", told, str(error))
    return _to(found.name)


async def add(page: Page, request: Request) -> Response:
    """Put a record or a weighed line on the open load; one is begun where a record finds none."""
    told = await fields_of(request)
    name = told.get("load", "")
    if not name:
        name = (await asyncio.to_thread(_open_load)).name
    try:
        await asyncio.to_thread(flows.add_to_load, name, _wanted(told), told.get("once", ""))
    except CallError as error:
        if told.get("record") or name not in await asyncio.to_thread(flows.loads):
            raise
        return await _page(page, request, name, told, str(error))
    return _to(name)


def _wanted(told: Fields) -> flows.LoadWanted:
    """What a form asks to put on; CallError for a number of pieces that is none."""
    pieces = told.get("pieces", "").strip()
    if pieces and not (pieces.isdecimal() and 0 < int(pieces) < 100_000):
        raise CallError("pieces", f"got {pieces!r}", "a number of pieces, such as 3")
    return flows.LoadWanted(
        records=told.get("record", ""),
        category="" if told.get("record") else told.get("category", ""),
        state=told.get("state", ""),
        gross=told.get("gross", ""),
        tare=told.get("tare", ""),
        weight=told.get("weight", ""),
        pieces=int(pieces) if pieces else None,
        what=told.get("what", ""),
    )


def _open_load() -> flows.LoadList:
    """The newest open load, begun where there is none."""
    opened = [each for each in flows.loads().values() if not each.closed]
    return opened[-1] if opened else flows.new_load(_free_name())[0]


def _free_name() -> str:
    known = flows.loads()
    return next(name for name in (FIRST, *(f"{FIRST} {n}" for n in range(2, 10_000))) if name not in known)


async def take_off(page: Page, request: Request) -> Response:
    """Take a line off; what came off a pile goes back onto it."""
    del page
    told = await fields_of(request)
    line = told.get("line", "")
    await asyncio.to_thread(flows.take_off, told.get("load", ""), int(line) if line.isdecimal() else 0)
    return _to(told.get("load", ""))


async def close(page: Page, request: Request) -> Response:
    """Close a load, or open it again before it has a ticket."""
    del page
    told = await fields_of(request)
    await asyncio.to_thread(flows.close_load, told.get("load", ""), again=bool(told.get("again")))
    return _to(told.get("load", ""))


def _to(name: str) -> Response:
    return RedirectResponse(f"/load?{urlencode({'load': name})}", 303)


ROUTES: Routes = (
    ("GET", "/load", load),
    ("POST", "/load/new", new),
    ("POST", "/load/add", add),
    ("POST", "/load/take-off", take_off),
    ("POST", "/load/close", close),
)
