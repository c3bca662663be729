"""What white looks like in a photo, and how sure that is.

Colours are written as ln(R/G) and ln(B/G) of linear light. Warm and cool lights move a neutral along the black-body
locus, here a straight line through 5000 K, measured in mired (10^6 / kelvin).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from idkit.see import part as parts
from idkit.see.srgb import Real, brightest
from idkit.vocabulary import Floats, Image, Mask, Part, Photo, White

# Change of ln(R/G), ln(B/G) of a Planckian neutral for one mired at 5000 K; derived, see tests/see/test_light.py.
MIRED = np.array([0.0036, -0.0062])
TINT = np.array([0.0062, 0.0036]) / 0.00717  # across the locus: green against magenta

# Standard uncertainties in mired. Where nothing neutral is in view, what a camera balances is as far off as published
# methods that go by the statistics of the scene are in the worst quarter of scenes: 9 to 10 degrees between true and
# estimated light (van de Weijer, Gevers and Gijsenij 2007, Edge-based color constancy, and comparisons since), and a
# mired is 0.23 degrees. With something neutral in view 25, and paper is neutral to within 12: from memory.
CAMERA, CAMERA_LOST, PAPER = 25.0, 40.0, 12.0
TINT_UNCERTAINTY = 0.03

# What a ground that is not neutral looks like (wood, cloth, cardboard, slate): broad and mostly warm; from memory.
COLOURED_CENTRE, COLOURED_SPREAD = np.array([0.25, -0.5]), 0.35
DARKEST_WHITE = 0.25  # linear luminance of the ground at which it is as likely something darker than white; from memory
EVEN_WHITE = 0.2  # spread of ln luminance over the brighter half of paper in uneven light; stone has more; from memory

# Ground of two kinds: share of the variance of ln luminance that lies between them, an even spread having 0.75; how far
# apart they are, and the share that the brighter takes at the least. From memory.
TWO_KINDS, TWICE, LEAST_PAPER = 0.8, 0.5, 0.05

# How much of the light on a metal part comes back from a coloured ground, as a share, and how often; from memory.
THROWN_BACK = ((0.0, 0.4), (0.1, 0.3), (0.2, 0.2), (0.35, 0.1))

# Where the ground's tint slopes by so many mired (standard deviation over it), two lights are at work: not at all up to
# the first, wholly from the second. One light's paper beside coloured things stays under the first: chosen with the
# totals over real coins in view.
ONE_LIGHT, TWO_LIGHTS = 24.0, 40.0
NEIGHBOUR = 15.0  # mired off the slope at which a pixel of the ground counts half: something coloured lies there
FOLLOW = 0.5  # share of the ground that has to keep so near to the slope, else it is of what lies there
FEWEST, MOSTLY = 200, 0.8  # pixels of the ground that a slope is told from, and the share of it that they have to be
DEEP_SHADE = 0.3  # of the ground's middle luminance, under which its tint is left out

MOST = 15_000  # pixels of the ground that are looked at, evenly spaced


def ratios(colours: Floats) -> Floats:
    """ln(R/G) and ln(B/G) of n x 3 linear colours, n x 2.

    >>> ratios(np.array([[0.2, 0.2, 0.2]])).tolist()
    [[0.0, 0.0]]
    """
    safe = np.log(np.maximum(colours, 1e-5))
    return np.asarray(safe[:, [0, 2]] - safe[:, [1]])


def some(linear: Image, mask: Mask, most: int) -> Image:
    """Colours in a mask, n x 3, evenly spaced; all of them where they are fewer than twice `most`."""
    where = np.flatnonzero(mask)
    return linear.reshape(-1, 3)[where[:: max(1, len(where) // most)]]


def luminance(colours: NDArray[Real]) -> NDArray[Real]:
    """Relative luminance of linear sRGB colours (IEC 61966-2-1), 0 to 1, of the last axis; single or double."""
    return np.asarray(colours @ np.array([0.2126, 0.7152, 0.0722], colours.dtype))


def midmean(values: Floats) -> Floats:
    """Mean of the middle half of each column of n x k. A median keeps to the steps of the codes that a photo is kept
    in, and jumps from one to the next.

    >>> midmean(np.array([[0.0], [1.0], [1.0], [2.0], [2.0], [90.0]])).tolist()
    [1.5]
    """
    quarter = len(values) // 4
    return np.asarray(np.sort(values.T, axis=1)[:, quarter : len(values) - quarter].mean(axis=1))


def white(photo: Photo, part: Part) -> White:
    """White from the ground around the part, weighed against the camera's own balance.

    The ground is either neutral, and then as far off as cameras err, or it is something coloured: the chance of each
    follows from its colour and brightness. The grid holds possible whites under both, so that what is decided later
    carries the doubt.
    """
    seen = _bright_ground(photo.linear, parts.ground_of(part))
    if seen is None or not photo.coloured:
        return _without()
    colour, brightness, spread, blown = seen
    chance = _chance_neutral(colour, _whiteness(brightness, photo), spread)
    centre, along = (np.zeros(2), CAMERA) if blown else _weigh(colour)
    if not blown:
        slope, at_part = slope_of_light(photo, part)
        two = float(np.clip((slope - ONE_LIGHT) / (TWO_LIGHTS - ONE_LIGHT), 0, 1))
        moved = two * (at_part - _components(colour)[0]) * CAMERA**2 / (CAMERA**2 + PAPER**2)
        centre, along = centre + moved * MIRED, float(np.hypot(along, two * slope / 2))
    grid = np.concatenate([possible_whites(centre, along, chance), _beside_a_coloured_ground(colour, 1 - chance)])
    if chance < 0.5:
        return _without(grid)
    kind = "paper" if brightness > 0.35 and spread < 0.12 else "other"
    return White(kind, float(centre[0]), float(centre[1]), _uncertainty(grid), grid, brightness)


def _bright_ground(linear: Image, ground: Mask) -> tuple[Floats, float, float, bool] | None:
    """Colour of the brighter, unclipped half of the ground, its luminance, its spread in ln luminance, and whether it
    is blown out, so that its colour says nothing of the light."""
    if ground.mean() < 0.01:
        return None
    pixels = some(linear, ground, MOST).astype(np.float64)
    pixels = pixels[_brighter_of_two(pixels)]
    light = luminance(pixels)
    bright = pixels[(light >= np.median(light)) & (brightest(pixels) < 0.97)]
    blown = len(bright) < 0.25 * len(pixels)  # half of the bright half
    if blown:
        bright = pixels[light >= np.median(light)]
    lit = np.maximum(luminance(bright), 1e-5)
    return midmean(ratios(bright)), float(np.median(lit)), float(np.std(np.log(lit))), blown


def slope_of_light(photo: Photo, part: Part) -> tuple[float, float]:
    """How the ground's tint changes across the photo, in mired: standard deviation of its slope over the ground, and
    what it is next to the part.

    The slope is that of a plane fitted to the tint along the locus by reweighted least squares (Cauchy weights), in
    which coloured things that lie on the ground count for little. Next to the part is the nearest fifth of the ground.
    """
    ground = parts.ground_of(part)
    where = np.flatnonzero(ground)
    where = where[:: max(1, len(where) // MOST)]
    pixels = photo.linear.reshape(-1, 3)[where].astype(np.float64)
    if len(where) < FEWEST or not part.mask.any():
        return 0.0, 0.0
    light = luminance(pixels)
    lit = _brighter_of_two(pixels) & (light > DEEP_SHADE * np.median(light))
    fit = lit & (brightest(pixels) < 0.97)
    if fit.sum() < max(FEWEST, MOSTLY * lit.sum()):  # what is not blown out is what lies on the paper
        return 0.0, 0.0
    terms = _plane(np.divmod(where[fit], ground.shape[1]), ground.shape)
    tint = ratios(pixels[fit]) @ MIRED / (MIRED @ MIRED)
    away = tint - np.median(tint)
    for _ in range(10):
        weighed = terms / (1 + (away / NEIGHBOUR) ** 2)[:, None]
        slope = np.linalg.lstsq(weighed.T @ terms, weighed.T @ tint, rcond=None)[0]
        away = tint - terms @ slope
    if (np.abs(away) < NEIGHBOUR).mean() < FOLLOW:
        return 0.0, 0.0
    of_part = _plane(np.nonzero(part.mask), ground.shape)[:, 1:]
    middle, half = of_part.mean(axis=0), np.maximum(np.ptp(of_part, axis=0) / 2, 1e-3)
    far = (np.abs(terms[:, 1:] - middle) / half).max(axis=1)
    return float(np.std(terms @ slope)), float(np.median(tint[far <= np.quantile(far, 0.2)]))


def _plane(places: tuple[NDArray[np.intp], ...], shape: tuple[int, ...]) -> Floats:
    """1, and how far right and down pixels lie, from -1 to 1; n x 3."""
    down, right = places
    return np.column_stack([np.ones(len(down)), 2 * right / shape[1] - 1, 2 * down / shape[0] - 1])


def _brighter_of_two(pixels: Floats) -> Mask:
    """Of a ground of two kinds, as paper on a bench, which of n pixels are of the brighter; all of any other.

    Two are told by the split of ln luminance with the most variance between its sides (Otsu 1979, A threshold selection
    method from gray-level histograms).
    """
    logs = np.log(np.maximum(luminance(pixels), 1e-3))
    counts, edges = np.histogram(logs, 64)
    middles, shares = (edges[1:] + edges[:-1]) / 2, counts / counts.sum()
    below, first = np.cumsum(shares)[:-1], np.cumsum(shares * middles)[:-1]
    mean = float(shares @ middles)
    between = (mean * below - first) ** 2 / np.maximum(below * (1 - below), 1e-9)
    at = int(np.argmax(between))
    above = logs > edges[at + 1]
    if between[at] < TWO_KINDS * max(float(np.var(logs)), 1e-9) or above.mean() < LEAST_PAPER:
        return np.ones(len(pixels), bool)
    apart = float(logs[above].mean() - logs[~above].mean())
    return np.asarray(above | (apart <= TWICE) | (np.std(logs[above]) >= EVEN_WHITE))


def _whiteness(brightness: float, photo: Photo) -> float:
    """How bright the ground is: half by its own level, half against the brightest in the photo, whatever the exposure.

    The geometric mean of the two, the brightest taken to be 0.6 as phones expose paper (from memory).
    """
    every = photo.linear.reshape(-1, 3)
    light = luminance(every[:: max(1, len(every) // MOST)].astype(np.float64))
    return float(np.sqrt(brightness * 0.6 * brightness / max(float(np.percentile(light, 98)), 1e-3)))


def _chance_neutral(colour: Floats, brightness: float, spread: float) -> float:
    """The chance that the ground is white: near the locus of lights, bright, and even."""
    along, across = _components(colour)
    neutral = _normal(along, np.hypot(CAMERA, PAPER)) * _normal(across, np.hypot(TINT_UNCERTAINTY, 0.02))
    away = colour - COLOURED_CENTRE
    per_mired = float(np.linalg.norm(MIRED))
    coloured = _normal(float(away[0]), COLOURED_SPREAD) * _normal(float(away[1]), COLOURED_SPREAD) * per_mired
    odds = neutral / coloured * (brightness / DARKEST_WHITE) ** 4 * np.exp(-0.5 * (spread / EVEN_WHITE) ** 2)
    return float(odds / (1 + odds))


def _weigh(colour: Floats) -> tuple[Floats, float]:
    """The reading of the ground and the camera's own balance (0, 0), each by its uncertainty."""
    along, across = _components(colour)
    trust = CAMERA**2 / (CAMERA**2 + PAPER**2)
    trust_across = TINT_UNCERTAINTY**2 / (TINT_UNCERTAINTY**2 + 0.01**2)
    return along * trust * MIRED + across * trust_across * TINT, PAPER * trust**0.5


def _components(colour: Floats) -> tuple[float, float]:
    """Mired along the locus and distance across it."""
    return float(colour @ MIRED / (MIRED @ MIRED)), float(colour @ TINT)


def possible_whites(centre: Floats, along: float, weight: float = 1.0) -> Floats:
    """Fifteen whites about `centre`, spread by `along` mired: Gauss-Hermite nodes, five along the locus, three across.

    15 x 3: ln(R/G), ln(B/G) and a weight; the weights sum to `weight`.
    """
    along_it, across_it, shares = _nodes().T
    whites = centre + along * np.outer(along_it, MIRED) + TINT_UNCERTAINTY / 2 * np.outer(across_it, TINT)
    return np.column_stack([whites, weight * shares])


@cache
def _nodes() -> Floats:
    """Places along and across the locus, in spreads, and a weight, 15 x 3; the weights sum to 1."""
    along, along_weights = np.polynomial.hermite_e.hermegauss(5)
    across, across_weights = np.polynomial.hermite_e.hermegauss(3)
    shares = np.outer(along_weights, across_weights).ravel()
    return np.column_stack([np.repeat(along, 3), np.tile(across, 5), shares / shares.sum()])


def _beside_a_coloured_ground(colour: Floats, weight: float) -> Floats:
    """Whites where only the camera's own balance is left, moved toward the ground by what that throws back."""
    away = np.exp([colour[0], 0.0, colour[1]])
    away /= float(luminance(away))
    moved = []
    for share, often in THROWN_BACK:
        red, green, blue = np.log(1 - share + share * away)
        moved.append(possible_whites(np.array([red - green, blue - green]), CAMERA_LOST, weight * often))
    return np.concatenate(moved)


def _uncertainty(grid: Floats) -> float:
    """Root mean square distance of the grid's whites from their mean, in units of ln ratio."""
    centre = grid[:, 2] @ grid[:, :2]
    return float(np.sqrt(grid[:, 2] @ ((grid[:, :2] - centre) ** 2).sum(axis=1)))


def _without(grid: Floats | None = None) -> White:
    """No white in view: the middle of the possible whites, which are about the camera's own balance."""
    if grid is None:
        grid = possible_whites(np.zeros(2), CAMERA_LOST)
    red_green, blue_green = (grid[:, 2] @ grid[:, :2]).tolist()
    return White("none", red_green, blue_green, _uncertainty(grid), grid, float("nan"))


def _normal(value: float, spread: float) -> float:
    return float(np.exp(-0.5 * (value / spread) ** 2) / (spread * np.sqrt(2 * np.pi)))
