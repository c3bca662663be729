"""The commands of materials that a person names: new and list."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from typing import Annotated, Any

import typer

from idkit.show import terminal

app = typer.Typer(help="Materials of your own: named and described, told apart once enough parts are confirmed.")


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="what you call it")],
    like: Annotated[str, typer.Option(help="the material of idkit facts materials that it goes with")] = "",
    density: Annotated[str, typer.Option(help="solid and clean: 8.4 (g/cm3) or 8400 (kg/m3)")] = "",
    magnet: Annotated[str, typer.Option(help="how a bare piece pulls: none, weak or strong")] = "",
    colour: Annotated[str, typer.Option(help="of a fresh scratch, as for identify --scratch-colour")] = "",
) -> None:
    """Name a material that idkit lacks and describe it; of one that is there, say something anew."""
    from idkit import flows

    found, is_new = flows.describe(name, like, density, magnet, colour)
    terminal.show(_begun(flows.of_described(found.id), is_new=is_new))


@app.command("list")
def list_materials(
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """List your own materials, and how many parts of each are confirmed."""
    from idkit import flows

    told = [flows.of_described(each.id) for each in flows.described()]
    if as_json:
        sys.stdout.write(json.dumps({"schema": 1, "materials": told}, indent=1, ensure_ascii=False) + "\n")
    else:
        terminal.show(_every(told))


def _begun(told: Mapping[str, Any], *, is_new: bool) -> Iterator[tuple[str, str]]:
    yield "good", f"{told['name']} is {'known from now on' if is_new else 'described anew'}."
    yield from _one(told)
    yield "dim", f"Call parts by it: idkit confirm RECORD {told['name']!r} --by yard. Then idkit train."


def _every(told: list[Mapping[str, Any]]) -> Iterator[tuple[str, str]]:
    for each in told:
        yield "title", each["name"]
        yield from _one(each)
    if not told:
        yield "", "You have described no material: idkit material new NAME --like MATERIAL does."


def _one(told: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    low, typical, high = (value / 1000 for value in told["density_kg_m3"])
    felt = f"scratch {told['family']}; magnet mostly {told['magnet']}"
    yield "", f"  {typical:.2f} g/cm3 ({low:.2f} to {high:.2f}); {felt}"
    yield "", f"  all else, its piles and its cautions as {told['goes_with_name']}"
    left = told["wanted"] - told["confirmed"]
    more = f"{left} more and idkit train tells it apart" if left > 0 else "idkit train tells it apart"
    yield "", f"  {told['confirmed']} of {told['wanted']} parts confirmed; {more}"
