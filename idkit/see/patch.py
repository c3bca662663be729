"""The pixels a cue may read: the part, or bare metal on it, without clipped highlights, deep shadow and the outline."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.errors import CallError
from idkit.see.light import luminance, ratios, some
from idkit.see.srgb import brightest, fitting, light_in
from idkit.vocabulary import Floats, Image, Mask, Part, Patch, Photo, White

TILE = 256  # longer side of the tile that texture is measured on
CLIPPED, DARKEST = 0.955, 0.002  # linear light
SHADOW = 0.12  # share of the median luminance
LOOKED_AT, MOST = 30_000, 6_000  # pixels that are looked at, and kept for colour, evenly spaced
SMALL = 64  # longer side, in pixels, of the smaller tile
FEWEST_SMALL = 60  # pixels of it that are wanted clear of the outline


def of_part(photo: Photo, part: Part, white: White) -> Patch:
    """The patch of a whole part."""
    return _patch(photo, _clear_of_outline(part.mask), part.box, white)


def of_mask(photo: Photo, mask: Mask, box: tuple[int, int, int, int], white: White) -> Patch:
    """The patch of those pixels of the photo that lie in a mask, which the box holds."""
    return _patch(photo, mask, box, white)


def mask_of_box(photo: Photo, box: tuple[int, int, int, int]) -> Mask:
    """Where in Photo.linear a box x, y, width, height of the photo lies; CallError where it is off the picture."""
    height, width = photo.encoded.shape[:2]
    x, y, across, down = box
    if across <= 0 or down <= 0 or x < 0 or y < 0 or x + across > width or y + down > height:
        raise CallError(
            "--scratch",
            f"got {x},{y},{across},{down} (X,Y,W,H)",
            f"a box inside the picture, which is {width} x {height}",
            "name the box in pixels from the top left",
        )
    rows, columns = photo.linear.shape[:2]
    left, right = int(x * columns / width), int(np.ceil((x + across) * columns / width))
    top, bottom = int(y * rows / height), int(np.ceil((y + down) * rows / height))
    mask = np.zeros((rows, columns), bool)
    mask[top:bottom, left:right] = True
    return mask


def fit_to_judge(colours: Floats) -> Mask:
    """Which of n x 3 linear colours are neither clipped nor in deep shadow."""
    light = luminance(colours)
    bright_enough = light > max(SHADOW * float(np.median(light)) if light.size else 0.0, DARKEST)
    return np.asarray((brightest(colours) < CLIPPED) & bright_enough)


def _patch(photo: Photo, mask: Mask, box: tuple[int, int, int, int], white: White) -> Patch:
    colours = some(photo.linear, mask, LOOKED_AT).astype(np.float64)
    fit = fit_to_judge(colours)
    kept = colours[fit]
    x, y, width, height = box
    crop = light_in(photo, box, TILE)
    inside = _mask_of_crop(mask, photo, box, crop.shape)
    colours = kept[:: max(1, len(kept) // MOST)]
    tile_colours = np.where(inside[..., None], crop, np.float32(np.nan))
    return Patch(
        colours=colours,
        white=white,
        tile=_relative(crop, inside),
        tile_colours=tile_colours,
        detail=max(width, height) / TILE,
        used=float(fit.mean()) if fit.size else 0.0,
        body=body_of(colours),
        small=smaller(tile_colours),
    )


def body_of(colours: Floats) -> Floats:
    """Median ln(R/G) and ln(B/G) of n x 3 linear colours; NaN where there is none."""
    return np.asarray(np.median(ratios(colours), axis=0)) if len(colours) else np.full(2, np.nan)


def smaller(tile_colours: Image) -> Floats:
    """The tile by area averaging with its longer side at most SMALL pixels, NaN outside the part and at its outline.

    All NaN where less than FEWEST_SMALL pixels of the part are left.
    """
    inside: Mask = np.asarray(np.isfinite(tile_colours[..., 0]))
    height, width = inside.shape
    size = fitting(height, width, SMALL)[::-1]
    weight = cv2.resize(inside.astype(np.float32), size, interpolation=cv2.INTER_AREA)
    filled = np.where(inside[..., None], tile_colours, np.float32(0)).astype(np.float32)
    total = cv2.resize(filled, size, interpolation=cv2.INTER_AREA).reshape(*weight.shape, 3)
    whole = np.asarray(weight > 0.99)
    clear = cv2.erode(whole.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=0) > 0
    kept = np.asarray(clear if clear.sum() >= FEWEST_SMALL else whole)
    if kept.sum() < FEWEST_SMALL:
        kept = np.zeros_like(kept)
    return np.where(kept[..., None], total / np.maximum(weight, 1e-6)[..., None], np.nan).astype(np.float64)


def _clear_of_outline(mask: Mask) -> Mask:
    """The mask shrunk by a fortieth of its width, where colours mix with the ground's and edges are in shadow."""
    radius = int(np.sqrt(mask.sum() / np.pi) / 20)
    if radius < 1 or mask.all():
        return mask
    x, y, width, height = cv2.boundingRect(mask.view(np.uint8))
    rows, columns = slice(max(0, y - 1), y + height + 1), slice(max(0, x - 1), x + width + 1)
    smaller = np.zeros_like(mask)
    smaller[rows, columns] = cv2.distanceTransform(mask[rows, columns].view(np.uint8), cv2.DIST_L2, 5) > radius
    return smaller if smaller.sum() > 0.2 * mask.sum() else mask


def _mask_of_crop(mask: Mask, photo: Photo, box: tuple[int, int, int, int], shape: tuple[int, ...]) -> Mask:
    rows, columns = mask.shape
    height, width = photo.encoded.shape[:2]
    x, y, across, down = box
    top, bottom = int(y * rows / height), max(int(np.ceil((y + down) * rows / height)), int(y * rows / height) + 1)
    left, right = (
        int(x * columns / width),
        max(int(np.ceil((x + across) * columns / width)), int(x * columns / width) + 1),
    )
    cut = mask[top:bottom, left:right].astype(np.float32)
    return np.asarray(cv2.resize(cut, (shape[1], shape[0]), interpolation=cv2.INTER_LINEAR) > 0.5)


def _relative(crop: Image, inside: Mask) -> Image:
    light = luminance(crop.astype(np.float64))
    level = float(np.median(light[inside])) if inside.any() else 1.0
    return np.where(inside, light / max(level, 1e-4), np.nan).astype(np.float32)
