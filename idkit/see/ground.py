"""How far every pixel is from one plain ground, whatever light falls on it."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.cielab import in_bytes, of_bytes
from idkit.vocabulary import Floats, Mask

# The light across a ground changes lightness more than colour: what L* differs by counts half.
WEIGHTS = np.array([0.5, 1.0, 1.0], np.float32)
LEAST = np.array([2.5, 1.5])  # CIELAB units of lightness and of a*, b*: no ground is evener, whatever its noise
SCALES = (16, 12, 8, 6, 5, 5, 5, 5)  # of the Cauchy weights, in CIELAB units, round by round
EDGE = 0.08  # width of the frame's edge, as a share of the frame, whose commonest colour is the ground's
COARSE = 6  # the light is fitted to a picture this many times smaller
REACH = 24  # the light is followed over the longer side divided by this

Lab = NDArray[np.float32]


def away_from_ground(lab: Lab) -> NDArray[np.float32]:
    """Distance from the ground of each pixel of height x width x 3 CIELAB, in spreads of the ground itself.

    The ground is the commonest colour along the frame's edge. Its light is fitted by a quadratic over the whole frame
    (least squares reweighted by squared Cauchy weights, so that parts, which fit badly, count for little), then
    followed more closely by a mean over the ground alone. Noise is smoothed by a median of three pixels first;
    lightness and colour are each divided by the ground's own spread, so that on terrazzo more is asked of a part than
    on paper.
    """
    smooth = _median(lab, 3)
    rest = smooth - _light(smooth)
    for _ in range(2):
        rest, ground = _followed(rest)
    lightness, colour = np.abs(rest[..., 0]), length(rest[..., 1:])
    spread = np.array([1.48 * np.median(lightness[ground]), np.median(colour[ground])]) if ground.any() else LEAST
    spread = np.maximum(spread, LEAST)
    return np.asarray(np.hypot(lightness / spread[0], colour / spread[1]), np.float32)


def _median(lab: Lab, width: int) -> Lab:
    return of_bytes(cv2.medianBlur(in_bytes(lab), width))


def _light(lab: Lab) -> Lab:
    """The quadratic fit to the ground, as large as `lab`."""
    height, width = lab.shape[:2]
    size = max(8, width // COARSE), max(8, height // COARSE)
    small = cv2.resize(lab, size, interpolation=cv2.INTER_AREA).astype(np.float64)
    terms, values = quadratic(small.shape[:2]).reshape(-1, 6), small.reshape(-1, 3)
    at_edge = np.abs(terms[:, 1:3]).max(axis=1) > 1 - 2 * EDGE
    away = length((values - _commonest(values[at_edge])) * WEIGHTS)
    for scale in SCALES:
        weights = 1 / (1 + (away / scale) ** 2) ** 2
        stiff = np.diag([0, 0, 0, 0.02, 0.02, 0.02]) * weights.sum()
        weighted = terms * weights[:, None]
        coefficients = np.linalg.solve(weighted.T @ terms + stiff, weighted.T @ values)
        away = length((values - terms @ coefficients) * WEIGHTS)
    return surface(coefficients, lab.shape)


def length(vectors: NDArray[Any]) -> NDArray[Any]:
    """Length of each vector of the last axis; NumPy's norm takes several times as long for three numbers."""
    return np.asarray(np.sqrt(np.einsum("...k,...k->...", vectors, vectors)))


def nearest(colours: Floats, others: Floats) -> Floats:
    """How far each of n x 3 CIELAB colours is from the nearest of the others, lightness counting five twelfths; n."""
    scale = np.array([5 / 12, 1, 1])
    apart = (colours * scale)[:, None] - (others * scale)[None]
    return np.asarray(np.linalg.norm(apart, axis=2).min(axis=1, initial=np.inf))


@lru_cache(maxsize=8)
def quadratic(shape: tuple[int, int]) -> Floats:
    """1, x, y, xy, x², y² over a small picture of that height and width, from -1 to 1 across it; height x width x 6."""
    y, x = np.mgrid[-1 : 1 : shape[0] * 1j, -1 : 1 : shape[1] * 1j]
    terms = np.stack([np.ones_like(x), x, y, x * y, x**2, y**2], axis=-1)
    terms.setflags(write=False)
    return terms


def surface(coefficients: Floats, shape: tuple[int, ...]) -> Lab:
    """The sum of those terms, 6 x 3 coefficients, over a picture of any size; height x width x 3."""
    y, x = (np.linspace(-1, 1, side)[:, None] for side in shape[:2])
    one, of_x, of_y, of_xy, of_x2, of_y2 = coefficients
    down, across = (one + of_y * y + of_y2 * y**2)[:, None], (of_x * x + of_x2 * x**2)[None]
    mixed = (y * x.T)[..., None].astype(np.float32) * of_xy.astype(np.float32)
    return np.asarray(down.astype(np.float32) + across.astype(np.float32) + mixed)


def _commonest(colours: Floats) -> Floats:
    """Mean of the fullest cell of a grid of 6 L* x 4 a* x 4 b*."""
    cells = np.round(colours / [6, 4, 4]).astype(np.int64) @ [1, 1 << 16, 1 << 32]
    _, which, counts = np.unique(cells, return_inverse=True, return_counts=True)
    return np.asarray(colours[which.ravel() == counts.argmax()].mean(axis=0))


def _followed(rest: Lab) -> tuple[Lab, Mask]:
    """What is left after the ground's own mean nearby is taken off too, and which pixels were taken to be ground."""
    away = length(rest * WEIGHTS)
    spread = float(np.percentile(away[::2, ::2], 30))  # of the nearer three fifths, the middle
    ground = away < max(4.0, 4 * spread)
    size = max(8, rest.shape[1] // COARSE), max(8, rest.shape[0] // COARSE)
    masked = np.dstack([rest * ground[..., None].astype(np.float32), ground.astype(np.float32)])
    sums = cv2.GaussianBlur(cv2.resize(masked, size, interpolation=cv2.INTER_AREA), (0, 0), max(size) / REACH)
    mean = sums[..., :3] * (np.clip(sums[..., 3:] / 0.3, 0, 1) / (sums[..., 3:] + 1e-3))
    return np.asarray(rest - cv2.resize(mean, rest.shape[1::-1]), np.float32), np.asarray(ground)
