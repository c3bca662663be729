"""The app, put together: its door, its addresses, and the line of work that is open while it is."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from idkit.show.web import loading, parts, recorded, refusing
from idkit.show.web.page import Page, Routes
from idkit.show.web.pages import Pages
from idkit.show.web.security import Door, Rules
from idkit.show.web.visitors import Visitors
from idkit.show.web.working import Line


def build(visitors: Visitors, line: Line, rules: Rules, *, spelt: str = "uk", code: str = "") -> Starlette:
    """The app; `code` is the link to the page as an SVG picture, where phones need one."""
    page = Page(visitors, line, Pages(spelt, bool(code)), code)

    @asynccontextmanager
    async def working(_: Starlette) -> AsyncIterator[None]:
        line.open()
        yield
        await line.close()

    addresses = (*parts.ROUTES, *recorded.ROUTES, *loading.ROUTES, *ROUTES)
    return Starlette(
        routes=[
            *(Route(path, partial(handler, page), methods=[method]) for method, path, handler in addresses),
            Mount("/static", StaticFiles(packages=[("idkit.show.web", "static")])),
        ],
        middleware=[Middleware(Door, rules=rules, visitors=visitors, refusal=page.pages.problem)],
        exception_handlers={
            **{kind: partial(refusing.refused, page) for kind in refusing.FORESEEN},
            Exception: partial(refusing.broken, page),
        },
        lifespan=working,
    )


async def phones(page: Page, request: Request) -> Response:
    """The code for another phone to scan."""
    return page.pages.show(request, "phones.html")


async def code(page: Page, request: Request) -> Response:
    """That code as a picture."""
    del request
    return Response(page.code, media_type="image/svg+xml")


ROUTES: Routes = (
    ("GET", "/phones", phones),
    ("GET", "/phones/code.svg", code),
)
