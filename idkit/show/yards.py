"""The commands of yards: begun, used, shown."""

from __future__ import annotations

from typing import Annotated

import typer

from idkit.show import terminal

app = typer.Typer(help="The yards you sell to: their own names, what they put together, whose prices hold.")
Many = list[str] | None


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="what you call the yard")],
    kind: Annotated[str, typer.Option(help="yard, board buyer, recycling point or bin")] = "",
    call: Annotated[Many, typer.Option(help='what it calls a category: "yellow-brass=taps and valves"')] = None,
    merge: Annotated[Many, typer.Option(help='what it puts together: "copper-clad=light-iron"')] = None,
    thick_from: Annotated[str, typer.Option(help='from where steel is heavy there: "6 mm", "1/4 in"')] = "",
    ton: Annotated[Many, typer.Option(help='what a bare word means there: "ton=net-ton", "cwt=cwt-112"')] = None,
    stale: Annotated[Many, typer.Option(help='days after which a price is old: "iron=30", "other=7"')] = None,
) -> None:
    """Begin a yard; of one that is there, say something anew. The first one is in use at once."""
    from idkit import flows
    from idkit.show import yarded

    ways = flows.Ways(kind.strip().lower(), call or (), merge or (), thick_from, ton or (), stale or ())
    found, is_new = flows.new_yard(name, ways)
    terminal.show(yarded.begun(found, is_new=is_new, in_use=flows.yards()[1]))


@app.command()
def use(name: Annotated[str, typer.Argument(help="a name of idkit yard show")]) -> None:
    """Let that yard's ways and prices hold from now on."""
    from idkit import flows

    terminal.show([("good", f"{flows.use_yard(name).name} is in use from now on.")])


@app.command("list")
def list_yards() -> None:
    """List the yards."""
    from idkit import flows
    from idkit.show import yarded

    terminal.show(yarded.every(*flows.yards()))


@app.command()
def show(name: Annotated[str, typer.Argument(help="one yard; all of them without")] = "") -> None:
    """Print a yard's own ways, or list the yards."""
    from idkit import flows
    from idkit.show import yarded

    if name:
        terminal.show(yarded.one(flows.yard_called(name), flows.in_use(name)))
    else:
        list_yards()
