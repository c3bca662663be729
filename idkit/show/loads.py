"""The commands of load lists: begun, filled, shown, closed, and what the yard's ticket made of them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from idkit.errors import CallError
from idkit.show import terminal

if TYPE_CHECKING:
    from idkit.flows import Ticketed

app = typer.Typer(help="Load lists: what goes to the yard, what it fetches, and what the yard paid.")
Name = Annotated[str, typer.Argument(help="what you call the load")]
Maybe = Annotated[str, typer.Argument(help="what you call the load; the open one without")]


@app.command()
def new(
    load: Name,
    yard: Annotated[str, typer.Option(help="the yard it goes to; the one in use without")] = "",
    payload: Annotated[str, typer.Option(help='what the vehicle may carry: "350 kg"')] = "",
    note: Annotated[str, typer.Option(help="whatever else is to be known of it")] = "",
) -> None:
    """Begin a load list; of one that is there, say something anew."""
    from idkit import flows
    from idkit.show import loaded

    terminal.show(loaded.begun(*flows.new_load(load, yard, payload, note)))


@app.command()
def add(
    load: Name,
    records: Annotated[str, typer.Option(help="numbers of idkit records list: 12 or 12,14-16")] = "",
    pile: Annotated[str, typer.Option(help="one of your piles, all of it")] = "",
    parts: Annotated[str, typer.Option(help="some parts of that pile: 1 or 1,3-5")] = "",
    category: Annotated[str, typer.Option(help="what it is sold as: idkit facts categories")] = "",
    state: Annotated[str, typer.Option(help="clean or dirty")] = "",
    gross: Annotated[str, typer.Option(help='bucket and all: "14.5 kg"')] = "",
    tare: Annotated[str, typer.Option(help='the empty bucket: "1.2 kg"')] = "",
    weight: Annotated[str, typer.Option(help='net: "13.3 kg", "29 lb"')] = "",
    pieces: Annotated[int | None, typer.Option(help="how many pieces", min=1, show_default=False)] = None,
    what: Annotated[str, typer.Option(help="what it is, in your words")] = "",
    note: Annotated[str, typer.Option(help="whatever else you saw")] = "",
) -> None:
    """Put kept records, some of a pile, or a weighed line onto a load."""
    from idkit import flows
    from idkit.show import loaded

    wanted = flows.LoadWanted(records, pile, parts, category, state, gross, tare, weight, pieces, what, note)
    terminal.show(loaded.came(*flows.add_to_load(load, wanted)))


@app.command("take-off")
def take_off(load: Name, line: Annotated[int, typer.Argument(help="its number in idkit load show")]) -> None:
    """Take a line off a load; what came off a pile goes back onto it."""
    from idkit import flows

    left = flows.take_off(load, line)
    terminal.show([("good", f"Line {line} is off {left.name}; {len(left.lines)} left.")])


@app.command()
def show(
    load: Maybe = "",
    table: Annotated[Path | None, typer.Option("--csv", help="write it as a CSV table", show_default=False)] = None,
    page: Annotated[Path | None, typer.Option(help="write it as one page to print", show_default=False)] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Print a load: by category, what it fetches, what to ask the yard, what to beware of."""
    from idkit import flows
    from idkit.show import load_page, loaded, taken

    if table is not None and not table.is_dir():
        taken.refuse_ending(table, "--csv", ".csv")
    if page is not None and not page.is_dir():
        taken.refuse_ending(page, "--page", ".html", ".htm")
    found = flows.show_load(load)
    for path, option, text in ((table, "--csv", loaded.table), (page, "--page", load_page.page)):
        if path is not None:
            written = text(found)
            taken.refuse(path, option, mark=taken.PAGE if path is page else b"", same=written.encode())
            flows.save_text(path, written, option)
    if as_json:
        sys.stdout.write(loaded.document(found) + "\n")
    else:
        terminal.show(loaded.shown(found))
        terminal.show([("", f"{path} is written.") for path in (table, page) if path is not None])


@app.command("list")
def list_loads() -> None:
    """List the loads, the newest first."""
    from idkit import flows
    from idkit.show import loaded

    terminal.show(loaded.every(list(flows.loads().values())))


@app.command()
def close(
    load: Name, opened: Annotated[bool, typer.Option("--open", help="open it again, before it has a ticket")] = False
) -> None:
    """Close a load: nothing more goes on it."""
    from idkit import flows

    found = flows.close_load(load, again=opened)
    terminal.show([("good", f"{found.name} is {'open again' if opened else 'closed'}.")])


@app.command()
def ticket(
    load: Name,
    file: Annotated[
        Path | None, typer.Option(help="the yard's ticket as a CSV table, a row a line", show_default=False)
    ] = None,
    category: Annotated[str, typer.Option(help="one line instead: what it was sold as")] = "",
    state: Annotated[str, typer.Option(help="clean or dirty, as it was sold")] = "",
    called: Annotated[str, typer.Option(help="what the yard called it, if something else")] = "",
    called_state: Annotated[str, typer.Option(help="clean or dirty, as the yard had it")] = "",
    gross: Annotated[str, typer.Option(help="what the yard weighed, bucket and all")] = "",
    tare: Annotated[str, typer.Option(help="the bucket, as the yard weighed it")] = "",
    deducted: Annotated[str, typer.Option(help='what it took off: "1.5 kg" or "3 %"')] = "",
    reason: Annotated[str, typer.Option(help="why: what the yard said")] = "",
    net: Annotated[str, typer.Option(help="what was paid for, by weight")] = "",
    pieces: Annotated[str, typer.Option(help="how many, where the price is for each")] = "",
    unit: Annotated[str, typer.Option(help="what the price is for: kg, lb, each ...")] = "",
    price: Annotated[str, typer.Option(help="for one such unit")] = "",
    paid: Annotated[str, typer.Option(help="what was paid for this line")] = "",
    fee: Annotated[str, typer.Option(help="what was kept back")] = "",
    step: Annotated[str, typer.Option(help='of the yard\'s scale: "0.5 kg"')] = "",
    more: Annotated[bool, typer.Option("--more", help="one more ticket, beside the one before")] = False,
    confirm: Annotated[
        bool, typer.Option("--confirm", help="confirm the pile of the records behind each line by it")
    ] = False,
) -> None:
    """Enter what the yard weighed, called and paid, and see what differs from the list, and why."""
    from idkit import flows
    from idkit.show import ticketed

    typed = {
        "category": category,
        "state": state,
        "called": called,
        "called-state": called_state,
        "gross": gross,
        "tare": tare,
        "deducted": deducted,
        "reason": reason,
        "net": net,
        "pieces": pieces,
        "unit": unit,
        "price": price,
        "paid": paid,
        "fee": fee,
        "step": step,
    }
    lines = _read(load, file, {name: text for name, text in typed.items() if text})
    if lines:
        flows.keep_ticket(load, lines, more=more)
    terminal.show(ticketed.reconciled(*flows.reconcile(load), asked=confirm))
    if confirm:
        terminal.show(ticketed.confirmed(flows.confirm_ticket(load)))


def _read(load: str, file: Path | None, typed: dict[str, str]) -> tuple[Ticketed, ...]:
    """The lines of a ticket from a file or from options; none where neither is said."""
    from idkit import flows

    at = flows.yard_of_load(load)
    if file and typed:
        raise CallError("--file", f"got it with --{next(iter(typed))}", "a file, or one line in options")
    if file is None:
        return (flows.one_line(typed, at),) if typed else ()
    return flows.read_ticket(file.name, *flows.table_cells(file, "--file"), at, flows.currency_of_load(load))
