"""The page opened as its command opens it, in a process of its own; and Debian's Chromium to look at it."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

CHROMIUM = Path("/usr/bin/chromium")
NAME = "bench.test"  # RFC 2606: a name that is nobody's; the browser is told that it is this machine
QUIET = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync", f"--host-resolver-rules=MAP {NAME} 127.0.0.1"),
)
PHONE: dict[str, Any] = {"viewport": {"width": 360, "height": 740}, "is_mobile": True, "has_touch": True}


@contextmanager
def served(home: Path, *options: str) -> Iterator[str]:
    """The link to a page that is open for as long; what is kept goes into `home`."""
    command = [sys.executable, "-c", "from idkit.show.cli import main; main()", "serve", "--port", str(_free())]
    with subprocess.Popen(
        [*command, *options], stdout=subprocess.PIPE, text=True, env={**os.environ, "IDKIT_HOME": str(home)}
    ) as process:
        assert process.stdout is not None
        found = re.search(r"https?://\S+", process.stdout.readline())
        assert found is not None, "the page did not open"
        try:
            yield found[0]
        finally:
            process.send_signal(signal.SIGINT)
            process.stdout.read()


def _free() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def chromium() -> Iterator[Any]:
    """A browser of Playwright's; none is downloaded."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(QUIET))
        try:
            yield browser
        finally:
            browser.close()
