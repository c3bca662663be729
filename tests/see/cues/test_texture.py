"""Cues of texture on painted surfaces; the co-occurrence matrix by hand is in tests/reference."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.see.cues import texture

SIDE = 256  # the tile's longer side, so that one painted pixel is one pixel of the tile
Y, X = np.mgrid[:SIDE, :SIDE]
EVEN = np.full((SIDE, SIDE), 0.3)


def noise(spread: float = 0.2) -> np.ndarray:
    return 0.3 * np.exp(np.random.default_rng(13).normal(0, spread, (SIDE, SIDE)))


def lines(degrees: float, wavelength: float, depth: float = 0.3) -> np.ndarray:
    """Lines that run in that direction."""
    across = X * np.sin(np.radians(degrees)) + Y * np.cos(np.radians(degrees))
    return 0.3 * (1 + depth * np.sin(2 * np.pi * across / wavelength))


def chequers(side: int, depth: float = 0.2) -> np.ndarray:
    return 0.3 * np.where((X // side + Y // side) % 2, 1 + depth, 1 - depth)


# Lines that run one way -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees", [0, 30, 45, 90, 135])
def test_lines_run_one_way(surface, degrees: float) -> None:
    light = lines(degrees, 5) * noise(0.03) / 0.3
    assert texture.line_direction(surface(light)).value > 0.8


@pytest.mark.parametrize(
    "light", [noise(), chequers(4), (lines(0, 5) + lines(90, 5)) / 2], ids=["noise", "chequers", "mesh"]
)
def test_what_runs_no_way(surface, light: np.ndarray) -> None:
    assert texture.line_direction(surface(light)).value < 0.3


def test_slow_shading_is_no_line(surface) -> None:
    shaded = noise() * (0.7 + 0.6 * X / SIDE)
    assert texture.line_direction(surface(shaded)).value < 0.3


# Blotches -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("octave", texture.OCTAVES)
def test_the_octave_of_blotches_is_found(surface, octave: float) -> None:
    """Chequers of side c repeat every 1.41 c along the diagonal; a band between Gaussians of s and 2 s passes waves of
    6.5 s best (the maximum of exp(-u) - exp(-4 u), u = 0.46), and s is half the octave: c is about twice the octave."""
    reading = texture.mottle_scale(surface(chequers(round(2 * octave))))
    assert reading.value == pytest.approx(octave / SIDE)


def test_the_scale_is_a_share_of_the_part(surface) -> None:
    """The same blotches in a photograph three times as large."""
    large = np.kron(chequers(16), np.ones((3, 3)))
    assert texture.mottle_scale(surface(large)).value == pytest.approx(8 / SIDE)


def test_mottle_contrast_is_the_spread_in_its_octave(surface) -> None:
    """A wave of depth d has a standard deviation of d / 1.41, of which a band passes 0.47 at best (as above)."""
    wavelength = 6.5 * 4  # of the octave of 8
    for depth in (0.1, 0.2):
        found = texture.mottle_contrast(surface(lines(90, wavelength, depth))).value
        assert found == pytest.approx(0.4725 * depth / np.sqrt(2), rel=0.05)


def test_an_even_surface_is_not_blotchy(surface) -> None:
    assert texture.mottle_contrast(surface(EVEN)).value == pytest.approx(0, abs=1e-6)


# Grain ----------------------------------------------------------------------------------------------------------------


def not_uniform(light: np.ndarray) -> float:
    """Share of pixels round which light and dark change more than twice on a circle of radius 1 (Ojala, Pietikainen and
    Maenpaa 2002), counted anew: the neighbours along diagonals are interpolated among four pixels."""
    near = np.sqrt(0.5)
    middle = light[1:-1, 1:-1]
    lighter = []
    for down, right in [(0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1)]:
        there, beside, below = (np.roll(light, by, (0, 1)) for by in ((-down, -right), (0, -right), (-down, 0)))
        seen = (
            there
            if 0 in (down, right)
            else (near**2 * there + near * (1 - near) * (beside + below) + (1 - near) ** 2 * light)
        )
        lighter.append(seen[1:-1, 1:-1] >= middle)
    changes = sum(one != two for one, two in zip(lighter, [*lighter[1:], lighter[0]], strict=True))
    return float((changes > 2).mean())


def test_grain_makes_rough_patterns(surface) -> None:
    """Within 0.03: the tile is held in whole 64ths of its median, which makes ties."""
    assert texture.rough_patterns(surface(noise())).value == pytest.approx(not_uniform(noise()), abs=0.03)
    assert not_uniform(noise()) > 0.2
    assert texture.rough_patterns(surface(chequers(16))).value < 0.05
    assert texture.rough_patterns(surface(EVEN)).value == 0


def test_grain_shows_in_the_co_occurrence_matrix(surface) -> None:
    """Noise of 0.2 in ln luminance is 1.6 of 32 levels (8 to the median), so neighbours differ by 2 x 1.6^2, rounding
    to whole levels adds 2 / 12, and nothing connects them; broad blotches are much alike."""
    grainy, blotchy = surface(noise()), surface(chequers(32))
    assert texture.co_occurrence_contrast(grainy).value == pytest.approx(2 * 1.63**2 + 2 / 12, rel=0.1)
    assert texture.co_occurrence_correlation(grainy).value == pytest.approx(0, abs=0.03)
    assert texture.co_occurrence_correlation(blotchy).value > 0.85
    assert texture.co_occurrence_homogeneity(blotchy).value > 0.9 > texture.co_occurrence_homogeneity(grainy).value


# What has no texture --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cue", texture.CUES, ids=lambda cue: cue.name)
def test_a_part_too_small_in_the_photo_has_no_texture(surface, cue) -> None:
    reading = cue.measure(surface(noise()[:200, :200]))
    assert np.isnan(reading.value)
    assert reading.how == texture.TOO_SMALL


@pytest.mark.parametrize("cue", texture.CUES, ids=lambda cue: cue.name)
def test_light_of_any_strength_makes_no_difference(surface, cue) -> None:
    """The tile is relative to the part's own median; what differs is rounding to 8 bits."""
    bright, dim = (cue.measure(surface(factor * noise())).value for factor in (1.4, 0.6))
    assert dim == pytest.approx(bright, rel=0.06, abs=0.01)
