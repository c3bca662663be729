"""What each cue looks at, painted over the part: for docs/draw_cues.py.

Each function takes a Patch and gives a picture (height x width x 3, red, green, blue, 8 bits, the part's tile or a
smaller copy of it) and the readings that follow from what it painted; draw_cues.py holds those against the cues.
"""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np
from drawing.brushes import (
    ALARM,
    COOL,
    GREEN,
    MAGENTA,
    PALE,
    RUST,
    WARM,
    Canvas,
    arrow,
    colourless,
    inside_of,
    laid,
    on_screen,
    over,
    rising,
    two_ways,
)

from idkit import see
from idkit.facts import colours
from idkit.see.cues import coating, colour, corrosion, texture
from idkit.see.cues.difference import ciede2000
from idkit.see.light import luminance, ratios
from idkit.see.patch import CLIPPED
from idkit.vocabulary import Floats, Mask, Patch

Painted = tuple[Canvas, dict[str, float]]
Painter = Callable[[Patch], Painted]


# On the part's tile ---------------------------------------------------------------------------------------------------


def hues(patch: Patch) -> Painted:
    """Every pixel at one lightness against white, its colour 1.6 times as strong."""
    inside = inside_of(patch)
    seen = colour.at_equal_lightness(_against_white(patch, inside))
    lab = np.stack([np.full(len(seen), 65.0), 1.6 * seen[:, 0], 1.6 * seen[:, 1]], axis=1)
    return laid(inside, on_screen(lab)), {}


def from_copper(patch: Patch) -> Painted:
    return _from_metal(patch, "copper-querry")


def from_brass(patch: Patch) -> Painted:
    return _from_metal(patch, "cu70-zn30")


def from_aluminium(patch: Patch) -> Painted:
    return _from_metal(patch, "aluminium")


def unevenness(patch: Patch) -> Painted:
    """ln(B/G) against its median: orange less blue, blue more."""
    inside = inside_of(patch)
    blue = ratios(patch.tile_colours[inside].astype(float))[:, 1]
    return laid(inside, two_ways((blue - np.median(blue)) / 0.6)), {}


def ends(patch: Patch) -> Painted:
    """The lightest tenth and the darkest fifth of the pixels fit to judge, and those that are not fit."""
    inside, light = inside_of(patch), luminance(patch.tile_colours.astype(float))
    low, high = np.percentile(luminance(patch.colours), (20, 90))
    fit = np.zeros_like(inside)
    fit[inside] = see.fit_to_judge(patch.tile_colours[inside].astype(float))
    picture = colourless(patch)
    for where, paint in ((fit & (light >= high), WARM), (fit & (light <= low), COOL), (inside & ~fit, ALARM)):
        picture[where] = over(picture[where], paint)
    return picture, {}


def grown(patch: Patch) -> Painted:
    """Rust, patina and bloom, as the cues of corrosion take them."""
    picture, readings = colourless(patch), {}
    for name, looks_so, paint in (
        ("rust_area", corrosion.rusty, RUST),
        ("patina_area", corrosion.green, GREEN),
        ("bloom_area", corrosion.pale, PALE),
    ):
        found = corrosion.blotches(patch, looks_so)
        if found is not None:
            where, inside = found
            picture[where & inside] = over(picture[where & inside], paint)
            readings[name] = float(where[inside].mean())
    return picture, readings


def levels(patch: Patch) -> Painted:
    """Luminance in the 32 levels that are counted."""
    inside = inside_of(patch)
    step = np.clip(np.nan_to_num(patch.tile) * (texture.LEVELS / 4), 0, texture.LEVELS - 1).astype(int)
    return laid(inside, rising(step[inside] / (texture.LEVELS - 1))), {}


def matrix(patch: Patch) -> Painted:
    """How often each level (down) has each other (across) beside it, in logarithms; and the cues' own sums over it."""
    counts = _co_occurrence(patch)
    logs = np.log1p(counts) / np.log1p(counts).max()
    large = np.kron(rising(logs.reshape(-1)).reshape(32, 32, 3), np.ones((6, 6, 1), np.uint8))
    share, row, column = counts / counts.sum(), *np.mgrid[:32, :32]
    apart = (row - column) ** 2
    return large, {
        "co_occurrence_contrast": float((share * apart).sum()),
        "co_occurrence_homogeneity": float((share / (1 + apart)).sum()),
    }


def rough(patch: Patch) -> Painted:
    """Pixels round which light and dark change more than twice."""
    from skimage.feature import local_binary_pattern

    grey = np.clip(np.nan_to_num(patch.tile, nan=1.0) * 64, 0, 255).astype(np.uint8)
    inner = texture._inner(patch.tile, 2)
    where = inner & (local_binary_pattern(grey, 8, 1, "uniform") == 9)
    picture = colourless(patch)
    picture[where] = MAGENTA
    return picture, {"rough_patterns": float(where[inner].mean())}


def mottle(patch: Patch) -> Painted:
    """The octave in which blotches are strongest, darker blue and lighter orange."""
    tile, inside = np.nan_to_num(patch.tile, nan=1.0), texture._inner(patch.tile, 6)
    smooth = [cv2.GaussianBlur(tile, (0, 0), sigma / 2) for sigma in (*texture.OCTAVES, 2 * texture.OCTAVES[-1])]
    bands = [(fine - coarse)[inside] for fine, coarse in zip(smooth[:-1], smooth[1:], strict=True)]
    best = int(np.argmax([band.std() for band in bands]))
    readings = {
        "mottle_contrast": float(bands[best].std()),
        "mottle_scale": texture.OCTAVES[best] / max(patch.tile.shape),
    }
    return laid(inside, two_ways(-bands[best] / 0.4)), readings


def lines(patch: Patch) -> Painted:
    """Detail finer than 3 pixels, and an arrow along it, as long as it runs one way."""
    filled, inside = np.nan_to_num(patch.tile, nan=1.0), texture._inner(patch.tile, 6)
    fine = filled - cv2.GaussianBlur(filled, (0, 0), 3)
    across, down = (cv2.Sobel(fine, cv2.CV_32F, *axes)[inside].astype(float) for axes in ((1, 0), (0, 1)))
    xx, yy, xy = (float(part.mean()) for part in (across**2, down**2, across * down))
    share = float(np.hypot(xx - yy, 2 * xy) / (xx + yy))
    picture = laid(inside, np.repeat(np.clip(128 + 500 * fine[inside], 0, 255).astype(np.uint8)[:, None], 3, axis=1))
    arrow(picture, 0.5 * np.arctan2(2 * xy, xx - yy) + np.pi / 2, share)
    return picture, {"line_direction": share}


# On the smaller copy --------------------------------------------------------------------------------------------------

# Each pixel and its neighbour below, and to the right.
PAIRS = (
    ((slice(None, -1), slice(None)), (slice(1, None), slice(None))),
    ((slice(None), slice(None, -1)), (slice(None), slice(1, None))),
)


def light_edges(patch: Patch) -> Painted:
    rgb, inside = _small(patch)
    picture, reading = _edges(coating.light_and_colour(rgb, inside)[0][..., None], inside, 0.9)
    return picture, {"light_edges": reading}


def colour_edges(patch: Patch) -> Painted:
    rgb, inside = _small(patch)
    picture, reading = _edges(coating.light_and_colour(rgb, inside)[1], inside, 0.9)
    return picture, {"colour_edges": reading}


def edges_together(patch: Patch) -> Painted:
    """Where light and colour step together, each against its own mean and spread, and where one without the other."""
    rgb, inside = _small(patch)
    light, colour = coating.light_and_colour(rgb, inside)
    product, of_light, of_colour = np.zeros(inside.shape), [], []
    for here, there in PAIRS:
        both = inside[here] & inside[there]
        of_light.append(np.abs(light[there] - light[here])[both])
        of_colour.append(np.linalg.norm(colour[there] - colour[here], axis=2)[both])
    first, second = _standard(np.concatenate(of_light)), _standard(np.concatenate(of_colour))
    start = 0
    for here, there in PAIRS:
        both = inside[here] & inside[there]
        product[here][both] += (first * second)[start : start + both.sum()]
        start += int(both.sum())
    return laid(inside, two_ways(product[inside] / 6)), {"edges_together": float(np.mean(first * second))}


def shading(patch: Patch) -> Painted:
    """ln luminance."""
    _, inside, light, _ = _shading(patch)
    return laid(inside, rising((light - np.median(light)) / 4 + 0.55)), {}


def smooth(patch: Patch) -> Painted:
    """The quadratic surface that fits it best."""
    _, inside, light, fit = _shading(patch)
    share = 1 - float(np.var(light - fit)) / float(np.var(light))
    return laid(inside, rising((fit - np.median(light)) / 4 + 0.55)), {"smooth_shading": share}


def marks(patch: Patch) -> Painted:
    """The lightest fiftieth, the darkest twentieth, and what is clipped."""
    rgb, inside, light, _ = _shading(patch)
    middle = np.median(light)
    shown = np.repeat(np.clip(150 + 60 * (light - middle), 40, 225).astype(np.uint8)[:, None], 3, axis=1)
    low, high = np.percentile(light, 5), np.percentile(light, 98)
    clipped = rgb[inside].max(axis=1) >= CLIPPED
    for where, paint in ((light >= high, WARM), (light <= low, COOL), (clipped, ALARM)):
        shown[where] = paint
    readings = {"glints": float(high - middle), "hollows": float(middle - low), "glare": float(clipped.mean())}
    return laid(inside, shown), readings


def no_metal(patch: Patch) -> Painted:
    """Where the colour is none that bare metal shows."""
    rgb, inside, light, _ = _shading(patch)
    shown = np.repeat(np.clip(150 + 60 * (light - np.median(light)), 40, 225).astype(np.uint8)[:, None], 3, axis=1)
    white = np.array([[patch.white.red_green, patch.white.blue_green]])
    where = coating.of_no_metal(rgb[inside], white)[0]
    shown[where] = MAGENTA
    return laid(inside, shown), {"no_metal_colour": float(where[coating.some_of(len(where))].mean())}


# How it is painted ----------------------------------------------------------------------------------------------------


def _small(patch: Patch) -> tuple[Floats, Mask]:
    found = coating.reduced(patch)
    if found is None:
        raise ValueError(coating.TOO_SMALL)
    return found


def _shading(patch: Patch) -> tuple[Floats, Mask, Floats, Floats]:
    rgb, inside = _small(patch)
    light = coating.in_logs(luminance(rgb[inside]))
    return rgb, inside, light, coating.smoothed(light, inside)


def _against_white(patch: Patch, inside: Mask) -> Floats:
    white = [patch.white.red_green, patch.white.blue_green]
    return np.asarray(ratios(patch.tile_colours[inside].astype(float)) - white)


def _from_metal(patch: Patch, name: str) -> Painted:
    inside, bare = inside_of(patch), colours()[name]
    seen = see.cielab(colour.against_white(patch.tile_colours[inside].astype(float), patch.white))
    metal = np.stack([seen[:, 0], np.full(len(seen), bare.a), np.full(len(seen), bare.b)], axis=1)
    return laid(inside, rising(1 - ciede2000(metal, seen) / 30)), {}


def _co_occurrence(patch: Patch) -> Floats:
    """Counts of pairs of levels one pixel apart, either way round, mean of 4 directions; 32 x 32."""
    from skimage.feature import graycomatrix

    inside = texture._inner(patch.tile, 1)
    step = 1 + np.clip(np.nan_to_num(patch.tile) * (texture.LEVELS / 4), 0, texture.LEVELS - 1).astype(np.uint8)
    step[~inside] = 0
    angles = [0, np.pi / 4, np.pi / 2, 3 * np.pi / 4]
    counts = graycomatrix(step, [1], angles, levels=texture.LEVELS + 1, symmetric=True)[1:, 1:, 0].astype(float)
    return np.asarray((counts / counts.sum(axis=(0, 1))).mean(axis=2) * counts.sum() / 4)


def _edges(values: Floats, inside: Mask, most: float) -> tuple[Canvas, float]:
    """Each pixel's larger step to the right or down, and the root mean square of all steps."""
    largest, steps = np.zeros(inside.shape), []
    for here, there in PAIRS:
        both = inside[here] & inside[there]
        step = np.where(both, np.linalg.norm(values[there] - values[here], axis=2), 0)
        largest[here] = np.maximum(largest[here], step)
        steps.append(step[both])
    return laid(inside, rising(largest[inside] / most)), float(np.sqrt(np.mean(np.concatenate(steps) ** 2)))


def _standard(values: Floats) -> Floats:
    """With a mean of 0 and a spread of 1."""
    return np.asarray((values - values.mean()) / values.std())
