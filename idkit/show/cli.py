"""The command line. A command is a sentence: parse, one call into flows, print."""

from __future__ import annotations

import errno
import gc
import os
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from idkit.errors import CallError, FaultyTable, IdkitError
from idkit.show import (
    bench,
    cleaning,
    describing,
    finds,
    heaps,
    identify,
    loads,
    own,
    pricing,
    records,
    serve,
    tag,
    terminal,
    training,
    wire,
    yards,
)
from idkit.show.identify import Prior
from idkit.show.status import DONE, INTERRUPTED, NOTHING_DONE, WRONG_CALL

app = typer.Typer(
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    help="Which metal a part is made of, from photos and what you find out at the bench. The yard has the last word.",
)


app.command()(identify.identify)
app.add_typer(bench.app, name="bench")
app.add_typer(records.app, name="records")
app.command()(records.confirm)
app.add_typer(own.app, name="samples")
app.add_typer(finds.app, name="find")
app.add_typer(heaps.app, name="pile")
app.command()(wire.wire)
app.command()(cleaning.clean)
app.command()(training.train)
app.add_typer(training.app, name="models")
app.add_typer(describing.app, name="material")


class Table(StrEnum):
    """What idkit knows."""

    MATERIALS = "materials"
    CHECKS = "checks"
    CATEGORIES = "categories"
    DANGERS = "dangers"
    OBJECTS = "objects"
    MARKS = "marks"


class Paper(StrEnum):
    """What the reference card is printed on."""

    A4 = "a4"
    LETTER = "letter"


@app.command()
def score(
    folder: Annotated[Path, typer.Argument(help="the folder that holds the photos")],
    labels: Annotated[Path, typer.Option(help="a csv: photo, then material, category or family, answers by check")],
    pictures: Annotated[
        Path | None, typer.Option(help="draw confusion matrix and reliability into this folder", show_default=False)
    ] = None,
    prior: Annotated[
        Prior, typer.Option(help="how common the materials are: by form, or all even", case_sensitive=False)
    ] = Prior.FORM,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Say how right and how sure it is, on photos whose answer is known."""
    from idkit.show import score as scoring

    raise typer.Exit(scoring.run(folder, labels, pictures, even=prior is Prior.EVEN, as_json=as_json))


app.command()(tag.tag)
app.add_typer(yards.app, name="yard")
app.add_typer(pricing.app, name="prices")
app.add_typer(loads.app, name="load")
app.command()(serve.serve)


@app.command()
def facts(table: Annotated[Table, typer.Argument(help="which table", case_sensitive=False)]) -> None:
    """List what idkit knows: materials, checks, categories, dangers, objects that parts come out of, marks."""
    from idkit import flows
    from idkit.show import listings, spelling

    terminal.show(spelling.spoken(listings.LISTINGS[table.value](), flows.bench().words))


@app.command()
def card(
    out: Annotated[Path, typer.Argument(help="the PDF to write")],
    paper: Annotated[Paper, typer.Option(help="what it is printed on: a4 or letter", case_sensitive=False)] = Paper.A4,
) -> None:
    """Draw the reference card, to print and lay the part on: white, and size in mm, are then read from it."""
    from idkit.show import printing

    printing.save(paper.value, out)
    terminal.show([("", f"{out}: print it at 100 %, on plain white paper, and check its ruler against a real one.")])


@app.command()
def demo(
    folder: Annotated[Path | None, typer.Option(help="keep pictures of what was seen here", show_default=False)] = None,
) -> None:
    """Identify the sample parts that came with idkit, and compare with the truth."""
    from idkit.show import samples

    raise typer.Exit(samples.run(folder))


@app.callback(invoke_without_command=True)
def _root(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="say which version this is")] = False,
) -> None:
    if version:
        from idkit import __version__

        sys.stdout.write(f"idkit {__version__}\n")
        raise typer.Exit(DONE)
    if context.invoked_subcommand is None:
        sys.stdout.write(context.get_help() + "\n")


COLLECTED = 50_000  # objects made and not let go, from which waste is looked for
MANY_TIMES = ("--answer", "--off", "--name", "--gives", "--call", "--merge", "--ton", "--stale")
LISTED = ("--attached", "--marked", "--note", "--came-out-of")  # texts that may say several things
PLAINER = {  # what the library says of a wrong value, and what we say
    "Input should be a valid integer, unable to parse string as an integer": "not a whole number",
    "Value error, ": "",
}
UsageError = typer.BadParameter.__mro__[1]  # click's, which typer carries inside


def main() -> None:
    """Run, and end with the exit status that was promised."""
    gc.set_threshold(COLLECTED)  # what is imported is kept to the end: looking it through for waste takes a tenth
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by whoever started us
            setattr(sys, name, Path(os.devnull).open("w"))  # noqa: SIM115
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """The same with the arguments and the exit status in hand. No traceback without IDKIT_DEBUG=1."""
    try:
        _refuse_twice(arguments)
        status = typer.main.get_command(app).main(arguments, prog_name="idkit", standalone_mode=False)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        return _unread()
    except SystemExit as ended:
        if isinstance(ended.__context__, BrokenPipeError):  # click makes an exit of it
            return _unread()
        raise
    except Exception as error:
        if os.environ.get("IDKIT_DEBUG") == "1":
            raise
        return _failed(error)
    return status if isinstance(status, int) else DONE


def _unread() -> int:
    """Whoever read standard output has had enough, as `head` does: no failure, and nothing more is written."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return DONE


def _refuse_twice(arguments: list[str]) -> None:
    """An option given twice would lose what was said first, and with it a danger."""
    given = [text.partition("=")[0] for text in arguments if text.startswith("--") and text != "--"]
    for name in given:
        if given.count(name) > 1 and name not in MANY_TIMES:
            listed = name in LISTED
            right, more = ("once, all in one", "put commas between") if listed else ("once", "leave one out")
            raise CallError(name, "given twice", right, more)


def _failed(error: Exception) -> int:
    if isinstance(error, UsageError):
        told = " ".join(error.format_message().split()).rstrip(".")  # type: ignore[attr-defined]
        for theirs, ours in PLAINER.items():
            told = told.replace(theirs, ours)
        called = getattr(getattr(error, "ctx", None), "command_path", "idkit")
        terminal.say(f"idkit: {told}; {called} --help lists what there is")
        return WRONG_CALL
    if isinstance(error, IdkitError):
        for line in error.lines if isinstance(error, FaultyTable) else ():
            terminal.say(line)
        terminal.say(str(error))
        return WRONG_CALL if isinstance(error, CallError) else NOTHING_DONE
    if isinstance(error, OSError) and error.filename is None and error.errno == errno.ENOSPC:
        _unread()
        terminal.say("idkit: what was found can't be shown where it was sent (no room there); send it elsewhere")
        return NOTHING_DONE
    if isinstance(error, OSError) and error.errno == errno.ENOSPC:
        terminal.say("idkit: the disk is full, so it was not written; make room and run the same command again")
        return NOTHING_DONE
    if type(error).__name__ == "Abort":
        return INTERRUPTED
    told = " ".join(f"{type(error).__name__}: {error}".split())
    terminal.say(f"idkit: could not go on ({told}); set IDKIT_DEBUG=1 to see where, and please report it")
    return NOTHING_DONE
