"""What a run over a folder says on the screen: before, what there is to do; after, what was found."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from pathlib import Path

from idkit.batch import Plan
from idkit.show import cards, page, progress
from idkit.show.beside import Lines
from idkit.show.results import Written
from idkit.show.words import counted

NAMED = 8  # dangers and folders
ROWS = 40  # rows of the answers file that no part belongs to


def planned(plan: Plan, known: int, unanswered: int, own: Collection[Path]) -> Iterator[tuple[str, str]]:
    """What there is to do; `known` is how many parts were done before, `unanswered` how many of the others had answers
    then and have none now, `own` the folders that this run writes into."""
    parts = "" if plan.rule == "each" else f", {counted(len(plan.jobs), 'part')}"
    other = "" if plan.rule in ("each", "answers") else "; --parts chooses otherwise"
    yield "", f"{counted(plan.photos, 'photo')}{parts}: {plan.rule_said}{other}."
    if others := plan.walked.others:
        yield "dim", f"{counted(others, 'other file')} {'is' if others == 1 else 'are'} left alone."
    if made := [folder for folder in plan.walked.made if (plan.folder / folder).resolve() not in own]:
        more = f" and {len(made) - NAMED} more" if len(made) > NAMED else ""
        yield "dim", f"Not looked into, because idkit made it: {', '.join(made[:NAMED])}{more}"
    for folder, why in plan.walked.unread:
        yield "warn", f"{folder}: {why}"
    if plan.unknown:
        named = ", ".join(plan.unknown[:ROWS]) + (" ..." if len(plan.unknown) > ROWS else "")
        yield "warn", f"In the answers file, but no part in the folder ({len(plan.unknown)}): {named}"
    if known:
        yield "dim", f"{known} done before, unchanged."
    if unanswered:
        had, have = counted(unanswered, "part"), "has" if unanswered == 1 else "have"
        said = f"{had} had answers in the run before and {have} none in this one"
        yield "warn", f"{said}: give that run's --answers again to count them."


def found(written: Written, more: Lines) -> Iterator[tuple[str, str]]:
    """What was found: dangers first, counts by pile, what to check, what could not be read, and `more`."""
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
    yield from (("warn", f"{card.part}: {line}") for card in written.cards for line in card.twice)
    for problem in written.problems[:NAMED]:
        yield "warn", f"{problem.file}: {problem.line}"
    if len(written.problems) > NAMED:
        yield "warn", f"and {len(written.problems) - NAMED} more: {written.out / 'problems.csv'}"
    for row in written.unmet:
        yield "warn", f"In the answers file, but not found in the photo: {row}"
    for path in written.aside:
        yield "warn", f"{path.name} in {written.out} is what you had changed there: the run wrote a new one beside it."
    yield from more
    if written.unfinished:
        yield "warn", f"Stopped early: {counted(written.unfinished, 'part')} left. The same command goes on."
    yield "title", f"Look at {written.out / 'pictures.html'}, and confirm at the yard."
