"""What goes into the product: prior, photo, one factor a sense."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from idkit import ask, facts
from idkit.decide import fuse
from idkit.vocabulary import Evidence, Floats, PhotoEvidence

MATERIALS = tuple(facts.materials().values())
IDS = [material.id for material in MATERIALS]
PhotoOf = Callable[..., PhotoEvidence]


def fused(evidence: Evidence, form: str = "unknown", *, even: bool = False) -> Floats:
    return fuse.chances(MATERIALS, evidence, facts.form(form), ask.checks(), even=even)


def test_the_skin_and_a_scratch_on_it_are_two_things_to_see(photo_of: PhotoOf) -> None:
    """As found, the photo sees the skin; what the eye sees in a scratch made later counts beside it."""
    photo = photo_of({"copper": 1.0})
    both = Evidence(photo, ask.read({"scratch-colour": "grey-white"}), "as-found")
    assert {"photo", "scratch-colour"} <= set(fuse.factors(MATERIALS, both, ask.checks()))


def test_a_form_shifts_the_guess_by_no_more_than_twenty_to_one() -> None:
    """Priors are mild: no ratio over 20 to 1."""
    for name in facts.forms():
        weights = np.exp(fuse.log_prior(MATERIALS, facts.form(name)))
        assert weights.max() / weights.min() <= 20.0 + 1e-9


def test_even_takes_no_account_of_the_form() -> None:
    evidence = Evidence(None, ask.read({"magnet": "none"}), "")
    np.testing.assert_array_equal(fused(evidence, "casting", even=True), fused(evidence, "wire", even=True))
    assert np.abs(fused(evidence, "casting") - fused(evidence, "wire")).max() > 0.01


@pytest.mark.parametrize("form", ["unknown", "casting", "fitting"])
def test_brass_as_found_may_be_plating_and_bare_brass_may_not(
    form: str, starter_brass: dict[str, PhotoEvidence]
) -> None:
    """Brass-plated zinc looks like brass until it is scratched: as found it keeps a chance in hundreds, and loses on a
    scratch. Common practice, no source."""
    zinc, brass = IDS.index("brass-plated-zinc"), IDS.index("yellow-brass")
    found = {surface: fused(Evidence(photo, {}, surface), form) for surface, photo in starter_brass.items()}
    assert found["as-found"][zinc] > 0.03
    assert found["as-found"][zinc] > 2 * found["scratched"][zinc]
    odds = {surface: chances[zinc] / chances[brass] for surface, chances in found.items()}
    assert odds["as-found"] > 2 * odds["scratched"]


def test_copper_as_found_may_be_plating(starter_copper: dict[str, PhotoEvidence]) -> None:
    """Copper over steel, as coins and earth rods are, keeps a chance as found, and a magnet then names it."""
    steel, copper = IDS.index("copper-clad-steel"), IDS.index("copper")
    pulled = fused(Evidence(starter_copper["as-found"], ask.read({"magnet": "strong"}), "as-found"))
    assert fused(Evidence(starter_copper["as-found"], {}, "as-found"))[steel] > 0.03
    assert pulled[steel] > 5 * pulled[copper]


def test_a_likelihood_of_nought_is_never_taken_at_its_word() -> None:
    """Even a check whose author forgot the rule leaves every material a chance."""
    wrong = replace(ask.checks()["magnet"], likelihood=lambda material, _, __: float(material.id == "copper"))
    evidence = Evidence(None, ask.read({"magnet": "none"}), "")
    found = fuse.chances(MATERIALS, evidence, facts.form("unknown"), {"magnet": wrong})
    assert (found > 0).all()
    assert found.max() < 1


def test_a_cut_end_takes_over_from_the_photo_of_a_scratch(photo_of: Callable[..., PhotoEvidence]) -> None:
    """One factor a sense: both show the colour of bare metal."""
    photo, cut = photo_of({"copper": 2.0}), ask.read({"cut-end": "brass-yellow"})
    scratched, alone = Evidence(photo, cut, "scratched"), Evidence(None, cut, "scratched")
    assert "photo" not in fuse.factors(MATERIALS, scratched, ask.checks())
    np.testing.assert_array_equal(fused(scratched), fused(alone))
