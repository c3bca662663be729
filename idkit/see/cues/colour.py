"""Colour of the part against white: what a metal reflects, in linear light."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from idkit.facts import colours
from idkit.see.cielab import D65, TO_XYZ, cielab
from idkit.see.cues.difference import ciede2000
from idkit.see.light import luminance, ratios
from idkit.see.patch import body_of
from idkit.vocabulary import Cue, Floats, Patch, Reading, White

FEWEST = 40  # pixels fit to judge, under which no colour is given
NO_HUE = 3.0  # chroma below which a hue means nothing
MIDDLE = ((50 + 16) / 116) ** 3  # luminance of L* 50


def against_white(colours: Floats, white: White) -> Floats:
    """Linear colours with white made neutral and, where its luminance is known, 1; the last axis RGB.

    What is left of white's luminance once it is neutral is its green.
    """
    cast = np.exp([white.red_green, 0.0, white.blue_green])
    green = white.luminance / float(luminance(cast)) if np.isfinite(white.luminance) else 1.0
    return np.asarray(colours / cast / green)


def body(patch: Patch) -> Floats:
    """Median ln(R/G), ln(B/G) of the patch, uncorrected; NaN where too little is fit to judge."""
    if len(patch.colours) < FEWEST:
        return np.full(2, np.nan)
    return patch.body if patch.body is not None else body_of(patch.colours)


@lru_cache(maxsize=1)  # several cues ask one after the other
def lab(patch: Patch) -> Floats | None:
    """Median CIELAB of the patch against white in view; None where there is none or too little to judge."""
    if len(patch.colours) < FEWEST or not np.isfinite(patch.white.luminance):
        return None
    return np.asarray(np.median(cielab(against_white(patch.colours, patch.white)), axis=0))


def red_green(patch: Patch) -> Reading:
    """ln(R/G) of the body colour against white. About 0 for grey metal, 0.1 to 0.3 for brass, over 0.4 for copper."""
    return _ratio(patch, "red_green", 0, patch.white.red_green)


def blue_green(patch: Patch) -> Reading:
    """ln(B/G) of the body colour against white. About 0 for grey metal, -0.3 for copper, -0.5 and below for brass."""
    return _ratio(patch, "blue_green", 1, patch.white.blue_green)


def redness(patch: Patch) -> Reading:
    """CIELAB a* of the body colour at L* 50: near 0 for grey metal and for brass, 10 and more for copper."""
    return _shade(patch, "redness", 0)


def yellowness(patch: Patch) -> Reading:
    """CIELAB b* of the body colour at L* 50: near 0 for grey metal, 10 to 25 for copper, 15 to 50 for brass."""
    return _shade(patch, "yellowness", 1)


def chroma(patch: Patch) -> Reading:
    """CIELAB chroma C*ab against white in view. Under 5 for grey metals and chrome."""
    seen = lab(patch)
    if seen is None:
        return Reading("chroma", float("nan"), "C*ab", _why(patch))
    return Reading("chroma", float(np.hypot(seen[1], seen[2])), "C*ab", "median of the part against white in view")


def hue(patch: Patch) -> Reading:
    """CIELAB hue angle in degrees. Polished copper about 50, yellow brass about 95."""
    seen = lab(patch)
    if seen is None:
        return Reading("hue", float("nan"), "degrees", _why(patch))
    if np.hypot(seen[1], seen[2]) < NO_HUE:
        return Reading("hue", float("nan"), "degrees", "too grey to have a hue")
    angle = float(np.degrees(np.arctan2(seen[2], seen[1])) % 360)
    return Reading("hue", angle, "degrees", "median of the part against white in view")


def lightness(patch: Patch) -> Reading:
    """CIELAB lightness L* against white in view, 0 to 100; over 100 where metal mirrors the light."""
    seen = lab(patch)
    if seen is None:
        return Reading("lightness", float("nan"), "L*", _why(patch))
    return Reading("lightness", float(seen[0]), "L*", "median of the part against white in view")


def from_copper(patch: Patch) -> Reading:
    """CIEDE2000 to polished copper (Querry 1985) at equal lightness: under 5 much alike, over 15 plainly another."""
    return _difference(patch, "from_copper", "copper-querry")


def from_brass(patch: Patch) -> Reading:
    """CIEDE2000 to polished 70-30 brass (Querry 1985) at equal lightness."""
    return _difference(patch, "from_brass", "cu70-zn30")


def from_aluminium(patch: Patch) -> Reading:
    """CIEDE2000 to polished aluminium (Rakic 1995) at equal lightness; grey metals lie within 5 of each other."""
    return _difference(patch, "from_aluminium", "aluminium")


def evenness(patch: Patch) -> Reading:
    """Spread (half the 16 to 84 per cent range) of ln(B/G) over the part: how uneven its colour is."""
    if len(patch.colours) < FEWEST:
        return Reading("evenness", float("nan"), "ln ratio", _why(patch))
    low, high = np.percentile(ratios(patch.colours)[:, 1], (16, 84))
    return Reading("evenness", float(high - low) / 2, "ln ratio", "over the pixels fit to judge")


def brightest_and_darkest(patch: Patch) -> tuple[Floats, Floats] | None:
    """The lightest tenth and the darkest fifth of the pixels fit to judge."""
    if len(patch.colours) < FEWEST:
        return None
    light = luminance(patch.colours)
    low, high = np.percentile(light, (20, 90))
    return patch.colours[light >= high], patch.colours[light <= low]


def at_equal_lightness(log_ratios: Floats) -> Floats:
    """CIELAB a*, b* of n x 2 ln(R/G), ln(B/G), all brought to L* 50; n x 2.

    >>> bool(np.abs(at_equal_lightness(np.zeros((1, 2)))).max() < 0.01)
    True
    """
    rgb = np.exp(np.stack([log_ratios[:, 0], np.zeros(len(log_ratios)), log_ratios[:, 1]], axis=1))
    return np.asarray(cielab(rgb * (MIDDLE / luminance(rgb))[:, None])[:, 1:])


def under_another_white(shade: Floats, shift: Floats) -> Floats:
    """Redness and yellowness, n x 2, of one colour (2) if white lay n x 2 ln(R/G), ln(B/G) lower.

    >>> under_another_white(np.array([10.0, 20.0]), np.zeros((1, 2))).round(3).tolist()
    [[10.0, 20.0]]
    """
    f = (50 + 16) / 116 + np.array([shade[0] / 500, 0.0, -shade[1] / 200])
    xyz = np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29)) * D65
    rgb = np.maximum(np.linalg.solve(TO_XYZ, xyz), 1e-4)
    return at_equal_lightness(np.log(rgb[[0, 2]] / rgb[1]) + shift)


def _shade(patch: Patch, name: str, axis: int) -> Reading:
    value = float(_shades(patch, np.array([[patch.white.red_green, patch.white.blue_green]]))[0, axis])
    if np.isnan(value):
        return Reading(name, value, "CIELAB", _why(patch))
    how = f"median of {len(patch.colours)} pixels, at equal lightness, white {patch.white.kind}"
    return Reading(name, value, "CIELAB", how)


def _shades(patch: Patch, whites: Floats) -> Floats:
    """Redness and yellowness under each of k whites, k x 2."""
    return at_equal_lightness(body(patch) - whites)


def _ratio(patch: Patch, name: str, axis: int, of_white: float) -> Reading:
    value = float(body(patch)[axis])
    how = _why(patch) if np.isnan(value) else f"median of {len(patch.colours)} pixels, white {patch.white.kind}"
    return Reading(name, value - of_white, "ln ratio", how)


def _difference(patch: Patch, name: str, metal: str) -> Reading:
    """CIEDE2000 without the lightness, which is mostly that of the light."""
    seen = lab(patch)
    if seen is None:
        return Reading(name, float("nan"), "CIEDE2000", _why(patch))
    bare = colours()[metal]
    apart = float(ciede2000(np.array([seen[0], bare.a, bare.b]), seen))
    return Reading(name, apart, "CIEDE2000", f"to polished {metal}, at equal lightness")


def _why(patch: Patch) -> str:
    if len(patch.colours) < FEWEST:
        return "too little of the part is neither clipped nor in shadow"
    return "no white in view"


IEC = "IEC 61966-2-1 (linear sRGB)"
CIEDE = "Sharma, Wu and Dalal 2005; colours of facts/colours.csv"
CIE = "CIE 15 (CIELAB), D65"

CUES = (
    Cue("red_green", "ln ratio", -2, 3, "red against green of the body colour", IEC, red_green, by_white=True),
    Cue("blue_green", "ln ratio", -4, 2, "blue against green of the body colour", IEC, blue_green, by_white=True),
    Cue(
        "redness",
        "CIELAB",
        -150,
        150,
        "red against green at equal lightness",
        CIE,
        redness,
        judged=True,
        by_white=True,
        under=lambda patch, whites: _shades(patch, whites)[:, 0],
    ),
    Cue(
        "yellowness",
        "CIELAB",
        -150,
        150,
        "yellow against blue at equal lightness",
        CIE,
        yellowness,
        judged=True,
        by_white=True,
        under=lambda patch, whites: _shades(patch, whites)[:, 1],
    ),
    Cue("chroma", "C*ab", 0, 150, "how strong the colour is", CIE, chroma, by_white=True),
    Cue("hue", "degrees", 0, 360, "which colour it is", CIE, hue, by_white=True),
    Cue("lightness", "L*", 0, 200, "how light it is against white", CIE, lightness, by_white=True),
    Cue("from_copper", "CIEDE2000", 0, 150, "how far the colour is from copper's", CIEDE, from_copper, by_white=True),
    Cue("from_brass", "CIEDE2000", 0, 150, "how far the colour is from brass's", CIEDE, from_brass, by_white=True),
    Cue(
        "from_aluminium",
        "CIEDE2000",
        0,
        150,
        "how far the colour is from aluminium's",
        CIEDE,
        from_aluminium,
        by_white=True,
    ),
    Cue("evenness", "ln ratio", 0, 3, "how uneven the colour is", IEC, evenness),
)
