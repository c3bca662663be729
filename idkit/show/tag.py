"""The command for a folder: plan, do what is left, write what was found."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Annotated

import typer

from idkit.errors import CallError
from idkit.show import terminal
from idkit.show.status import DONE, INTERRUPTED, NOTHING_DONE, SOME_UNREAD

if TYPE_CHECKING:
    from idkit.batch import Job, Journal, Manner, Plan, Problem, Sheet
    from idkit.flows import Holds
    from idkit.show.results import Writing

OUT = "idkit-tags"  # in the folder, where --out names no other place


class Parts(StrEnum):
    """Which photos are one part."""

    FOLDER = "folder"
    NAME = "name"
    PHOTO = "photo"
    ANSWERS = "answers"


class Prior(StrEnum):
    """How common the materials are taken to be."""

    FORM = "form"
    EVEN = "even"


@dataclass(frozen=True)
class Wish:
    """What is wanted beside the tags themselves."""

    out: Path
    jobs: int
    fresh: bool
    cluster: str
    sidecars: bool
    sort: Path | None
    keep: bool
    with_photo: bool


def tag(
    folder: Annotated[str, typer.Argument(help="the folder of photos, those below it too", metavar="FOLDER")],
    answers: Annotated[
        Path | None, typer.Option(help="CSV with a row a part: part, any check, scale, note", show_default=False)
    ] = None,
    write_answers: Annotated[
        Path | None, typer.Option(help="write a CSV to fill in, a row a part, and do no more", show_default=False)
    ] = None,
    parts: Annotated[
        Parts | None,
        typer.Option(
            help="which photos are one part: folder, name, photo or answers; the one that fits", show_default=False
        ),
    ] = None,
    each: Annotated[bool, typer.Option("--each", help="every photo shows several parts")] = False,
    out: Annotated[
        Path | None, typer.Option(help=f"where what is found goes; FOLDER/{OUT}", show_default=False)
    ] = None,
    jobs: Annotated[int, typer.Option(help="processes; one a core", min=0, show_default=False)] = 0,
    sidecars: Annotated[
        bool, typer.Option("--sidecars", help="keywords for photo programs, in an XMP beside each")
    ] = False,
    sort: Annotated[Path | None, typer.Option(help="copy the photos here, a folder a pile", show_default=False)] = None,
    keep: Annotated[bool, typer.Option("--keep", help="keep every part as a record, to confirm at the yard")] = False,
    with_photo: Annotated[
        bool, typer.Option("--with-photo", help="keep the photos whole too, not only small; with --keep")
    ] = False,
    yard: Annotated[str, typer.Option(help="sell to this yard instead of the one in use")] = "",
    prices: Annotated[
        Path | None, typer.Option(help="a price list instead of the one in use", show_default=False)
    ] = None,
    prior: Annotated[
        Prior, typer.Option(help="how common the materials are: by form, or all even", case_sensitive=False)
    ] = Prior.FORM,
    fresh: Annotated[bool, typer.Option("--fresh", help="do all again, whatever was done before")] = False,
    cluster: Annotated[str, typer.Option(help="address of a dask scheduler, to work on many machines")] = "",
) -> None:
    """Name every part in a folder of photos; goes on where it was stopped."""
    from idkit import batch, flows
    from idkit.show import results, selling

    if not folder:  # as of a variable that is not set
        raise CallError("FOLDER", "got an empty name", "a folder of photos", "this one is called .")
    place = Path(folder)
    _refuse_halves(answers=answers, parts=parts, each=each, sort=sort, keep=keep, with_photo=with_photo)
    mine = flows.bench()
    sheet = batch.Sheet(between=batch.MARKS[mine.cells])
    sheet = batch.read_rows(answers, mine) if answers else sheet
    plan = batch.plan(place, "each" if each else parts.value if parts else "", sheet)
    target = out or place / OUT
    if write_answers:
        _write_answers(write_answers, plan, target, sheet)
        return
    wish = Wish(target, jobs or os.cpu_count() or 1, fresh, cluster, sidecars, sort, keep, with_photo)
    _claim(wish, place)
    how = results.Writing(mine.words, sheet.between)
    raise typer.Exit(_run(plan, place, wish, _manner(place, prior, mine.tools, selling.holds(yard, prices)), how))


def _refuse_halves(
    *, answers: Path | None, parts: Parts | None, each: bool, sort: Path | None, keep: bool, with_photo: bool
) -> None:
    """CallError where an option is there without, or with, another that makes no sense so."""
    if each and (sort or parts):
        raise CallError("--each", f"got {'--sort' if sort else '--parts'} beside it", "one of the two", "leave one out")
    if parts is Parts.ANSWERS and answers is None:
        raise CallError("--parts", "got answers without a file", "--answers FILE.csv beside it")
    if with_photo and not keep:
        raise CallError("--with-photo", "got it without --keep", "both", "nothing is kept otherwise")


def _write_answers(path: Path, plan: Plan, out: Path, sheet: Sheet) -> None:
    """Write a file to fill in: a row a part as they were named; where every photo shows several, one for each found."""
    from idkit import batch
    from idkit.show import results
    from idkit.show.words import counted

    parts = results.parts_found(plan, out) if plan.rule == "each" else [(job.part, 0) for job in plan.jobs]
    photos = {job.part: job.photos for job in plan.jobs}
    count = batch.write_rows(
        path,
        [
            batch.ToFillIn(f"{part}-{number}" if number else part, photos[part], plan.rows.get((part, number)))
            for part, number in parts
        ],
        sheet,
    )
    said = "fill in what you know, leave the rest empty"
    terminal.show([("", f"{path}: {counted(count, 'row')}; {said}, then: --answers {path}")])


def _claim(wish: Wish, folder: Path) -> None:
    """CallError, before any work, where a folder to write into is the user's own; the folder of copies is made."""
    from idkit import batch

    batch.refuse(wish.out, folder, "--out", batch.RESULTS)
    if wish.sort:
        if wish.sort.resolve() == wish.out.resolve():
            raise CallError("--sort", f"got {wish.sort}, where the results go", "another folder")
        batch.refuse(wish.sort, folder, "--sort", batch.COPIES)
        batch.make(wish.sort, "--sort", batch.COPIES)


def _manner(folder: Path, prior: Prior, tools: tuple[str, ...], sold: Holds | None) -> Manner:
    from idkit import batch, flows
    from idkit.show import tagged

    whole = str(folder.resolve())
    even = prior is Prior.EVEN
    return batch.Manner(whole, flows.digest(), tagged.describe, tagged.sketch, even, tools, sold)


def _run(plan: Plan, folder: Path, wish: Wish, manner: Manner, how: Writing) -> int:
    """Do what is left, write what is found, say so; the exit status."""
    from idkit import batch
    from idkit.show import beside, keeping, results, told

    with batch.opened(wish.out, fresh=wish.fresh) as journal, _until_interrupted() as stop:
        left = batch.left(plan.jobs, journal, manner)
        own = {place.resolve() for place in (wish.out, wish.sort) if place}
        terminal.show(told.planned(plan, len(plan.jobs) - len(left), _unanswered(left, journal), own))
        passing = _do(left, journal, manner, wish, stop)
        kept = keeping.keep(plan, journal, folder, with_photo=wish.with_photo) if wish.keep else keeping.NONE
        written = results.write(plan, journal, wish.out, passing, how, kept.records)
        words = beside.put_keywords(written.cards, folder, stop) if wish.sidecars else beside.Beside()
        copies = beside.put_copies(written.cards, folder, wish.sort, stop) if wish.sort else beside.Beside()
        terminal.show(told.found(written, (*kept.said, *words.said, *copies.said)))
    if stop.is_set():
        return INTERRUPTED
    if not written.cards:
        return NOTHING_DONE
    return SOME_UNREAD if written.problems or kept.failed or words.failed or copies.failed else DONE


def _unanswered(left: Sequence[Job], journal: Journal) -> int:
    """How many of these parts, without answers now, were done with answers before."""
    silent = [job.part for job in left if not job.typed and not job.numbered and job.part in journal.entries]
    return sum(any(tag["part"]["answers"] for tag in journal.outcome(part).tags) for part in silent)


def _do(left: Sequence[Job], journal: Journal, manner: Manner, wish: Wish, stop: threading.Event) -> list[Problem]:
    """Do the jobs that are left; the problems that are told but not kept."""
    from idkit import batch
    from idkit.show import progress

    here = partial(batch.on_this_machine, processes=wish.jobs, stop=stop)
    ways = partial(batch.on_cluster, address=wish.cluster, stop=stop) if wish.cluster else here
    told: list[Problem] = []
    with progress.shown(sum(len(job.photos) for job in left)) as tell:
        for outcome in batch.done(left, manner, journal, ways):
            tell(outcome)
            told += () if outcome.kept else outcome.problems
    return told


@contextmanager
def _until_interrupted() -> Iterator[threading.Event]:
    """Set once Ctrl-C is pressed, or the system asks to end: what was begun is finished then. Asked again, it ends at
    once.
    """
    stop = threading.Event()

    def asked(_number: int, _frame: FrameType | None) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()
        terminal.say("stopping: what was begun is finished and written down; Ctrl-C again ends at once")

    before = {number: signal.signal(number, asked) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield stop
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
