"""The commands of the bench: scales, tools, the magnet, whose words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

import typer

from idkit.show import terminal

OUNCE = 0.45359237 / 16  # kg

app = typer.Typer(help="What stands on your bench: scales with their step, tools, the magnet, words, tables.")


@app.command()
def show() -> None:
    """Say what is saved of the bench."""
    terminal.show(_shown())


@app.command()
def scale(
    name: Annotated[str, typer.Argument(help="what you call it: kitchen, luggage, floor")],
    step: Annotated[str, typer.Argument(help='the smallest step it shows: "1 g", "0.1 lb"')],
) -> None:
    """Save a scale by name, for --scale NAME."""
    from idkit import flows

    flows.save_scale(name, step)
    terminal.show(_shown())


@app.command()
def tool(
    name: Annotated[str, typer.Argument(help="a tool that some check needs: idkit bench show lists them")],
    gone: Annotated[bool, typer.Option("--gone", help="it is not on the bench any more")] = False,
) -> None:
    """Note a tool that is at hand, so that checks with it are proposed."""
    from idkit import flows

    flows.own(name, gone=gone)
    terminal.show(_shown())


@app.command()
def magnet(kind: Annotated[str, typer.Argument(help="neodymium or ferrite")]) -> None:
    """Note which magnet you hold to parts."""
    from idkit import flows

    flows.set_magnet(kind)
    terminal.show(_shown())


@app.command()
def words(whose: Annotated[str, typer.Argument(help="us or uk")]) -> None:
    """Choose US or UK words for the screen."""
    from idkit import flows

    flows.set_words(whose)
    terminal.show(_shown())


@app.command()
def cells(between: Annotated[str, typer.Argument(help="comma or semicolon")]) -> None:
    """Choose what stands between the cells of tables that idkit writes, as your spreadsheet has it."""
    from idkit import flows

    flows.set_cells(between)
    terminal.show(_shown())


@app.command()
def check(
    pieces: Annotated[str, typer.Argument(help='known pieces: "20 us nickels", "10 euro 50 cent", "1 litre of water"')],
    shows: Annotated[str, typer.Option(help='what the scale shows for them: "101 g"')],
) -> None:
    """Check a scale with coins or a litre of water."""
    from idkit import flows

    found = flows.check_scale(shows, pieces)
    true, off = f"{found.count} x {found.piece.name}: {found.true * 1000:.1f} g", 100 * found.off
    terminal.show([("title", f"{true}; your scale shows {found.shown * 1000:.5g} g.")])
    within = f"{2 * found.uncertainty * 1000:.2g} g"
    if found.agrees:
        terminal.show([("good", f"It agrees, within what its step and the pieces allow (± {within}).")])
    else:
        said = f"It reads {abs(off):.1f} % {'high' if off > 0 else 'low'}, more than the ± {within} to be allowed for."
        terminal.show([("warn", f"{said} Level it, zero it, try again; then allow for it or use another scale.")])
    terminal.show([("dim", f"Source: {found.piece.source}.")])


def _shown() -> Iterator[tuple[str, str]]:
    from idkit import flows

    bench, none = flows.bench(), 'none saved; save one with idkit bench scale kitchen "1 g"'
    scales = ", ".join(f"{name} ({step_said(step)})" for name, step in bench.scales.items())
    yield "", f"Scales: {scales or none}"
    yield "", f"Tools: {', '.join(bench.tools) or 'none beside magnet, file, knife and scale'}"
    more = [name for name in flows.tools() if name not in bench.tools]
    if more:
        yield "dim", f"  others that some check needs: {', '.join(more)}"
    yield "", f"Magnet: {bench.magnet or 'not said'}"
    yield "", f"Words: {bench.words}"
    yield "", f"Between the cells of tables: {bench.cells}"


def step_said(step: float) -> str:
    """The step of a scale, in kg, in the unit in which it is a plain number; in grams where it is in none.

    >>> [step_said(step) for step in (0.001, 0.2 * 0.45359237, 0.5)]
    ['1 g', '0.2 lb', '500 g']
    """
    for unit, kg in (("g", 0.001), ("lb", 16 * OUNCE), ("oz", OUNCE)):
        if abs(step / kg - float(f"{step / kg:.2g}")) < 1e-9 * step / kg:
            return f"{step / kg:g} {unit}"
    return f"{step * 1000:.3g} g"
