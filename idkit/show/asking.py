"""One question at a time: one key each, Enter passes it over, until the pile is settled or no check is worth it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from idkit import flows
from idkit.errors import CallError
from idkit.show import spelling, terminal, words
from idkit.vocabulary import Check, Record

Lines = Iterator[tuple[str, str]]
PASS, UNSAFE, STOP = "\r\n", "x", "q"
HURTS = frozenset({"file", "grind", "cut", "open", "wet", "strike"})
LEAVE = "Not if it is sealed, under pressure or spring load, or may hold a battery, charge, fuel, old paint or asbestos"
NAMED = 3  # materials in the line after each answer


@dataclass(frozen=True)
class Hand:
    """How a person answers: `key` gives one key, `line` a line of text; both raise EOFError where no more will come."""

    key: Callable[[], str]
    line: Callable[[], str]


def hand() -> Hand:
    """Keys of the terminal, or the first letter of each line where the input is no terminal."""
    if sys.stdin.isatty():
        import typer

        return Hand(typer.getchar, input)
    return Hand(lambda: input()[:1] or "\n", input)


def ask(case: flows.Case, by: Hand, spelt: str = "uk") -> flows.Case:
    """Ask until the pile is settled, no check is worth its minutes, or the person stops."""
    _show(_opened(case.identified.record), spelt)
    while (check := case.question) is not None:
        _show(_question(check, case.identified.record), spelt)
        try:
            case = _one(case, check, by)
        except EOFError:
            break
        _show(_now(case.identified.record), spelt)
    return case


def _one(case: flows.Case, check: Check, by: Hand) -> flows.Case:
    """The case after one answer to the check. EOFError where the person stops."""
    while True:
        typed = _typed(check, by)
        if typed is None:
            return case.skipped(check.name)
        if typed == UNSAFE:
            return case.unsafe()
        try:
            return case.answered(check.name, typed)
        except CallError as error:
            terminal.say(str(error))


def _typed(check: Check, by: Hand) -> str | None:
    """An answer as it would be typed, UNSAFE, or None where the check is passed over."""
    if not check.choices:
        terminal.prompt("> ")
        text = by.line().strip()
        if text.lower() == STOP:
            raise EOFError
        return text.lower() if text.lower() == UNSAFE else text or None
    while True:
        terminal.prompt("> ")
        key = by.key().lower()
        terminal.prompt(f"{key.strip()}\n")
        if key in PASS:
            return None
        if key in ("\x03", "\x04", "\x1b", STOP):
            raise EOFError
        if key == UNSAFE:
            return UNSAFE
        if key.isdigit() and 1 <= int(key) <= len(check.choices):
            return check.choices[int(key) - 1][0]
        terminal.say(f"press 1 to {len(check.choices)}, or Enter")


def _opened(record: Record) -> Lines:
    yield "title", record.part
    if first := words.opening(record):
        yield "doubt", first
    elif record.photos:
        yield from _now(record)


def _question(check: Check, record: Record) -> Lines:
    yield "", ""
    yield from words.dangers(record.verdict)
    yield "title", check.question
    yield "dim", f"  {check.how}"
    for caution in record.verdict.cautions:
        if check.name in caution.checks:
            yield "warn", f"  {caution.message}"
    if HURTS.intersection(check.acts):
        yield "warn", f"  {LEAVE}: x"
    for number, (_, said) in enumerate(check.choices, start=1):
        yield "", f"   {number}  {said}"
    yield (
        "dim",
        f"  {'Enter passes it over' if check.choices else 'Type it; Enter passes it over'}; x: not safe; q: stop",
    )


def _now(record: Record) -> Lines:
    """Where the part stands after an answer, in one line."""
    verdict = record.verdict
    if verdict.sure and verdict.pile is not None:
        yield "good", f"Pile settled: {verdict.pile.category.name}."
        return
    first = list(verdict.chances.items())[:NAMED]
    said = ", ".join(f"{flows.name_of(name)} {words.odds(chance)}" for name, chance in first)
    yield "doubt", f"Could be {said}."


def _show(lines: Lines, spelt: str) -> None:
    terminal.show(spelling.spoken(lines, spelt))
