"""Highlights and shadows against the body: metal colours what it mirrors, paint and plastic have white highlights.

After Shafer 1985 (dichromatic reflection): light mirrored by a dielectric keeps the colour of the lamp over a body
that has its own; a metal mirrors only, and in the hollows of its relief twice or more, which deepens its colour.
"""

from __future__ import annotations

import numpy as np

from idkit.see.cues.colour import body, brightest_and_darkest
from idkit.see.light import luminance, ratios
from idkit.vocabulary import Cue, Patch, Reading

WHY_NOT = "too little of the part is neither clipped nor in shadow"
GREY, MOST = 0.1, 3.0  # ln ratio below which a body has no colour; share at which what is measured is cut off
SHAFER = "Shafer 1985, Using color to separate reflection components"


def highlight_paleness(patch: Patch) -> Reading:
    """How much paler the lightest tenth is than the middle, as a share of the middle's colour: 0 as strong, 1 white.

    Painted and plastic parts with a glint reach 0.5 and more, worn copper and brass lie near 0.2; grey stays near 0.
    """
    return _against_body(patch, "highlight_paleness", 0, -1)


def shadow_depth(patch: Patch) -> Reading:
    """How much stronger the colour of the darkest fifth is than the middle's, as a share of it. Metal that mirrors
    itself lies near 0.15; below 0 where shadows are paler."""
    return _against_body(patch, "shadow_depth", 1, 1)


def contrast(patch: Patch) -> Reading:
    """Half the 10 to 90 per cent range of ln luminance: about 0.1 for matt and even, 0.5 and more for bright relief."""
    if brightest_and_darkest(patch) is None:
        return Reading("contrast", float("nan"), "ln ratio", WHY_NOT)
    low, high = np.percentile(np.log(np.maximum(luminance(patch.colours), 1e-5)), (10, 90))
    return Reading("contrast", float(high - low) / 2, "ln ratio", "over the pixels fit to judge")


def _against_body(patch: Patch, name: str, which: int, sign: int) -> Reading:
    """Colour of one end less that of the middle, along the middle's own colour (ln ratios against white)."""
    ends = brightest_and_darkest(patch)
    if ends is None:
        return Reading(name, float("nan"), "share", WHY_NOT)
    white = np.array([patch.white.red_green, patch.white.blue_green])
    middle = body(patch) - white
    end = np.median(ratios(ends[which]), axis=0) - white
    share = np.clip(sign * (end - middle) @ middle / (middle @ middle + GREY**2), -MOST, MOST)
    return Reading(name, float(share), "share", f"median of {len(ends[which])} pixels")


CUES = (
    Cue(
        "highlight_paleness", "share", -MOST, MOST, "how pale highlights are", SHAFER, highlight_paleness, by_white=True
    ),
    Cue(
        "shadow_depth", "share", -MOST, MOST, "how strong the colour of hollows is", SHAFER, shadow_depth, by_white=True
    ),
    Cue("contrast", "ln ratio", 0, 3, "how far light and dark lie apart", "percentiles of log luminance", contrast),
)
