"""The commands of piles: begun, filled, weighed, moved, checked, listed."""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import Annotated

import typer

from idkit.show import terminal

app = typer.Typer(help="Your piles: buckets and heaps of one kind each, what is on them and what they fetch.")
Name = Annotated[str, typer.Argument(help="what you call the pile")]


@app.command()
def new(
    pile: Name,
    category: Annotated[str, typer.Option(help="what it is sold as: idkit facts categories")] = "",
    state: Annotated[str, typer.Option(help="clean or dirty")] = "",
    tare: Annotated[str, typer.Option(help='what the empty bucket weighs: "1.2 kg"')] = "",
    place: Annotated[str, typer.Option(help="where it stands")] = "",
    volume: Annotated[str, typer.Option(help='what the bucket holds: "10 l", "5 us-gal"')] = "",
) -> None:
    """Begin a pile; of one that is there, say something anew."""
    from idkit import flows
    from idkit.show import heaped

    heap, is_new = flows.new_pile(pile, category, state, tare, place, volume)
    terminal.show(heaped.begun(heap, is_new=is_new))


@app.command()
def add(
    pile: Name,
    records: Annotated[str, typer.Option(help="numbers of idkit records list: 12 or 12,14-16")] = "",
    what: Annotated[str, typer.Option(help="what it is, where it has no record")] = "",
    pieces: Annotated[int, typer.Option(help="how many pieces")] = 1,
    uncounted: Annotated[bool, typer.Option("--uncounted", help="several, and nobody counted them")] = False,
    weight: Annotated[str, typer.Option(help='what it weighs, all together: "650 g"')] = "",
) -> None:
    """Put parts onto a pile: kept records, or anything, weighed or not."""
    from idkit import flows
    from idkit.show import heaped

    terminal.show(heaped.filled(flows.add_to_pile(pile, records, what, None if uncounted else pieces, weight)))


@app.command()
def weigh(
    pile: Name,
    shows: Annotated[str, typer.Argument(help='what the scale shows, bucket and all: "14.5 kg"')],
    net: Annotated[bool, typer.Option("--net", help="without the bucket")] = False,
    part: Annotated[int | None, typer.Option(help="one part of it by itself", show_default=False)] = None,
) -> None:
    """Weigh a pile as a whole; that counts from then on, whatever its parts weigh."""
    from idkit import flows
    from idkit.show import heaped

    terminal.show(heaped.balanced(flows.weigh_pile(pile, shows, part=part, net=net)))


@app.command()
def move(
    pile: Name,
    parts: Annotated[str, typer.Option(help="numbers of idkit pile list NAME: 1 or 1,3-5; or all")] = "",
    weight: Annotated[str, typer.Option(help='so much of it, whichever parts: "5 kg"')] = "",
    to: Annotated[str, typer.Option(help="the pile they go onto")] = "",
    place: Annotated[str, typer.Option(help="where the whole pile stands now")] = "",
    out: Annotated[str, typer.Option(help="why they are on no pile any more: kept, thrown away, counted twice")] = "",
) -> None:
    """Move parts onto another pile or off all piles, or a pile to another place."""
    from idkit import flows
    from idkit.show import heaped

    terminal.show(heaped.moved(flows.move_pile(pile, parts, weight, to=to, place=place, out=out)))


@app.command()
def check(
    pile: Name,
    count: Annotated[int, typer.Argument(help="how many pieces to look at")] = 10,
    seed: Annotated[int | None, typer.Option(help="draw the same ones again", show_default=False)] = None,
    wrong: Annotated[int | None, typer.Option(help="how many of them were wrong", show_default=False)] = None,
) -> None:
    """Draw pieces of a pile to look at, and say what finding none wrong, or some, shows of the rest."""
    from idkit import flows
    from idkit.show import heaped

    drawn = secrets.randbelow(10_000) if seed is None else seed
    found = flows.check_pile(pile, count, drawn, wrong)
    terminal.show(heaped.proposed(found, drawn) if wrong is None else heaped.checked(found))


@app.command("list")
def list_piles(
    pile: Annotated[str, typer.Argument(help="one pile, part by part")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
    yard: Annotated[str, typer.Option(help="sell to this yard instead of the one in use")] = "",
    prices: Annotated[
        Path | None, typer.Option(help="a price list instead of the one in use", show_default=False)
    ] = None,
) -> None:
    """List piles by what they fetch for a litre of the room they take, or one pile part by part."""
    from idkit import flows
    from idkit.show import heaped, holding, kept, selling

    holds = selling.at(yard, prices)
    found = flows.list_piles(pile, holds)
    if as_json:
        kept.print_json({"piles": [heaped.row(each) for each in found]})
    else:
        terminal.show(heaped.whole(found[0]) if pile else heaped.listed(found))
        terminal.show(holding.by_whose(holds) if found else ())
