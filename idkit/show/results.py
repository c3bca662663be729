"""What a run over a folder leaves behind: tags.jsonl, tags.csv, problems.csv, pictures.html."""

from __future__ import annotations

import json
import os
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from idkit import batch, flows
from idkit.batch import Journal, Plan, Problem
from idkit.errors import StoreError
from idkit.show import aside, cards, page
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
    """What was written: a card a part, the photos that gave nothing, rows of no part, where it lies.

    `unfinished` is how many parts of the plan are not done; `aside` where files of earlier runs were put that somebody
    had changed.
    """

    cards: tuple[Card, ...]
    problems: tuple[Problem, ...]
    unmet: tuple[str, ...]
    unfinished: int
    out: Path
    aside: tuple[Path, ...]


@dataclass(frozen=True)
class Writing:
    """How results are written: whose words (uk, us), and what stands between the cells of tables."""

    spelt: str
    between: str


def write(
    plan: Plan, journal: Journal, out: Path, told: Sequence[Problem], how: Writing, records: Mapping[str, int]
) -> Written:
    """Write the tags of every part of the plan that is done, in order.

    `told` are problems that are not kept, `records` the numbers of records by part, where parts were kept.
    Each file takes its place once it is whole. StoreError where the disk says no.
    """
    done = [job for job in plan.jobs if job.part in journal.entries]
    problems = [*told, *(Problem(folder, why) for folder, why in plan.walked.unread)]
    found: list[Card] = []
    unmet: list[str] = []
    changed: list[Path] = []
    where: dict[str, tuple[str, int]] = {}  # of each part, its entry in the journal and its place there
    with _whole(out / "tags.jsonl", changed) as lines, _whole(out / "tags.csv", changed, mark=True) as sheet:
        batch.write_table(sheet, [COLUMNS], how.between)
        for job in done:
            outcome = journal.outcome(job.part)
            problems += outcome.problems
            unmet += batch.unmet(job, outcome)
            for number, tag in enumerate(outcome.tags):
                part = tag["part"]
                lines.write(_json({**part, "record": records.get(part["part"])}) + "\n")
                found.append(cards.card(tag))
                where[found[-1].part] = job.part, number
                batch.write_table(sheet, [_cells(found[-1], how)], how.between)
    problems.sort(key=lambda problem: (problem.file, problem.line))
    with _whole(out / "problems.csv", changed, mark=True) as file:
        batch.write_table(file, [("photo", "problem"), *((each.file, each.line) for each in problems)], how.between)

    def pictures(card: Card) -> list[str]:
        part, number = where[card.part]
        kept: list[str] = journal.outcome(part).tags[number][
            "pictures"
        ]  # read as the page comes to them: they are many
        return kept

    tried = {each.file for each in told}
    unfinished = sum(job.part not in journal.entries and not tried.intersection(job.photos) for job in plan.jobs)
    told_of = page.Told(plan, tuple(problems), (*plan.unknown, *unmet), unfinished)
    with _whole(out / "pictures.html", changed) as file:
        file.writelines(page.pieces(found, told_of, pictures, how.spelt))
    return Written(tuple(found), told_of.problems, tuple(unmet), told_of.unfinished, out, tuple(changed))


def _cells(card: Card, how: Writing) -> Iterable[str]:
    """The cells of one part."""
    low, high, currency, per = card.value
    worth = (batch.decimal(low, how.between), batch.decimal(high, how.between), currency, per)
    return [*(next(spoken([("", cell)], how.spelt))[1] for cell in _texts(card)), *worth]


def _texts(card: Card) -> Iterator[str]:
    bars = [(bar.name, bar.odds) for bar in card.bars] + [("", "")] * 2
    yield from (
        card.part,
        " | ".join(card.files),
        cards.in_words(card.goes_to),
    )
    yield from ("yes" if card.sure else "no", *bars[0], *bars[1], cards.in_words(card.check))
    yield from (card.state, " ".join(card.dangers), " ".join(card.cautions.values()), "; ".join(card.problems))
    yield from ("; ".join(f"{name}: {typed}" for name, typed in card.typed.items()), card.note, card.confirm)


def _json(part: object) -> str:
    """One line; names that are no text are spelt out, which is how JSON escapes them."""
    return flows.spelt_out(json.dumps(part, ensure_ascii=False))


def parts_found(plan: Plan, out: Path) -> list[tuple[str, int]]:
    """The parts of photos that show several, by photo and number, as the last run left them in tags.jsonl; with 0 a
    photo that it did not read, or that has a row for all its parts.
    """
    count: Counter[str] = Counter()
    try:
        for line in (out / "tags.jsonl").read_text("utf-8").rstrip("\n").split("\n"):
            count.update({photo["file"] for photo in json.loads(line)["photos"]} if line else ())
    except FileNotFoundError:
        pass
    except (OSError, ValueError, KeyError, TypeError) as error:
        got = f"can't be read ({type(error).__name__})"
        raise StoreError(
            str(out / "tags.jsonl"), got, "", "run idkit tag again, or name another place: --out"
        ) from None
    found: list[tuple[str, int]] = []
    for job in plan.jobs:
        there = count[job.photos[0]]
        found += [(job.part, 0)] if not there or (job.part, 0) in plan.rows else []
        found += [(job.part, number) for number in range(1, there + 1)]
    return found


@contextmanager
def _whole(path: Path, put_aside: list[Path], *, mark: bool = False) -> Iterator[IO[str]]:
    """A file that takes its name once all is in it; with `mark` spreadsheets know it is UTF-8.

    One that somebody changed since the last run is put aside, and noted in `put_aside`.
    """
    new = path.with_name(f".{path.name}.new")
    try:
        new.unlink(missing_ok=True)  # of a run that was killed; behind a link nothing is written
        with new.open("x", encoding="utf-8-sig" if mark else "utf-8", errors="backslashreplace", newline="") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        changed = aside.replace(new, path)
        put_aside += [changed] if changed else []
    except OSError as error:
        raise StoreError(str(path), f"can't be written ({error.strerror})", "", "make room or use --out") from None
