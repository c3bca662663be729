"""The command that opens the phone page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from idkit.errors import CallError, MissingExtra, installing
from idkit.show import terminal


def serve(
    port: Annotated[int, typer.Option(help="where it listens")] = 8640,
    lan: Annotated[
        bool,
        typer.Option("--lan", help="let phones on this network in, those that scan the code; else this machine only"),
    ] = False,
    tls: Annotated[bool, typer.Option("--tls", help="encrypt, with a certificate made for this run")] = False,
    name: Annotated[
        list[str] | None, typer.Option(help="another name that phones call this machine by", show_default=False)
    ] = None,
    picture: Annotated[
        Path | None, typer.Option(help="draw the code to scan into this SVG or PNG", show_default=False)
    ] = None,
) -> None:
    """Open a page for phones at the bench: snap, tap, answer, read. Nothing leaves this machine."""
    try:
        from idkit.show.web import running
    except ImportError as error:
        raise MissingExtra("serve", f"needs {error.name}", "", installing("web")) from None
    if not 0 < port < 65536:
        raise CallError("--port", f"got {port}", "1 to 65535")
    running.run(running.Wanted(port, lan, tls, tuple(name or ()), picture), terminal.show)
