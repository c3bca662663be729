"""How far a run is: a moving line on a terminal, one line each five seconds elsewhere."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

from idkit.batch import Outcome
from idkit.show import cards, terminal

EVERY = 5.0  # seconds between lines where nobody looks
PILES = 4  # named while it runs

Tell = Callable[[Outcome], None]


@contextmanager
def shown(photos: int) -> Iterator[Tell]:
    """Tell of each outcome as it comes; `photos` is how many there are to do."""
    if sys.stderr.isatty():
        with _moving(photos) as tell:
            yield tell
    else:
        yield _lines(photos)


def _lines(photos: int) -> Tell:
    began = last = time.monotonic()
    done, piles = 0, Counter[str]()

    def tell(outcome: Outcome) -> None:
        nonlocal done, last
        done += len(outcome.files) or 1
        piles.update(map(cards.pile_of, outcome.tags))
        now = time.monotonic()
        if now - last >= EVERY:
            last = now
            rate = done / (now - began)
            left = (photos - done) / rate
            terminal.say(f"{done} of {photos} photos, {rate:.1f} a second, {spoken(left)} left: {said(piles)}")

    return tell


@contextmanager
def _moving(photos: int) -> Iterator[Tell]:
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
    from rich.table import Column

    columns = (
        BarColumn(10),
        MofNCompleteColumn(table_column=Column(min_width=2 * len(str(photos)) + 1)),
        TextColumn("{task.fields[rate]}", table_column=Column(min_width=13, no_wrap=True)),
        TimeRemainingColumn(compact=True, table_column=Column(min_width=5, no_wrap=True)),
        TextColumn("left  {task.fields[piles]}", table_column=Column(ratio=1, no_wrap=True, overflow="ellipsis")),
    )  # where the line is too narrow, the counts by pile give way
    piles, began = Counter[str](), time.monotonic()
    with Progress(*columns, console=Console(stderr=True), transient=True, expand=True) as progress:
        task = progress.add_task("", total=photos, rate="starting", piles="")

        def tell(outcome: Outcome) -> None:
            piles.update(map(cards.pile_of, outcome.tags))
            progress.advance(task, len(outcome.files) or 1)
            done = progress.tasks[0].completed
            rate = f"{done / max(time.monotonic() - began, 1e-3):.1f} photos/s"
            progress.update(task, rate=rate, piles=said(piles))

        yield tell


def said(piles: Counter[str]) -> str:
    """Counts by pile, the largest first.

    >>> said(Counter({"check-first": 3, "lead": 1}))
    'check first 3, lead 1'
    """
    named = [f"{cards.in_words(pile)} {count}" for pile, count in piles.most_common(PILES)]
    more = sum(piles.values()) - sum(count for _, count in piles.most_common(PILES))
    return ", ".join([*named, *([f"other piles {more}"] if more else [])])


def spoken(seconds: float) -> str:
    """A time in words.

    >>> spoken(42), spoken(200)
    ('42 s', '3 min')
    """
    return f"{seconds:.0f} s" if seconds < 90 else f"{seconds / 60:.0f} min"


def counts(found: Iterable[cards.Card]) -> Counter[str]:
    """How many parts go where."""
    return Counter(card.goes_to for card in found)
