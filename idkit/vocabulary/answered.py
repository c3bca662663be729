"""What a person answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from idkit.vocabulary.known import Material


@dataclass(frozen=True)
class Amount:
    """An amount as typed, in SI, with the size of its last digit (a scale's step, as far as the digits tell)."""

    value: float
    step: float
    typed: str


@dataclass(frozen=True)
class Answer:
    """One answer. `value` is the outcome's name, or a number in `unit` with its standard uncertainty."""

    check: str
    value: str | float
    unit: str = ""
    uncertainty: float = 0.0
    typed: str = ""


Answers = Mapping[str, Answer]


@dataclass(frozen=True)
class Bench:
    """What stands on a user's bench: scales by name with their step in kg, tools, the magnet, whose words (uk, us), and
    what its spreadsheet puts between cells (comma, semicolon).
    """

    scales: Mapping[str, float] = field(default_factory=dict)
    tools: tuple[str, ...] = ()
    magnet: str = ""
    words: str = "uk"
    cells: str = "comma"


@dataclass(frozen=True)
class Outcome:
    """One possible answer to a check. `width` is 1 for a named outcome, the width of the bin for a number."""

    answer: Answer
    width: float = 1.0


@dataclass(frozen=True)
class Check:
    """One thing a person can find out at a bench.

    `likelihood(material, answer, others)` is the chance (for a named outcome) or the density in `unit` (for a number)
    of that answer from a part of that material, given the other answers; never 0 or 1. `outcomes(others)` are the
    answers to reckon with beforehand, empty where the check can't be made; likelihood x width over them sums to 1.
    `slip` is the chance of a wrong answer where the truth is plain, NaN for what is only noted.
    `choices` are what one key answers: what it stands for, as it would be typed, and the words beside the key.
    """

    name: str
    question: str
    parse: Callable[[str], Answer]
    outcomes: Callable[[Answers], tuple[Outcome, ...]]
    likelihood: Callable[[Material, Answer, Answers], float]
    minutes: float
    how: str
    limits: str
    source: str
    trust: str
    cautions: tuple[str, ...] = ()
    asked: bool = True  # False for context that a person states but the program does not ask for
    slip: float = float("nan")
    acts: tuple[str, ...] = ()  # of ACTS: what is done to the part
    tool: str = ""  # what not every bench has; such a check is proposed only where it is owned, and last
    choices: tuple[tuple[str, str], ...] = ()
    by: tuple[str, ...] = ()  # checks that are typed one after the other to answer this one
    reads: tuple[str, ...] = ()  # other answers that its outcomes and likelihoods hang on, and no others
    replaces: tuple[str, ...] = ()  # checks of the same sense that say nothing more once this one is answered
