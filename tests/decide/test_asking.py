"""What a check saves, and the piles after it, against working each answer out anew."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from idkit import ask, facts, flows
from idkit.decide.asking import Allowed
from idkit.decide.piles import piles_for
from idkit.decide.tables import Tables
from idkit.flows.piling import pile_of
from idkit.vocabulary import Evidence, Floats, PhotoEvidence, Verdict

Decide = Callable[..., Verdict]
MATERIALS = flows.known_materials()
KNOWN = {"form": "plate", "scratch-colour": "grey-white"}
ASKED = [name for name, check in ask.checks().items() if check.outcomes(ask.read(KNOWN)) and name not in KNOWN]


@pytest.fixture(scope="module")
def tables() -> Tables:
    return Tables(MATERIALS, ask.checks(), pile_of)


@pytest.mark.parametrize("name", [name for name in ASKED if name != "cut-end"])
def test_a_check_saves_what_the_best_pile_gains_over_its_answers(
    name: str, decide: Decide, photo_of: Callable[..., PhotoEvidence]
) -> None:
    """The mean of the best pile's chance over the answers, each decided anew, less what it is now; but for cut-end,
    which takes over from the colour of the scratch."""
    evidence = Evidence(photo_of({"aluminium-sheet": 1.0, "zinc": 1.5}), ask.read(KNOWN), "as-found")
    skipped, check = [each for each in ask.checks() if each != name], ask.checks()[name]
    said = decide(evidence, allowed=Allowed(skipped=skipped, tools=(check.tool,), least_worth=-1.0))
    found = np.array([said.chances[material.id] for material in MATERIALS])
    after = 0.0
    for outcome in check.outcomes(evidence.answers):
        answers = {**evidence.answers, name: outcome.answer}
        given = [check.likelihood(material, outcome.answer, evidence.answers) for material in MATERIALS]
        told = decide(Evidence(evidence.photo, answers, "as-found"), allowed=Allowed(skipped=list(ask.checks())))
        after += float(found @ given) * outcome.width * max(told.piles.values())
    assert said.next_check is not None
    assert said.next_check.check == name
    assert said.next_check.saves == pytest.approx(max(after - max(said.piles.values()), 0.0), abs=1e-6)


@pytest.mark.parametrize(
    "typed", [{}, KNOWN, {"came-out-of": "car radiator"}, {"form": "wire", "marked": "304"}], ids=str
)
@pytest.mark.parametrize("name", ASKED)
def test_the_piles_after_a_check_are_those_with_its_answer(name: str, typed: dict[str, str], tables: Tables) -> None:
    """Every outcome once, and nothing taken from what is kept."""
    check, answers = ask.checks()[name], {each: told for each, told in ask.read(typed).items() if each != name}
    is_open = facts.thickness_is_open(typed.get("form", "unknown"))
    after = {number: piles for piles, numbers in tables.piles_after(check, answers) for number in numbers}
    outcomes = check.outcomes(answers)
    assert sorted(after) == list(range(len(outcomes)))
    for number in {0, len(outcomes) // 3, len(outcomes) // 2, len(outcomes) - 1}:
        told = {**answers, name: outcomes[number].answer}
        anew = piles_for(MATERIALS, told, ask.checks(), pile_of, open_line=is_open)
        assert after[number].named == anew.named
        by_pile = (shares(each.ids, each.shares) for each in (after[number], anew))
        np.testing.assert_allclose(*by_pile, atol=1e-12)


def test_some_piles_hang_on_what_is_asked(tables: Tables) -> None:
    """Else the comparison above would be of the same with the same."""
    kinds = {name: len(tables.piles_after(ask.checks()[name], {})) for name in ASKED}
    assert kinds["magnet"] == 1
    assert kinds["thickness"] > 1


def shares(ids: tuple[str, ...], table: Floats) -> Floats:
    """Materials x all piles, in one order."""
    return np.stack([table[:, ids.index(row)] if row in ids else np.zeros(len(table)) for row in facts.categories()], 1)
