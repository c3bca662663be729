"""The commands of kept records, and of what they turned out to be."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from idkit.errors import CallError
from idkit.show import terminal

app = typer.Typer(help="Verdicts you kept with --keep, each with what a person said of the part later.")


class By(StrEnum):
    """Who says what a part is."""

    YARD = "yard"
    ANALYSER = "analyser"
    SELF = "self"


@app.command("list")
def list_records(
    material: Annotated[str, typer.Option(help="that the machine named first")] = "",
    pile: Annotated[str, typer.Option(help="that the machine put first")] = "",
    since: Annotated[str, typer.Option(help="kept on this day or later: 2026-03-01")] = "",
    unconfirmed: Annotated[bool, typer.Option("--unconfirmed", help="those that nobody has said anything of")] = False,
    wrong: Annotated[
        bool, typer.Option("--wrong", help="those that a yard or an analyser put on another pile")
    ] = False,
    removed: Annotated[bool, typer.Option("--removed", help="those that were removed and can be had back")] = False,
    rows: Annotated[int, typer.Option(help="how many at a time, at most 500")] = 20,
    before: Annotated[int | None, typer.Option(help="go on from this record", show_default=False)] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """List what was kept, the newest first."""
    from idkit import flows
    from idkit.show import kept

    confirmed = False if unconfirmed else None
    wanted = flows.listing(
        material, pile, since=since, confirmed=confirmed, wrong=wrong, removed=removed, rows=rows, before=before
    )
    kept.print_page(flows.records(wanted), as_json, "idkit identify PHOTO --keep keeps one")


@app.command("show")
def show_record(
    record: Annotated[str, typer.Argument(help="its number in idkit records list")],
    picture: Annotated[
        Path | None, typer.Option(help="write the photo, or its thumbnail, into this file", show_default=False)
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Show one record: the verdict as it was, and what a person said of it."""
    from idkit import flows
    from idkit.show import kept

    whole = flows.record_of(record)
    if picture is not None:
        kept.write(whole, picture)
    if as_json:
        kept.print_json({"parts": [kept.whole_row(whole)]})
    else:
        terminal.show(kept.shown(whole))


def confirm(
    records: Annotated[str, typer.Argument(help="numbers of idkit records list: 12 or 12,14-16")],
    material: Annotated[str, typer.Argument(help="what it turned out to be")] = "",
    category: Annotated[str, typer.Option(help="the pile that a yard took it for, where it named no material")] = "",
    by: Annotated[By | None, typer.Option(help="who says so", case_sensitive=False, show_default=False)] = None,
    yard: Annotated[str, typer.Option(help="which yard: two may disagree")] = "",
    note: Annotated[str, typer.Option(help="whatever else was said")] = "",
    withdraw: Annotated[bool, typer.Option("--withdraw", help="take back what they said before")] = False,
) -> None:
    """Say what parts turned out to be. Nothing is overwritten: say it again to correct it."""
    from idkit import flows
    from idkit.show import kept

    voice = flows.Voice(by.value if by else "", yard, note)
    if withdraw:
        if material or category:
            raise CallError("--withdraw", f"got it together with {material or category!r}", "one of the two")
        taken = ", ".join(str(each.record) for each in flows.withdraw(records, voice))
        terminal.show([("good", f"Taken back: {taken}.")])
        return
    for each, label in flows.confirm(records, material, category, voice):
        terminal.show([("good", f"Record {each.record} ({each.part}): {kept.said(label)}.")])
        terminal.show([("dim", f"  {kept.machine(each)}.")])
