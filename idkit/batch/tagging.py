"""A folder of photos to tags: what is there, what is to be done, what was done before, and doing the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from idkit.batch.grouping import RULES, chosen, grouped, written
from idkit.batch.jobs import Job, Manner, Outcome
from idkit.batch.journal import Journal
from idkit.batch.recalling import holds, how
from idkit.batch.sheet import Row, Rows, WrongCells
from idkit.batch.walking import MADE, Walked, walk
from idkit.errors import CallError, StoreError

JOURNAL, LOCK = "journal.txt", "in-use.lock"
ABOUT = "idkit made this folder and what is in it; idkit looks for no photos here. journal.txt lets a run go on.\n"

Ways = Callable[[Sequence[Job], Manner], Iterator[Outcome]]  # how jobs are done: here or elsewhere


@dataclass(frozen=True)
class Plan:
    """What is to be done: jobs in order of their parts, the rule that made them, and rows that no photo belongs to."""

    walked: Walked
    rule: str
    jobs: tuple[Job, ...]
    unknown: tuple[str, ...]

    @property
    def rule_said(self) -> str:
        """The rule in words."""
        return RULES[self.rule]

    @property
    def photos(self) -> int:
        """How many photos there are."""
        return len(self.walked.photos)


def plan(folder: Path, rule: str, rows: Rows) -> Plan:
    """What is in the folder, part by part, with its answers. `rule` is one of RULES, or '' for the one that fits.

    CallError where there is no photo; WrongCells where a row names a photo that is not there or is another row's.
    """
    walked = walk(folder)
    if not walked.photos:
        got = f"no photo in it ({walked.others} other files)"
        raise CallError(str(folder), got, "a folder of JPEG, PNG, WebP, TIFF or HEIC photos", "check the name")
    named = {part: row.photos for part, row in rows.items() if row.photos}
    rule = rule or chosen(walked.photos, named=bool(named))
    if rule == "answers":
        _refuse_unknown(rows.values(), walked.photos)
    parts = grouped(walked.photos, rule, named if rule == "answers" else None)
    jobs = tuple(_job(part, photos, rows.get(written(part)) or Row(part), rule) for part, photos in parts.items())
    return Plan(walked, rule, jobs, tuple(sorted(rows.keys() - set(map(written, parts)))))


def _job(part: str, photos: tuple[str, ...], row: Row, rule: str) -> Job:
    return Job(part, photos, row.typed, row.note, each=rule == "each")


def _refuse_unknown(rows: Iterable[Row], photos: Sequence[str]) -> None:
    there, taken = set(map(written, photos)), dict[str, str]()
    wrong = []
    for row in rows:
        for photo in row.photos:
            owner = taken.setdefault(photo, row.part)
            why = "is no photo in the folder" if photo not in there else f"belongs to {owner!r} already"
            if photo not in there or owner != row.part:
                wrong.append(f"row {row.line}, column photos: {photo!r} {why}")
    if wrong:
        raise WrongCells("--answers", wrong)


@contextmanager
def opened(out: Path, *, fresh: bool = False) -> Iterator[Journal]:
    """The journal of a run in its folder, which is made where it is missing; StoreError where another run is at it.

    With `fresh` what was done before does not count. The lock is the system's own: it ends with the process.
    """
    import filelock

    try:
        out.mkdir(parents=True, exist_ok=True)
        (out / MADE).write_text(ABOUT, encoding="utf-8")
        lock = filelock.FileLock(out / LOCK, timeout=0)
        lock.acquire()
    except filelock.Timeout:
        raise StoreError(str(out), "another run is at work in it", "", "wait until it is done, or use --out") from None
    except OSError as error:
        raise StoreError(str(out), f"can't be written ({error.strerror})", "", "name another place: --out") from None
    with lock:
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
