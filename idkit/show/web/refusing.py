"""What was not done, as a page: which status, what is said, and never a trace."""

from __future__ import annotations

import errno
import os
import traceback

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from idkit.errors import IdkitError, StoreError
from idkit.show import terminal
from idkit.show.web.page import Page
from idkit.show.web.uploads import Refused
from idkit.show.web.working import NotDone

FORESEEN = (Refused, HTTPException, IdkitError, NotDone, OSError)


async def refused(page: Page, request: Request, error: Exception) -> Response:
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
        status, title = 507, "The records can't be read." if request.method == "GET" else "It could not be kept."
    elif isinstance(error, NotDone):
        status = 503 if error.kind == "Busy" else 400
    return page.pages.problem(request, status, title, told)


async def broken(page: Page, request: Request, error: Exception) -> Response:
    """What nobody foresaw: a line in the terminal, a page without a trace."""
    if os.environ.get("IDKIT_DEBUG") == "1":
        terminal.say("".join(traceback.format_exception(error)))
    terminal.say(f"{request.url.path}: could not go on ({type(error).__name__}); IDKIT_DEBUG=1 tells where")
    return page.pages.problem(request, 500, "Something went wrong.", "Nothing that was kept is lost. Please report it.")
