"""One question at a time: one key each, Enter passes it over, until the pile is settled or no check is worth it."""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from idkit import flows
from idkit.errors import CallError
from idkit.show import spelling, terminal, words
from idkit.vocabulary import ACTS, Check, Danger, Record

Lines = Iterator[tuple[str, str]]
PASS, UNSAFE, STOP = "\r\n", "x", "q"
LEAVES = (STOP, "\x03", "\x04", "\x1b")  # and Ctrl-C, Ctrl-D, Escape
KEYS = "1234567890abcdefghij"
HURTS = frozenset(ACTS) - {"handle"}
LEAVE = "Not if it is sealed, under pressure or spring load, or may hold a battery, charge, fuel, old paint or asbestos"
STILL = 1.0  # seconds in which an Enter belongs to the key before it; nobody reads a question in them
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

        return Hand(after_a_key(typer.getchar), input)
    return Hand(lambda: input()[:1] or "\n", input)


def after_a_key(key: Callable[[], str], now: Callable[[], float] = time.monotonic) -> Callable[[], str]:
    """The same keys without an Enter that only ends the key before, as people type who are used to it."""
    last = -math.inf

    def pressed() -> str:
        nonlocal last
        found = key()
        if found in "\r\n" and now() - last < STILL:
            last = -math.inf
            found = key()
        last = -math.inf if found in "\r\n" else now()
        return found

    return pressed


def ask(case: flows.Case, by: Hand, spelt: str = "uk") -> flows.Case:
    """Ask until the pile is settled, no check is worth its minutes, or the person stops."""
    _show(_opened(case.identified.record), spelt)
    told: tuple[Danger, ...] = ()
    while (check := case.question) is not None:
        verdict = case.identified.record.verdict
        if verdict.dangers != told:  # once, not before every question
            _show(words.dangers(verdict), spelt)
            told = verdict.dangers
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
        typed: dict[str, str] = {}
        for each in case.lines(check):
            said = _key(each, by) if each.choices else _line(each, by, named=len(case.lines(check)) > 1)
            if said is None:
                return case.skipped(check.name)
            if said == UNSAFE:
                return case.skipped(check.name).unsafe()
            typed[each.name] = said
        try:
            return case.answered(typed)
        except CallError as error:
            terminal.say(str(error))


def _line(check: Check, by: Hand, *, named: bool) -> str | None:
    """A typed line, UNSAFE, or None where the check is passed over; `named` asks by its name."""
    terminal.prompt(f"{check.question if named else ''}> ".replace("?>", "? >"))
    text = by.line().strip()
    if text.lower() == STOP:
        raise EOFError
    return UNSAFE if text.lower() == UNSAFE else text or None


def _key(check: Check, by: Hand) -> str | None:
    """The answer one key stands for, as it would be typed; likewise."""
    while True:
        terminal.prompt("> ")
        key = by.key().lower()
        terminal.prompt(f"{key.strip()}\n")
        if key in PASS:
            return None
        if key in LEAVES:
            raise EOFError
        if key == UNSAFE:
            return UNSAFE
        if key in KEYS[: len(check.choices)]:
            return check.choices[KEYS.index(key)][0]
        terminal.say(f"press one of the {len(check.choices)} keys above, or Enter")


def _opened(record: Record) -> Lines:
    yield "title", record.part
    if first := words.opening(record):
        yield "doubt", first
    elif record.photos:
        yield from _now(record)


def _question(check: Check, record: Record) -> Lines:
    yield "", ""
    yield "title", check.question
    yield "dim", f"  {check.how}"
    for caution in record.verdict.cautions:
        if check.name in caution.checks:
            yield "warn", f"  {caution.message}"
    if HURTS.intersection(check.acts):
        yield "warn", f"  {LEAVE}: x"
    for key, (_, said) in zip(KEYS, check.choices, strict=False):
        yield "", f"   {key}  {said}"
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
