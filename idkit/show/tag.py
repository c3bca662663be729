"""The command for a folder: plan, do what is left, write what was found."""

from __future__ import annotations

import os
import signal
import threading
from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Annotated

import typer

from idkit.errors import CallError, IdkitError
from idkit.show import terminal
from idkit.show.status import DONE, INTERRUPTED, NOTHING_DONE, SOME_UNREAD

if TYPE_CHECKING:
    from idkit.batch import Job, Journal, Manner, Plan, Problem
    from idkit.flows import Holds
    from idkit.show.results import Written

OUT = "idkit-tags"  # in the folder, where --out names no other place
NAMED = 8  # problems and unknown rows on the screen


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
    folder: Annotated[Path, typer.Argument(help="the folder of photos, those below it too")],
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
    from idkit.show import selling

    mine = flows.bench()
    if each and (sort or parts):
        raise CallError("--each", f"got {'--sort' if sort else '--parts'} beside it", "one of the two", "leave one out")
    try:
        rows = batch.read_rows(answers, mine) if answers else {}
        plan = batch.plan(folder, "each" if each else parts.value if parts else "", rows)
    except batch.WrongCells as error:
        for line in error.lines:
            terminal.say(line)
        raise
    if write_answers:
        batch.write_rows(write_answers, {job.part: job.photos for job in plan.jobs})
        told = "fill in what you know, leave the rest empty"
        terminal.show([("", f"{write_answers}: {len(plan.jobs)} parts; {told}, then: --answers {write_answers}")])
        return
    wish = Wish(out or folder / OUT, jobs or os.cpu_count() or 1, fresh, cluster, sidecars, sort, keep, with_photo)
    raise typer.Exit(
        _run(plan, folder, wish, _manner(folder, prior, mine.tools, selling.holds(yard, prices)), mine.words)
    )


def _manner(folder: Path, prior: Prior, tools: tuple[str, ...], sold: Holds | None) -> Manner:
    from idkit import batch, flows
    from idkit.show import tagged

    whole = str(folder.resolve())
    even = prior is Prior.EVEN
    return batch.Manner(whole, flows.digest(), tagged.describe, tagged.sketch, even, tools, sold)


def _run(plan: Plan, folder: Path, wish: Wish, manner: Manner, spelt: str) -> int:
    """Do what is left, write what is found, say so; the exit status."""
    from idkit import batch
    from idkit.show import keeping, results

    with batch.opened(wish.out, fresh=wish.fresh) as journal, _until_interrupted() as stop:
        left = batch.left(plan.jobs, journal, manner)
        terminal.show(_planned(plan, len(plan.jobs) - len(left)))
        told = _do(left, journal, manner, wish, stop)
        kept = keeping.keep(plan, journal, folder, with_photo=wish.with_photo) if wish.keep else keeping.NONE
        written = results.write(plan, journal, wish.out, told, spelt, kept.records)
    more = [*kept.said, *_beside(written, folder, wish)]
    terminal.show(_found(written, more))
    if stop.is_set():
        return INTERRUPTED
    if not written.cards or kept.failed:
        return NOTHING_DONE
    return SOME_UNREAD if written.problems else DONE


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
    """Set once Ctrl-C is pressed: what was begun is finished then. Pressed again, it ends at once."""
    stop = threading.Event()

    def asked(_number: int, _frame: FrameType | None) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()
        terminal.say("stopping: what was begun is finished and written down; Ctrl-C again ends at once")

    before = signal.signal(signal.SIGINT, asked)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


def _beside(written: Written, folder: Path, wish: Wish) -> Iterator[tuple[str, str]]:
    """Sidecars and copies, where they are wanted."""
    from idkit.show import sidecar, sorting

    if wish.sidecars:
        words: dict[str, list[str]] = defaultdict(list)
        for card in written.cards:
            for file in card.files:
                words[file] += [word for word in sidecar.keywords(card) if word not in words[file]]
        changed = 0
        for file, of_file in words.items():
            try:
                changed += sidecar.write(folder / file, of_file)
            except IdkitError as error:
                yield "warn", f"Sidecar {error}"
        yield "", f"Sidecars: {changed} written, {len(words) - changed} as they were."
    if wish.sort:
        copied = sorting.sort(written.cards, folder, wish.sort)
        yield "", f"{wish.sort}: {copied.new} photos copied, {copied.there} lay there already."
        for line in copied.elsewhere[:NAMED]:
            yield "warn", f"  An earlier copy lies on another pile: {line}"


def _planned(plan: Plan, known: int) -> Iterator[tuple[str, str]]:
    yield "", f"{_counted(plan.photos, 'photo')}, {_counted(len(plan.jobs), 'part')}: {plan.rule_said}."
    if others := plan.walked.others:
        yield "dim", f"{_counted(others, 'other file')} {'is' if others == 1 else 'are'} left alone."
    for line in plan.walked.unread:
        yield "warn", line
    if plan.unknown:
        named = ", ".join(plan.unknown[:NAMED]) + (" ..." if len(plan.unknown) > NAMED else "")
        yield "warn", f"In the answers file, but no part in the folder ({len(plan.unknown)}): {named}"
    if known:
        yield "dim", f"{known} done before, unchanged."


def _found(written: Written, more: Sequence[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    from idkit.show import cards, page, progress

    yield "", ""
    dangers = [card for card in written.cards if card.place == cards.LEAVE]
    for card in dangers[:NAMED]:
        yield "warn", f"{card.part}: {' '.join(card.dangers)}"
    if len(dangers) > NAMED:
        yield "warn", f"and {len(dangers) - NAMED} more to leave alone: see the page"
    for place, count in progress.counts(written.cards).most_common():
        yield "", f"{count:6}  {cards.in_words(place)}"
    for step in page.bench_plan(written.cards):
        these = "this one" if len(step.cards) == 1 else f"these {len(step.cards)}"
        yield "doubt", f"Check first: {cards.in_words(step.check)}, {these}, {step.lasting}: {step.named}"
    for problem in written.problems[:NAMED]:
        yield "warn", f"{problem.file}: {problem.line}"
    if len(written.problems) > NAMED:
        yield "warn", f"and {len(written.problems) - NAMED} more: {written.out / 'problems.csv'}"
    yield from more
    yield "title", f"Look at {written.out / 'pictures.html'}, and confirm at the yard."


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"
