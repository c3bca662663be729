"""What a run over a folder leaves behind: tags.jsonl, tags.csv, problems.csv, pictures.html."""

from __future__ import annotations

import csv
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from idkit import batch
from idkit.batch import Journal, Plan, Problem
from idkit.errors import StoreError
from idkit.show import cards, page
from idkit.show.cards import Card
from idkit.show.spelling import spoken

COLUMNS = (
    *(
        "part",
        "photos",
        "goes to",
        "settled",
        "first metal",
        "chance",
        "second metal",
        "chance of second",
        "next check",
    ),
    *("clean or dirty", "leave alone", "beware", "photo", "answers", "note", "at the yard"),
    *("worth from", "worth to", "currency", "for a"),
)


@dataclass(frozen=True)
class Written:
    """What was written: a card a part, the photos that gave nothing, where it lies."""

    cards: tuple[Card, ...]
    problems: tuple[Problem, ...]
    out: Path


def write(
    plan: Plan, journal: Journal, out: Path, told: Sequence[Problem], spelt: str, records: Mapping[str, int]
) -> Written:
    """Write the tags of every part of the plan that is done, in order.

    `told` are problems that are not kept, `records` the numbers of records by part, where parts were kept.
    Each file takes its place once it is whole. StoreError where the disk says no.
    """
    done = [job.part for job in plan.jobs if job.part in journal.entries]
    problems = [*told, *(Problem(folder.partition(":")[0], folder) for folder in plan.walked.unread)]
    found: list[Card] = []
    where: dict[str, tuple[str, int]] = {}  # of each part, its entry in the journal and its place there
    with _whole(out / "tags.jsonl") as lines, _whole(out / "tags.csv", mark=True) as sheet:
        rows = csv.writer(sheet)
        rows.writerow(COLUMNS)
        for job in done:
            outcome = journal.outcome(job)
            problems += outcome.problems
            for number, tag in enumerate(outcome.tags):
                part = tag["part"]
                lines.write(_json({**part, "record": records.get(part["part"])}) + "\n")
                found.append(cards.card(tag))
                where[found[-1].part] = job, number
                rows.writerow([batch.guarded(_spelt(cell, spelt)) for cell in _cells(found[-1])])
    problems.sort(key=lambda problem: (problem.file, problem.line))
    _write_problems(out / "problems.csv", problems)

    def pictures(card: Card) -> list[str]:
        job, number = where[card.part]
        kept: list[str] = journal.outcome(job).tags[number]["pictures"]  # read as the page comes to them: they are many
        return kept

    with _whole(out / "pictures.html") as file:
        file.writelines(page.pieces(found, problems, plan, len(plan.jobs) - len(done), pictures, spelt))
    return Written(tuple(found), tuple(problems), out)


def _write_problems(path: Path, problems: Sequence[Problem]) -> None:
    with _whole(path, mark=True) as file:
        rows = csv.writer(file)
        rows.writerow(("photo", "problem"))
        rows.writerows((batch.guarded(problem.file), problem.line) for problem in problems)


def _cells(card: Card) -> Iterator[str]:
    bars = [(bar.name, bar.odds) for bar in card.bars] + [("", "")] * 2
    yield from (
        card.part,
        " | ".join(card.files),
        cards.in_words(card.pile if card.place == cards.PILE else card.place),
    )
    yield from ("yes" if card.sure else "no", *bars[0], *bars[1], cards.in_words(card.check))
    yield from (card.state, " ".join(card.dangers), " ".join(card.cautions.values()), "; ".join(card.problems))
    yield from ("; ".join(f"{name}: {typed}" for name, typed in card.typed.items()), card.note, card.confirm)
    yield from card.value


def _spelt(text: str, words: str) -> str:
    return next(spoken([("", text)], words))[1]


def _json(part: object) -> str:
    """One line; names that are no text are escaped, as JSON has it."""
    line = json.dumps(part, ensure_ascii=False)
    try:
        line.encode()
    except UnicodeEncodeError:
        return json.dumps(part)
    return line


@contextmanager
def _whole(path: Path, *, mark: bool = False) -> Iterator[IO[str]]:
    """A file that takes its name once all is in it; with `mark` spreadsheets know it is UTF-8."""
    new = path.with_name(f".{path.name}.new")
    try:
        with new.open("w", encoding="utf-8-sig" if mark else "utf-8", errors="backslashreplace", newline="") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        new.replace(path)
    except OSError as error:
        raise StoreError(str(path), f"can't be written ({error.strerror})", "", "make room or use --out") from None
