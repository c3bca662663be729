"""The page as a phone meets it: through its own door, with real workers behind it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from idkit.show.web import app
from idkit.show.web.security import Rules
from idkit.show.web.visitors import Visitors
from idkit.show.web.working import Line


class Phone(TestClient):
    """A browser without script, on the page."""

    @property
    def token(self) -> str:
        """The token in the forms of the page."""
        found = re.search(r'name="token" value="([^"]+)"', self.get("/").text)
        assert found is not None
        return found[1]

    def snap(self, *photos: tuple[str, bytes]) -> str:
        """Send photos as a new part; the address it got."""
        files = [("photo", photo) for photo in photos] or [("photo", ("", b""))]
        answer = self.post("/part", data={"token": self.token}, files=files, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        return answer.headers["location"]

    def shown(self, at: str) -> str:
        """A part's page, once it is no longer in line."""
        while "<h1>In line</h1>" in (text := self.get(at).text):
            pass
        return text

    def say(self, at: str, act: str, **fields: str) -> str:
        """Send a form of a part; the page that it leads to."""
        answer = self.post(f"{at}/{act}", data={"token": self.token, **fields}, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        return self.shown(answer.headers["location"])


Opened = Callable[..., AbstractContextManager[Phone]]


@pytest.fixture
def opened(tmp_path: Path) -> Opened:
    """Opens the page: with `workers` that look at photos, and a `key` where phones need one."""

    @contextmanager
    def opening(workers: int = 0, key: str = "") -> Iterator[Phone]:
        folder = tmp_path / "photos"
        folder.mkdir(exist_ok=True)
        rules = Rules(frozenset({"127.0.0.1", "bench.test"}), 8640, key)
        built = app.build(Visitors(folder), Line(workers), rules, code="<svg/>" if key else "")
        with Phone(built, base_url="http://127.0.0.1:8640", raise_server_exceptions=False) as phone:
            yield phone

    return opening
