"""What filters leave behind: one tint, colours out of range. Most filters leave nothing to measure."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.see.srgb import brightest, fitting, linear_to_srgb
from idkit.vocabulary import Fault, Floats, Mask, Part, Photo, Scene

TONES = 40  # longer side at which colour is held against brightness: JPEG keeps colour at half the size
# How far a filter raises white: sepia(1) of W3C's Filter Effects Module Level 1, and what a JPEG's noise adds.
RAISED = 1.351 * 1.1
TINTED = 0.24  # what a tint takes of its faintest channel: a cast of 55 mired, more than cameras leave, takes less
DIM, CLIPPED = 0.2, 245  # share of the brightest codes under which a tint can't be told; codes from which one may clip
COMMON = 4.0  # how much more what all pixels have in common counts than what they differ by
FEWEST = 16  # pixels of the coarse picture
MOST, FEW = 30_000, 3_000  # pixels looked at for colours at the end of their range, and for a first look at the tint
UNTINTED = TINTED / 2  # by a first look: of 345 photographs with a tint none came out under 0.7 of it


def one_tint(scene: Scene) -> float:
    """How nearly part and ground are greys through one tint, as under a sepia filter: 1 / (what is left over / tint).

    A filter multiplies each grey by one tint and clips: red, green and blue of the tint are the medians of the ratios
    of codes that are not clipped, the grey of every pixel is had from its faintest channel, and what is left over is
    how far the other channels are from that grey, tinted and clipped. Part and ground are held against it each by
    itself. 0 where the tint is a mild one, as an uncorrected lamp leaves, or the printed card tells the light, or part
    or ground are too dark to tell.
    """
    if scene.part is None or (scene.white is not None and scene.white.kind == "card"):
        return 0.0
    sample = _sample(scene.photo, FEW)
    few = _clear(sample, _lit(sample))
    if len(few) and 1 - _tint(few).min() < UNTINTED:  # far from it: no need to look closer
        return 0.0
    codes, inside = _coarse(scene.photo, scene.part)
    lit = _lit(codes)
    clear = _clear(codes, lit)
    sides = lit & (inside > 0.9), lit & (inside < 0.1)
    if min(len(clear), *(int(side.sum()) for side in sides)) < FEWEST:
        return 0.0
    tint = _tint(clear)
    if 1 - tint.min() < TINTED:
        return 0.0
    left = _left_over(codes, tint)
    return 1 / max(1e-3, *(_unlike(left[side]) for side in sides))


def _lit(codes: Floats) -> Mask:
    """Which of n x 3 codes are bright enough for a tint to tell."""
    top = brightest(codes)
    return np.asarray(top > DIM * np.percentile(top, 95))


def _clear(codes: Floats, lit: Mask) -> Floats:
    """Those that are bright enough and not clipped."""
    return codes[lit & (brightest(codes) < CLIPPED)]


def _tint(codes: Floats) -> Floats:
    """Red, green and blue of the tint, the strongest 1: medians of the ratios to green."""
    logs = np.log(np.maximum(codes, 1))
    tint = np.exp(np.median(logs - logs[:, [1]], axis=0))
    return np.asarray(tint / tint.max())


def _left_over(codes: Floats, tint: Floats) -> Floats:
    """What of n x 3 codes one tint of grey does not tell, as a share of the tint; all where no channel is faint, or
    where the grey would be whiter than white: paper that is blown out beside a part in its own colour."""
    faintest = codes[:, [int(np.argmin(tint))]]
    grey = np.maximum(faintest / tint.min(), 1)
    left = (codes - np.minimum(grey * tint, 255)) / ((1 - tint.min()) * grey)
    return np.where((faintest < CLIPPED) & (grey < 255 * RAISED), left, 1.0)


def _unlike(left: Floats) -> float:
    """The larger of what 80 in 100 pixels stay under and what all have in common, which noise does not touch."""
    together = np.abs(np.median(left, axis=0)).max()
    return float(max(np.percentile(brightest(np.abs(left)), 80), COMMON * together))


def _coarse(photo: Photo, part: Part) -> tuple[Floats, Floats]:
    """Codes of the photo averaged to at most 40 pixels, n x 3, 0 to 255, and how much of each is the part."""
    rows, columns = photo.linear.shape[:2]
    size = fitting(rows, columns, TONES)[::-1]
    half = cv2.resize(photo.linear, (max(size[0], columns // 2), max(size[1], rows // 2)), interpolation=cv2.INTER_AREA)
    codes = 255 * linear_to_srgb(np.asarray(half, np.float32))
    small = cv2.resize(codes, size, interpolation=cv2.INTER_AREA).reshape(-1, 3).astype(np.float64)
    covered = cv2.resize(255 * part.mask.view(np.uint8), size, interpolation=cv2.INTER_AREA)
    return small, np.asarray(covered, np.float64).ravel() / 255


def strained_colour(scene: Scene) -> float:
    """Share of the frame, 0 to 1, that is light and yet has a channel at nothing: colours pushed out of range."""
    codes = _sample(scene.photo, MOST)
    return float(np.mean((-brightest(-codes) <= 3) & (brightest(codes) >= 80)))


def _sample(photo: Photo, most: int) -> Floats:
    """About so many encoded colours of the photo at the most, evenly spaced, n x 3, 0 to 255."""
    every = max(1, round((photo.encoded.shape[0] * photo.encoded.shape[1] / most) ** 0.5))
    codes = photo.encoded[::every, ::every].reshape(-1, 3).astype(np.float64)
    return codes if photo.encoded.dtype == np.uint8 else codes / 257


FAULTS = (
    Fault(
        "one-tint",
        "the whole picture is in one tint, as under a sepia filter: take it without a filter",
        one_tint,
        limit=4.0,
        worst=6.0,
        doubt=1.0,
        colour=True,
        source="a grey times one tint, clipped; IEC 61966-2-1 codes",
    ),
    Fault(
        "strong-colours",
        "colours are stronger than the file can hold, as under a filter: take it without a filter or coloured light",
        strained_colour,
        limit=0.03,
        worst=0.3,
        doubt=0.5,
        colour=True,
        source="IEC 61966-2-1 (range of sRGB)",
    ),
)
