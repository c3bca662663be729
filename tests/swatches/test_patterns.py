"""Where covers lie: print in as many inks as asked for, labels with straight edges."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.swatches.fields import SIDE
from idkit.swatches.patterns import GRAINS, band, blotches, printed

of_many = pytest.mark.parametrize("seed", range(30))


@of_many
@pytest.mark.parametrize("sheets", [1, 2, 6])
def test_every_point_has_one_of_the_colours(seed: int, sheets: int) -> None:
    for pattern in (printed, blotches):
        which = pattern(sheets, np.random.default_rng(seed))
        assert which.shape == (SIDE, SIDE)
        assert 0 <= which.min() <= which.max() < sheets


def test_print_uses_most_of_its_inks() -> None:
    used = [len(np.unique(printed(6, np.random.default_rng(seed)))) for seed in range(30)]
    assert np.mean(used) > 4


@of_many
def test_print_is_sharp(seed: int) -> None:
    """Far fewer points differ from a neighbour than would by chance: blocks and letters, not grain."""
    which = printed(4, np.random.default_rng(seed))
    assert (np.diff(which, axis=1) != 0).mean() < 0.35


@of_many
def test_a_band_is_there_or_not_but_for_a_thin_straight_edge(seed: int) -> None:
    share = band(np.random.default_rng(seed))
    assert share.shape == (SIDE, SIDE)
    assert 0 <= share.min() <= share.max() <= 1 + 1e-6
    between = (share > 0.02) & (share < 0.98)
    assert between.mean() < 0.12  # two edges, each a few points wide, across the frame


def test_bands_cover_much_or_little() -> None:
    shares = [float(band(np.random.default_rng(seed)).mean()) for seed in range(60)]
    assert min(shares) < 0.2
    assert max(shares) > 0.8


@pytest.mark.parametrize("grain", GRAINS.values(), ids=GRAINS)
def test_a_grain_shifts_light_about_and_makes_none(grain) -> None:
    gains = np.array([grain(np.random.default_rng(seed)) for seed in range(20)])
    assert gains.shape[1:] == (SIDE, SIDE)
    assert 0 < gains.min() < 0.9 < 0.95 < gains.max() < 8
    assert 0.7 < gains.mean() < 1.2


def test_brushed_runs_one_way_and_spangle_does_not() -> None:
    """Coherence of the mean structure tensor (Bigun and Granlund 1987): 1 for lines, 0 for no direction."""

    def coherence(name: str, seed: int) -> float:
        down, across = np.gradient(np.log(GRAINS[name](np.random.default_rng(seed))))
        xx, yy, xy = (across**2).mean(), (down**2).mean(), (across * down).mean()
        return float(np.hypot(xx - yy, 2 * xy) / (xx + yy))

    assert np.median([coherence("brushed", seed) for seed in range(10)]) > 0.9
    assert np.median([coherence("spangle", seed) for seed in range(10)]) < 0.2
