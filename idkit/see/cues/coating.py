"""Signs of paint, lacquer, print, plastic and paper over or instead of metal, and of bare metal.

Metal mirrors its surroundings, so its light changes sharply and far while its colour stays; print changes colour, matt
paint and paper change little and slowly. Measured with the part's longer side at 64 pixels, so small parts compare.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from idkit.facts import colours
from idkit.see.cues.colour import at_equal_lightness
from idkit.see.light import luminance, ratios
from idkit.see.patch import CLIPPED, SMALL, smaller
from idkit.see.srgb import brightest
from idkit.vocabulary import Cue, Floats, Mask, Patch, Reading

TOO_SMALL = "too little of the part is in the picture or fit to judge"
DIM = 0.08  # of the part's median luminance, added to every channel, so that noise in the dark is no colour
LEAST_SPREAD = 1e-6  # of steps, under which they are all alike
MOST = 400  # points whose colour is looked at
GREY, BESIDE = 9.0, 22.0  # chroma that a metal of no hue may seem to have; degrees beyond copper's and brass's hue


def colour_edges(patch: Patch) -> Reading:
    """How much colour changes from one point to the next: root mean square step of ln(R/G) and ln(B/G), 0 and up.

    Bare metal and plain paint lie under 0.1, print and patches of another material above.
    """
    steps = _steps(patch)
    if steps is None:
        return Reading("colour_edges", float("nan"), "ln ratio", TOO_SMALL)
    return Reading("colour_edges", float(np.sqrt(np.mean(steps[1] ** 2))), "ln ratio", f"{len(steps[1])} steps")


def light_edges(patch: Patch) -> Reading:
    """How much light changes from one point to the next: root mean square step of ln luminance, 0 and up.

    Matt paint and paper lie under 0.05, relief and crumpled metal above 0.15.
    """
    steps = _steps(patch)
    if steps is None:
        return Reading("light_edges", float("nan"), "ln ratio", TOO_SMALL)
    return Reading("light_edges", float(np.sqrt(np.mean(steps[0] ** 2))), "ln ratio", f"{len(steps[0])} steps")


def edges_together(patch: Patch) -> Reading:
    """Whether colour changes where light does: correlation of the sizes of their steps between neighbours, -1 to 1.

    Over 0.7 where coloured metal with relief mirrors itself and its colour deepens; lower for print, whose edges know
    nothing of the light, and for grey metal, whose colour changes by noise and by what it mirrors.
    """
    steps = _steps(patch)
    if steps is None:
        return Reading("edges_together", float("nan"), "share", TOO_SMALL)
    light, colour = np.abs(steps[0]), steps[1]
    if min(float(np.std(light)), float(np.std(colour))) < LEAST_SPREAD:
        return Reading("edges_together", float("nan"), "share", "nothing on it changes")
    together = np.mean((light - light.mean()) * (colour - colour.mean())) / (light.std() * colour.std())
    return Reading("edges_together", float(together), "share", f"{len(light)} steps")


def smooth_shading(patch: Patch) -> Reading:
    """Share of the variance of ln luminance that a quadratic surface explains, 0 to 1: high for flat, evenly curved and
    matt parts, low where a mirror shows its surroundings or relief breaks the light."""
    small = reduced(patch)
    if small is None:
        return Reading("smooth_shading", float("nan"), "share", TOO_SMALL)
    light = in_logs(luminance(small[0][small[1]]))
    left = light - smoothed(light, small[1])
    share = 1 - float(np.var(left)) / max(float(np.var(light)), 1e-6)
    return Reading("smooth_shading", float(np.clip(share, 0, 1)), "share", "least squares over the part")


def glints(patch: Patch) -> Reading:
    """How far the lightest fiftieth lies above the middle, ln ratio, 0 and up: mirrored lamps and windows."""
    return _tail(patch, "glints", 98)


def hollows(patch: Patch) -> Reading:
    """How far the darkest twentieth lies under the middle, ln ratio, 0 and up: mirrored dark, grooves, print."""
    return _tail(patch, "hollows", 5)


def glare(patch: Patch) -> Reading:
    """Share of the part that is clipped, 0 to 1."""
    small = reduced(patch)
    if small is None:
        return Reading("glare", float("nan"), "share", TOO_SMALL)
    return Reading("glare", float((brightest(small[0][small[1]]) >= CLIPPED).mean()), "share", "of the part's pixels")


def no_metal_colour(patch: Patch) -> Reading:
    """Share of the part whose colour no bare metal shows, 0 to 1: neither greyish nor between copper's and brass's hue.

    Hues are those of polished copper and of 70-30 brass, 22 degrees to either side (relief, tarnish and the light move
    them), at equal lightness.
    """
    points = _points(patch)
    if points is None:
        return Reading("no_metal_colour", float("nan"), "share", TOO_SMALL)
    outside = of_no_metal(points, np.array([[patch.white.red_green, patch.white.blue_green]]))
    return Reading("no_metal_colour", float(outside.mean()), "share", f"of {len(points)} points of the part")


def _no_metal_under(patch: Patch, whites: Floats) -> Floats:
    """The same under each of k whites."""
    points = _points(patch)
    return np.full(len(whites), np.nan) if points is None else np.asarray(of_no_metal(points, whites).mean(axis=1))


def _points(patch: Patch) -> Floats | None:
    """The points of the part whose colour is looked at, n x 3 linear light."""
    small = reduced(patch)
    if small is None:
        return None
    points = small[0][small[1]]
    return np.asarray(points[some_of(len(points))])


def smoothed(values: Floats, inside: Mask) -> Floats:
    """The quadratic surface that fits one value for each True of `inside` best, at the same points."""
    y, x = np.nonzero(inside)
    u, v = x / SMALL - 0.5, y / SMALL - 0.5
    terms = np.stack([np.ones_like(u), u, v, u * v, u**2, v**2], axis=1)
    return np.asarray(terms @ np.linalg.solve(terms.T @ terms + 1e-6 * np.eye(6), terms.T @ values))


def light_and_colour(rgb: Floats, inside: Mask) -> tuple[Floats, Floats]:
    """ln luminance, h x w, and ln(R/G), ln(B/G), h x w x 2, the darkest lifted a little."""
    lifted = dim(luminance(rgb[inside]))
    logs = np.log(rgb + lifted)
    return np.log(luminance(rgb) + lifted), np.asarray(logs[..., [0, 2]] - logs[..., [1]])


def in_logs(light: Floats) -> Floats:
    """ln of luminances of a part's points, the darkest lifted a little."""
    return np.asarray(np.log(light + dim(light)))


def dim(light: Floats) -> float:
    """What is added to every channel: a share of the median, so that exposure makes no difference."""
    return max(DIM * float(np.median(light)), 1e-4)


def some_of(count: int) -> NDArray[np.intp]:
    """Which of so many points are looked at for their colour: at most MOST, evenly spaced."""
    return np.linspace(0, count - 1, min(MOST, count)).astype(np.intp)


def of_no_metal(rgb: Floats, whites: Floats) -> Mask:
    """Which of n x 3 linear colours no bare metal shows under each of k x 2 whites, ln(R/G) and ln(B/G); k x n."""
    cast = whites[:, None]
    tint = np.exp(np.stack([whites[:, 0], np.zeros(len(whites)), whites[:, 1]], axis=1))
    lifted = dim(luminance(rgb)) * tint[:, None]  # of white's colour, or dark grey would look blue
    seen = at_equal_lightness((ratios((rgb + lifted).reshape(-1, 3)).reshape(len(whites), -1, 2) - cast).reshape(-1, 2))
    chroma, hue = np.hypot(seen[:, 0], seen[:, 1]), np.degrees(np.arctan2(seen[:, 1], seen[:, 0]))
    low, high = (float(np.degrees(np.arctan2(colours()[name].b, colours()[name].a))) for name in _ENDS)
    outside = (chroma > GREY) & ((hue < low - BESIDE) | (hue > high + BESIDE))
    return np.asarray(outside.reshape(len(whites), -1))


def _tail(patch: Patch, name: str, percentile: int) -> Reading:
    small = reduced(patch)
    if small is None:
        return Reading(name, float("nan"), "ln ratio", TOO_SMALL)
    light = in_logs(luminance(small[0][small[1]]))
    away = abs(float(np.percentile(light, percentile) - np.median(light)))
    return Reading(name, away, "ln ratio", f"of {len(light)} points of the part")


def _steps(patch: Patch) -> tuple[Floats, Floats] | None:
    """Steps of ln luminance, and of colour, between neighbours to the right and below."""
    small = reduced(patch)
    if small is None:
        return None
    light, colour = light_and_colour(*small)
    inside = small[1]
    found = []
    for axis in (0, 1):
        both = (inside[1:] & inside[:-1]) if axis == 0 else (inside[:, 1:] & inside[:, :-1])
        of_colour = np.linalg.norm(np.diff(colour, axis=axis), axis=2)
        found.append((np.diff(light, axis=axis)[both], of_colour[both]))
    return np.concatenate([one for one, _ in found]), np.concatenate([two for _, two in found])


def reduced(patch: Patch) -> tuple[Floats, Mask] | None:
    """The part in linear colour with its longer side at most 64 pixels, and where it is, clear of its outline."""
    if not len(patch.colours):
        return None
    small = patch.small if patch.small is not None else smaller(patch.tile_colours)
    inside = np.asarray(np.isfinite(small[..., 0]))
    return (small, inside) if inside.any() else None


_ENDS = ("copper-querry", "cu70-zn30")
SHAFER = "Shafer 1985, Using color to separate reflection components"
GLOSS = "Motoyoshi, Nishida, Sharan and Adelson 2007, Image statistics and the perception of surface qualities"
BARE = "facts/colours.csv; widths from memory"

CUES = (
    Cue("colour_edges", "ln ratio", 0, 10, "how much colour changes from point to point", SHAFER, colour_edges),
    Cue("light_edges", "ln ratio", 0, 10, "how much light changes from point to point", GLOSS, light_edges, True),
    Cue("edges_together", "share", -1, 1, "whether colour changes where light does", SHAFER, edges_together, True),
    Cue("smooth_shading", "share", 0, 1, "how smoothly light runs over it", GLOSS, smooth_shading),
    Cue("glints", "ln ratio", 0, 10, "how far the lightest spots stand out", GLOSS, glints),
    Cue("hollows", "ln ratio", 0, 10, "how far the darkest spots fall back", GLOSS, hollows, True),
    Cue("glare", "share", 0, 1, "how much of it is blown out", GLOSS, glare),
    Cue(
        "no_metal_colour",
        "share",
        0,
        1,
        "how much of it has a colour no metal has",
        BARE,
        no_metal_colour,
        judged=True,
        by_white=True,
        under=_no_metal_under,
    ),
)
