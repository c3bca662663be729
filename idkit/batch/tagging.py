"""A folder of photos to tags: what is there, what is to be done, what was done before, and doing the rest."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from idkit import flows
from idkit.batch.grouping import RULES, Grouped, chosen, grouped
from idkit.batch.jobs import Job, Manner, Outcome
from idkit.batch.journal import Journal
from idkit.batch.made import MARK, RESULTS, make, mark_of
from idkit.batch.names import Names
from idkit.batch.recalling import holds, how
from idkit.batch.sheet import Row, Sheet, WrongCells
from idkit.batch.walking import Walked, walk
from idkit.errors import CallError, IdkitError, StoreError
from idkit.flows import OfPart

GUESSED = 40  # rows of no part for which a name that is near is looked for
NUMBER = re.compile(r"[1-9]\d{0,3}")  # of a part in a photo of several
JOURNAL, LOCK = "journal.txt", "in-use.lock"

Placed = dict[tuple[str, int], Row]  # by part and 0, or by photo and the number of a part in it
Ways = Callable[[Sequence[Job], Manner], Iterator[Outcome]]  # how jobs are done: here or elsewhere


@dataclass(frozen=True)
class Plan:
    """What is to be done: jobs in order of their parts, the rule that made them, the rows of the answers file by part,
    and its rows of no part, each in words.
    """

    folder: Path
    walked: Walked
    rule: str
    jobs: tuple[Job, ...]
    rows: Placed
    unknown: tuple[str, ...]

    @property
    def rule_said(self) -> str:
        """The rule in words."""
        return RULES[self.rule]

    @property
    def photos(self) -> int:
        """How many photos there are."""
        return len(self.walked.photos)


def plan(folder: Path, rule: str, sheet: Sheet) -> Plan:
    """What is in the folder, part by part, with its answers. `rule` is one of RULES, or '' for the one that fits.

    CallError where there is no photo; WrongCells where a row names a photo that is not there or is another row's, or
    two rows are of one part.
    """
    walked = walk(folder)
    if not walked.photos:
        others = f"{walked.others} other file{'' if walked.others == 1 else 's'}"
        if mark_of(folder):
            got = f"{MARK} in it says that idkit made it, and no photo is looked for there"
            raise CallError(str(folder), got, "a folder of yours", f"take {MARK} away if the photos are yours")
        got = f"no photo in it ({others})"
        raise CallError(str(folder), got, "a folder of JPEG, PNG, WebP, TIFF or HEIC photos", "check the name")
    rule = rule or chosen(walked.photos, named=any(row.photos for row in sheet.rows))
    named = _photos_named(sheet, walked.photos) if rule == "answers" else {}
    parts = grouped(walked.photos, rule, named)
    rows, unknown = _by_part(sheet, parts, rule)
    jobs = tuple(_jobs(parts, rows, each=rule == "each"))
    _refuse_clashes(sheet, jobs, rows)
    return Plan(folder, walked, rule, jobs, rows, unknown)


def unmet(job: Job, outcome: Outcome) -> Iterator[str]:
    """Parts of one photo that were answered for, and that were not found in it."""
    there = len(outcome.tags)
    for number in sorted(job.numbered):
        if number > there and not outcome.problems:
            yield f"{job.part}-{number} (found in that photo: {there})"


def _photos_named(sheet: Sheet, photos: Sequence[str]) -> dict[str, list[str]]:
    """The photos that each row names."""
    names, taken = Names(photos), dict[str, str]()
    found, wrong = dict[str, list[str]](), []
    for row in sheet.rows:
        for typed in row.photos:
            photo = names.meant(typed)
            owner = taken.setdefault(photo, row.part) if photo else ""
            if photo is None:
                near = names.near(typed)
                wrong.append(f"row {row.line}, column photos: {typed!r} is no photo in the folder{_is_it(near)}")
            elif owner != row.part:
                wrong.append(f"row {row.line}, column photos: {typed!r} belongs to {owner!r} already")
            else:
                found.setdefault(row.part, []).append(photo)
    if wrong:
        raise WrongCells(sheet.file, wrong, "photos of the folder, with | between them")
    return found


def _by_part(sheet: Sheet, parts: Grouped, rule: str) -> tuple[Placed, tuple[str, ...]]:
    """The row of each part, and rows of no part, each in words."""
    places, found = Places(parts, each=rule == "each"), Placed()
    unknown, wrong = list[Row](), []
    for row in sheet.rows:
        may_be = places.of(row)
        if len(may_be) > 1:
            both = " or ".join(f"part {number} of {part}" if number else part for part, number in may_be)
            wrong.append(
                f"row {row.line}, column part: {row.part!r} may be {both}; name its photo in the column photos"
            )
        elif not may_be:
            unknown.append(row)
        elif (before := found.setdefault(may_be[0], row)) is not row:
            wrong.append(f"row {row.line}, column part: {row.part!r} is the part of row {before.line} already")
    if wrong:
        raise WrongCells(sheet.file, wrong)
    near = (_is_it(places.near(row.part)) if at < GUESSED else "" for at, row in enumerate(unknown))
    return found, tuple(f"{row.part} (row {row.line}{guess})" for row, guess in zip(unknown, near, strict=True))


class Places:
    """The parts that rows mean: a part and 0; or with `each` a photo and the number of one of its parts, as tray-3."""

    def __init__(self, parts: Grouped, *, each: bool) -> None:
        """Take in the parts with their photos."""
        self._each, self._parts = each, Names(parts)
        self._holding = {photo: part for part, photos in parts.items() for photo in photos}
        self._photos = Names(self._holding)

    def of(self, row: Row) -> list[tuple[str, int]]:
        """What the row means: nothing that is there, one part, or with `each` two that are called alike.

        A part is called by its name, or by that of one of its photos. With `each` the photo that the row names tells
        two apart.
        """
        whole = self._called(row.part)
        found = [(whole, 0)] if whole is not None else []
        of_photo, _, number = row.part.rpartition("-")
        photo = self._called(of_photo) if self._each and NUMBER.fullmatch(number) else None
        found += [(photo, int(number))] if photo is not None else []
        if self._each and row.photos:
            named = {self._holding.get(self._photos.meant(name) or "") for name in row.photos}
            found = [place for place in found if place[0] in named]
        return found

    def near(self, typed: str) -> str:
        """The name of a part that is nearly it; '' where there is none."""
        return self._parts.near(typed)

    def _called(self, typed: str) -> str | None:
        part = self._parts.meant(typed)
        return self._holding.get(self._photos.meant(typed) or "") if part is None else part


def _is_it(near: str) -> str:
    return f"; is it {near!r}?" if near else ""


def _jobs(parts: Grouped, rows: Placed, *, each: bool) -> Iterator[Job]:
    """Parts to identify, with what was answered for each; with `each` photos, with what was for each of their parts."""
    own: dict[str, dict[int, Row]] = {}
    for (part, number), row in rows.items():
        own.setdefault(part, {})[number] = row
    for part, photos in parts.items():
        of_part = own.get(part, {})
        of_all = of_part.pop(0, Row(part))
        numbered = {number: _both(of_all, row) for number, row in of_part.items()}
        yield Job(part, photos, of_all.typed, of_all.note, each, numbered)


def _both(of_all: Row, own: Row) -> OfPart:
    """The answers and the note of one part: those of its photo, and its own."""
    return {**of_all.typed, **own.typed}, "; ".join(note for note in (of_all.note, own.note) if note)


def _refuse_clashes(sheet: Sheet, jobs: Iterable[Job], rows: Placed) -> None:
    """WrongCells where what is said of a photo and of one of its parts do not go together."""
    wrong = []
    for job in jobs:
        for number, (typed, _) in job.numbered.items():
            try:
                flows.understood(typed)
            except IdkitError as error:
                wrong.append(f"row {rows[job.part, number].line}, with the row of its photo: {error}")
    if wrong:
        raise WrongCells(sheet.file, wrong)


@contextmanager
def opened(out: Path, *, fresh: bool = False) -> Iterator[Journal]:
    """The journal of a run in its folder, which is made where it is missing; StoreError where another run is at it.

    With `fresh` what was done before does not count. The lock is the system's own: it ends with the process.
    """
    import filelock

    make(out, "--out", RESULTS)
    try:
        lock = filelock.FileLock(out / LOCK, timeout=0)
        lock.acquire()
    except filelock.Timeout:
        raise StoreError(str(out), "another run is at work in it", "", "wait until it is done, or use --out") from None
    except OSError as error:
        raise StoreError(str(out), f"can't be written ({error.strerror})", "", "name another place: --out") from None
    with lock:
        if (out / JOURNAL).is_symlink() or not (out / JOURNAL).is_file() and (out / JOURNAL).exists():
            raise StoreError(
                str(out / JOURNAL), "is no file of idkit's", "", "take it away, or name another place: --out"
            )
        if fresh:
            (out / JOURNAL).unlink(missing_ok=True)
        journal = Journal(out / JOURNAL)
        try:
            yield journal
        finally:
            journal.close()


def left(jobs: Sequence[Job], journal: Journal, manner: Manner) -> list[Job]:
    """The jobs that no earlier run did as they stand now."""
    return [job for job in jobs if not holds(job, journal.entries.get(job.part), manner)]


def done(jobs: Sequence[Job], manner: Manner, journal: Journal, ways: Ways) -> Iterator[Outcome]:
    """What each job gives, written down before it is given back."""
    known = {job.part: job for job in jobs}
    for outcome in ways(jobs, manner):
        if outcome.kept:
            journal.add(how(known[outcome.part], manner), outcome)
        yield outcome
    journal.without_waste()
