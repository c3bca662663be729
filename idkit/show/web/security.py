"""The door of the page: whose requests are let in, and what browsers are told they may do with the answer."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from idkit.show.web.visitors import Visitor, Visitors
from idkit.show.web.working import NotDone

COOKIE = "idkit"
SHORTEST, LONGEST = 0.25, 8.0  # seconds that a wrong key waits for its answer: twice as long each time
OPEN_TO_ALL = "/static/"  # how the page looks, and its script
HEADERS = {
    "content-security-policy": (
        "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}

Refusal = Callable[[Request, int, str, str], Response]  # the page that says so: status, title, what next


@dataclass(frozen=True)
class Rules:
    """Who may come in. `names` are what a phone may call this machine by; without a `key` everybody on it may."""

    names: frozenset[str]
    port: int
    key: str = field(default="", repr=False)
    tls: bool = False


class Door:
    """Stands before the app: turns away what is not meant for it, and knows the visitor of what is."""

    def __init__(self, app: ASGIApp, rules: Rules, visitors: Visitors, refusal: Refusal) -> None:
        self.app, self.rules, self.visitors, self.refusal = app, rules, visitors, refusal
        self.wrong = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        request = Request(scope, receive)
        refused = await self._turned_away(request)
        kept = "no-cache" if request.url.path.startswith(OPEN_TO_ALL) else "no-store"  # asked for anew, or never kept
        await (refused or self.app)(scope, receive, _with_headers(send, {**HEADERS, "cache-control": kept}))

    async def _turned_away(self, request: Request) -> Response | None:
        """The answer to what is not let in; None where it is."""
        if not named_right(request.headers.get("host", ""), self.rules):
            return self.refusal(request, 421, "This is not the page's address.", "Open the link from the terminal.")
        if request.url.path.startswith(OPEN_TO_ALL):
            return None
        if request.method not in ("GET", "HEAD") and not from_here(request):
            return self.refusal(request, 403, "That came from another page.", "Do it again on this one.")
        visitor = self.visitors.of(request.cookies.get(COOKIE, ""))
        if visitor is not None and "key" not in request.query_params:
            request.state.visitor = visitor
            return None
        return await self._at_the_door(request)

    async def _at_the_door(self, request: Request) -> Response | None:
        """Somebody new, or with a key in hand: right ones get a cookie, and go on without the key in the address."""
        given = request.query_params.get("key", "")
        if request.method != "GET":
            return self.refusal(request, 403, "This page was closed in between.", "Open it again from its start.")
        if self.rules.key and not secrets.compare_digest(given.encode(), self.rules.key.encode()):
            if given:
                await self._wait()
            told = "That key does not fit." if given else "This page needs its key."
            return self.refusal(request, 403, told, "Scan the square code that the machine shows.")
        try:
            visitor = self.visitors.of(request.cookies.get(COOKIE, "")) or self.visitors.welcome()
        except NotDone as error:
            return self.refusal(request, 503, "There is no room.", f"{error}")
        return self._let_in(request, visitor)

    async def _wait(self) -> None:
        delay = min(LONGEST, SHORTEST * 2.0 ** min(self.wrong, 10))
        self.wrong += 1
        await asyncio.sleep(delay)

    def _let_in(self, request: Request, visitor: Visitor) -> Response:
        answer = RedirectResponse("/" + request.url.path.lstrip("/"), 303)  # "//name" would lead elsewhere
        # Lax, as a code that is scanned counts as coming from another page; what is written needs the token as well.
        answer.set_cookie(COOKIE, visitor.cookie, httponly=True, samesite="lax", secure=self.rules.tls)
        return answer


def named_right(host: str, rules: Rules) -> bool:
    """Whether a Host header names this machine and port: a stranger's name that points here does not."""
    try:
        address = urlsplit(f"//{host}")
        port = address.port or (443 if rules.tls else 80)
    except ValueError:
        return False
    name = (address.hostname or "").rstrip(".")
    return not address.username and name in rules.names and port == rules.port


def from_here(request: Request) -> bool:
    """Whether what is written comes from a page of ours, as far as the browser says where it comes from."""
    site, origin = request.headers.get("sec-fetch-site", ""), request.headers.get("origin")
    if site not in ("", "same-origin", "none"):
        return False
    return origin is None or origin.casefold() == f"{request.url.scheme}://{request.headers['host']}".casefold()


def _with_headers(send: Send, more: Mapping[str, str]) -> Callable[[Message], Awaitable[None]]:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in more.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
