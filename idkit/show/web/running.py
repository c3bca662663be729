"""The page opened: where it listens, the link and code that lead to it, and how it is closed."""

from __future__ import annotations

import io
import os
import secrets
import signal
import socket
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

import segno
import trustme
import uvicorn

from idkit import flows
from idkit.errors import CallError
from idkit.show.web import app
from idkit.show.web.security import Rules
from idkit.show.web.visitors import Visitors
from idkit.show.web.working import Line

HERE = ("localhost", "127.0.0.1", "::1")
MOST = 200  # connections at once
WORKERS = 2
PATIENCE = 70  # seconds that a phone may take to hear the end of what it asked before the page was closed
Say = Callable[[Iterable[tuple[str, str]]], None]


@dataclass(frozen=True)
class Wanted:
    """How the page is to be opened; `names` are more names of this machine, `picture` a file for the code to scan."""

    port: int
    lan: bool = False
    tls: bool = False
    names: tuple[str, ...] = ()
    picture: Path | None = None


def run(wanted: Wanted, say: Say) -> None:
    """Open the page and serve it until Ctrl-C; what runs then is finished first. CallError where the port is taken."""
    listening = _listening(wanted)
    key = secrets.token_urlsafe(16) if wanted.lan else ""
    names = names_of(wanted)
    link = link_to(wanted, names, key)
    code = segno.make(link, micro=False)
    with listening, tempfile.TemporaryDirectory(prefix="idkit-page-") as folder, _certificate(wanted, names) as files:
        if wanted.picture is not None:
            _draw(code, wanted.picture)
        visitors, line = Visitors(Path(folder)), Line(min(WORKERS, os.cpu_count() or 1))
        rules = Rules(frozenset(names), wanted.port, key, wanted.tls)
        built = app.build(visitors, line, rules, spelt=flows.bench().words, code=_svg(code) if wanted.lan else "")
        say(_opened(wanted, link, code))
        server = uvicorn.Server(
            uvicorn.Config(
                built,
                log_level="critical",
                access_log=False,
                server_header=False,
                limit_concurrency=MOST,
                timeout_graceful_shutdown=PATIENCE,
                proxy_headers=False,
                ssl_certfile=files[0] if files else None,
                ssl_keyfile=files[1] if files else None,
            )
        )
        try:
            with _ended_by_the_system():
                server.run([listening])
        finally:
            say(_closed(visitors.unkept))


@contextmanager
def _ended_by_the_system() -> Iterator[None]:
    """As by Ctrl-C where the system asks to end, or the terminal is closed."""

    def asked(_number: int, _frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    def left(_number: int, _frame: FrameType | None) -> None:
        signal.raise_signal(signal.SIGTERM)  # which the server hears, and finishes what runs

    main = threading.current_thread() is threading.main_thread()  # no other hears signals
    heard = {"SIGTERM": asked, "SIGHUP": left} if main else {}
    numbers = {getattr(signal, name): told for name, told in heard.items() if hasattr(signal, name)}
    before = {number: signal.signal(number, told) for number, told in numbers.items()}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def names_of(wanted: Wanted) -> tuple[str, ...]:
    """What browsers may call this machine: its own address alone, or also its names and address on the network."""
    if not wanted.lan:
        return (*HERE, *wanted.names)
    host = socket.gethostname().lower()
    return tuple(dict.fromkeys((address(), *HERE, host, f"{host.partition('.')[0]}.local", *wanted.names)))


def address() -> str:
    """This machine's address on the network; 127.0.0.1 where it is on none. Nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # RFC 5737: an address that nobody has; it only picks the way out
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def link_to(wanted: Wanted, names: tuple[str, ...], key: str) -> str:
    """The link that opens the page.

    >>> link_to(Wanted(8640, lan=True), ("192.0.2.7", "localhost"), "sesame")
    'http://192.0.2.7:8640/?key=sesame'
    """
    name = wanted.names[0] if wanted.names else names[0]
    return f"{'https' if wanted.tls else 'http'}://{name}:{wanted.port}/{f'?key={key}' if key else ''}"


def _listening(wanted: Wanted) -> socket.socket:
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind(("0.0.0.0" if wanted.lan else "127.0.0.1", wanted.port))
    except OSError as error:
        found.close()
        raise CallError(
            "--port", f"{wanted.port} can't be had ({error.strerror})", "a free one", "try --port 8641"
        ) from None
    return found


@contextmanager
def _certificate(wanted: Wanted, names: tuple[str, ...]) -> Iterator[tuple[str, str] | None]:
    """Files of a certificate for the machine's names and its key, for as long as the page is open."""
    if not wanted.tls:
        yield None
        return
    made = trustme.CA(organization_name="idkit on this machine").issue_cert(*names)
    with tempfile.TemporaryDirectory(prefix="idkit-tls-") as folder:
        chain, key = Path(folder, "chain.pem"), Path(folder, "key.pem")
        key.touch(mode=0o600)
        made.private_key_pem.write_to_path(str(key))
        for pem in made.cert_chain_pems:
            pem.write_to_path(str(chain), append=True)
        yield str(chain), str(key)


def _draw(code: segno.QRCode, path: Path) -> None:
    if path.suffix.lower() not in (".svg", ".png"):
        raise CallError("--picture", f"got {path.name!r}", "a name that ends in .svg or .png")
    try:
        code.save(str(path), scale=8, border=4, light="white")
    except OSError as error:
        raise CallError("--picture", f"{path} can't be written ({error.strerror})", "a folder that is there") from None


def _svg(code: segno.QRCode) -> str:
    drawn = io.BytesIO()
    code.save(drawn, kind="svg", scale=8, border=4, light="white")
    return drawn.getvalue().decode()


def _opened(wanted: Wanted, link: str, code: segno.QRCode) -> Iterator[tuple[str, str]]:
    yield "title", f"The page is at {link}"
    if wanted.lan:
        drawn = io.StringIO()
        code.terminal(drawn, compact=True)
        yield from (("", line) for line in drawn.getvalue().splitlines())
        yield "", "Scan it with a phone on this network. Whoever has the link can see and keep parts here."
    else:
        yield "", "For this machine alone; --lan lets phones in."
    if wanted.tls:
        yield "", "The phone will say that it does not know who made the certificate: this machine did, for this run."
    elif wanted.lan:
        yield "", "What goes over the network is not encrypted; --tls does that."
    yield "dim", "Ctrl-C closes it; what runs is finished first."


def _closed(unkept: int) -> Iterator[tuple[str, str]]:
    yield "", f"Closed. {unkept} open {'part was' if unkept == 1 else 'parts were'} not kept." if unkept else "Closed."
