"""What filters leave behind: one tint, colours out of range, few levels. Most filters leave nothing to measure."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.see.photo import linear_to_srgb
from idkit.vocabulary import Fault, Floats, Mask, Photo, Scene

TONES = 40  # longer side at which colour is held against brightness: JPEG keeps colour at half the size
TINTED = 11.0  # median Cb, Cr of the brighter half, in codes, under which there is no tint to speak of
LOOKED_AT = 1024  # longer side, in pixels of the photo, of the middle whose levels are looked at
MOST = 60_000  # pixels looked at for colours at the end of their range


def one_tint(scene: Scene) -> float:
    """How much of the frame's tint its brightness tells alone, 1 / (spread left over tint): over 25 under sepia.

    Where the bright half has a tint, pixels are sorted by luma (ITU-R BT.601) and each Cb, Cr held against its two
    neighbours': what is left over is 0 for a picture without colour of its own.
    """
    rows, columns = scene.photo.linear.shape[:2]
    scale = min(1.0, TONES / max(rows, columns))
    size = max(1, round(columns * scale)), max(1, round(rows * scale))
    small = cv2.resize(scene.photo.linear, size, interpolation=cv2.INTER_AREA).reshape(-1, 3)
    luma, colour = _luma_and_colour(255 * linear_to_srgb(small.astype(np.float64)))
    tint = float(np.hypot(*np.median(colour[luma >= np.median(luma)], axis=0)))
    if tint < TINTED or len(luma) < 100:
        return 0.0
    colour = colour[np.argsort(luma)]
    left = np.hypot(*(colour[1:-1] - (colour[:-2] + colour[2:]) / 2).T)
    return tint / max(float(np.median(left)), 1e-3)


def _luma_and_colour(codes: Floats) -> tuple[Floats, Floats]:
    """Luma and n x 2 Cb, Cr in codes of n x 3 encoded colours (ITU-R BT.601, Cb and Cr about 0)."""
    luma = codes @ np.array([0.299, 0.587, 0.114])
    return luma, np.stack([0.564 * (codes[:, 2] - luma), 0.713 * (codes[:, 0] - luma)], axis=1)


def strained_colour(scene: Scene) -> float:
    """Share of the frame, 0 to 1, that is light and yet has a channel at nothing: colours pushed out of range."""
    codes = _sample(scene.photo)
    return float(np.mean((codes.min(axis=1) <= 3) & (codes.max(axis=1) >= 80)))


def few_levels(scene: Scene) -> float:
    """How far the steps between neighbouring green codes have a favourite size: 1 where small ones are always more
    frequent, as photos have it, and more where the picture was cut down to few levels. The part's outline is left out.
    """
    rows, columns = (_middle(side) for side in scene.photo.encoded.shape[:2])
    middle = scene.photo.encoded[rows, columns, 1]
    green = (middle if middle.dtype == np.uint8 else middle >> 8).astype(np.int16)
    clear = ~_outline(scene)[rows, columns]
    steps = np.concatenate(
        [
            np.abs(np.diff(green, axis=0))[clear[1:] & clear[:-1]],
            np.abs(np.diff(green, axis=1))[clear[:, 1:] & clear[:, :-1]],
        ]
    )
    if not steps.size:
        return float("nan")
    often = np.bincount(steps, minlength=256)[:100].astype(np.float64)
    bell = np.exp(-0.5 * (np.arange(-6, 7) / 2.0) ** 2)
    smooth = np.convolve(often, bell / bell.sum(), "same")[4:90] + 3e-4 * steps.size
    return float((smooth / np.minimum.accumulate(smooth)).max())


def _middle(side: int) -> slice:
    start = max(0, (side - LOOKED_AT) // 2)
    return slice(start, start + LOOKED_AT)


def _outline(scene: Scene) -> Mask:
    """Where the part's outline is, three pixels of Photo.linear either side, as large as Photo.encoded."""
    height, width = scene.photo.encoded.shape[:2]
    if scene.part is None:
        return np.zeros((height, width), bool)
    mask = scene.part.mask.astype(np.uint8)
    near = cv2.morphologyEx(mask, cv2.MORPH_GRADIENT, np.ones((7, 7), np.uint8))
    return np.asarray(cv2.resize(near, (width, height), interpolation=cv2.INTER_NEAREST) > 0)


def _sample(photo: Photo) -> Floats:
    """Up to 60 000 encoded colours of the photo, evenly spaced, n x 3, 0 to 255."""
    every = max(1, round((photo.encoded.shape[0] * photo.encoded.shape[1] / MOST) ** 0.5))
    codes = photo.encoded[::every, ::every].reshape(-1, 3).astype(np.float64)
    return codes if photo.encoded.dtype == np.uint8 else codes / 257


FAULTS = (
    Fault(
        "one-tint",
        "the whole picture is in one tint, as under a sepia filter: take it without a filter",
        one_tint,
        limit=25.0,
        worst=50.0,
        doubt=1.0,
        colour=True,
        source="ITU-R BT.601 luma and colour differences",
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
    Fault(
        "few-levels",
        "the picture was cut down to a few levels: take it without a filter, or send the file as the phone made it",
        few_levels,
        limit=1.14,
        worst=2.5,
        doubt=0.5,
        colour=True,
        source="histogram of differences between neighbours",
    ),
)
