"""What every address of the page shares: who asks, what they sent, and the line in which a part is looked at."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable
from dataclasses import replace
from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from idkit.show.web import looking, uploads
from idkit.show.web.looking import Asked, Shown
from idkit.show.web.pages import Pages
from idkit.show.web.uploads import Refused
from idkit.show.web.visitors import OpenPart, Visitor, Visitors
from idkit.show.web.working import Line

Handler = Callable[["Page", Request], Awaitable[Response]]
Routes = tuple[tuple[str, str, Handler], ...]


class Page:
    """What the handlers share: the visitors, the line of work, and the pages."""

    def __init__(self, visitors: Visitors, line: Line, shown: Pages, code: str) -> None:
        self.visitors, self.line, self.pages, self.code = visitors, line, shown, code

    def part(self, request: Request) -> OpenPart:
        """The part that an address names, of this visitor."""
        part = visitor_of(request).parts.get(request.path_params["part"])
        if part is None:
            raise Refused(404, "that part is no longer here: it was put aside, or the machine was started anew")
        return part

    def ask(self, part: OpenPart, asked: Asked) -> None:
        """Have a part looked at; what was asked before holds on where that can't be done."""
        part.ticket = self.line.put(part.worker, looking.shown, asked)
        part.asked, part.refused = asked, ""
        part.ticket.done.add_done_callback(partial(_answered, part, asked))


def visitor_of(request: Request) -> Visitor:
    """Who asks; the door has made sure that it knows."""
    visitor: Visitor = request.state.visitor
    return visitor


async def fields_of(request: Request) -> dict[str, str]:
    """What was tapped and typed, of a form without photos."""
    async with uploads.posted(request, visitor_of(request)) as form:
        return {name: value for name, value in form.items() if isinstance(value, str)}


def _answered(part: OpenPart, asked: Asked, done: asyncio.Future[Any]) -> None:
    """Note on a part what its job ended in; a refused answer is taken back."""
    if done.cancelled():
        return
    error = done.exception()
    if error is None:
        shown: Shown = done.result()
        part.shown = replace(shown, notes=tuple(_by_name(part, note) for note in shown.notes))
        part.good = asked
        return
    part.refused = _by_name(part, str(error))
    if part.asked is asked:
        part.asked = part.good


def _by_name(part: OpenPart, line: str) -> str:
    """A line that names a photo by its name, not by where it lies while it is open."""
    return re.sub(rf"{re.escape(str(part.folder))}[/\\]\d+[/\\]", "", line)
