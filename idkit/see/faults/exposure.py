"""Too dark, blown out, no white, two lights: measured in linear light."""

from __future__ import annotations

import numpy as np

from idkit.see import part as parts
from idkit.see.light import luminance, slope_of_light, some
from idkit.see.srgb import brightest
from idkit.vocabulary import Fault, Image, Scene

CLIPPED = 0.97  # linear light
DARK_PART, DARK_FRAME = 0.008, 0.16  # luminance of the part's middle, and of the frame's lightest hundredth
MOST = 15_000  # pixels that are looked at, evenly spaced


def darkness(scene: Scene) -> float:
    """Stops that the part's middle, or everything in the frame, lies under the light that colour needs."""
    frame = float(np.percentile(luminance(scene.photo.linear[::4, ::4].astype(np.float64)), 99))
    stops = np.log2(DARK_FRAME / max(frame, 1e-5))
    if scene.part is not None:
        middle = float(np.median(luminance(some(scene.photo.linear, scene.part.mask, MOST).astype(np.float64))))
        stops = max(stops, np.log2(DARK_PART / max(middle, 1e-5)))
    return float(stops)


def blown(scene: Scene) -> float:
    """Share of the part, 0 to 1, with a channel at the end of its range."""
    return _clipped(some(scene.photo.linear, scene.part.mask, MOST)) if scene.part is not None else float("nan")


def blown_ground(scene: Scene) -> float:
    """The same of the ground around it, where white is not taken from a card."""
    if scene.part is None or (scene.white is not None and scene.white.kind == "card"):
        return float("nan")
    ground = some(scene.photo.linear, parts.ground_of(scene.part), MOST)
    return _clipped(ground) if len(ground) > 100 else float("nan")


def no_white(scene: Scene) -> float:
    """1 where no white is in view."""
    return float(scene.part is not None and scene.white is not None and scene.white.kind == "none")


def _clipped(pixels: Image) -> float:
    return float(np.mean(brightest(pixels) > CLIPPED))


SRGB = "levels of linear light, IEC 61966-2-1"


def two_lights(scene: Scene) -> float:
    """How much a white ground's tint slopes across the photo, in mired (standard deviation); NaN by the card's white,
    and without white in view: what else lies there has tints of its own."""
    if scene.part is None or scene.white is None or scene.white.kind in ("card", "none"):
        return float("nan")
    return slope_of_light(scene.photo, scene.part)[0]


FAULTS = (
    Fault(
        "dark",
        "too dark to read colour: more light, or nearer the window",
        darkness,
        limit=0.0,
        worst=3.0,
        doubt=0.6,
        colour=True,
        source=SRGB,
    ),
    Fault(
        "blown-out",
        "blown out: less light, no flash, or tap to expose",
        blown,
        limit=0.4,
        worst=1.0,
        doubt=0.6,
        colour=True,
        source=SRGB,
    ),
    Fault(
        "blown-white",
        "the ground is blown out, so white can't be read: less light, or tap the paper to expose",
        blown_ground,
        limit=0.5,
        worst=1.0,
        doubt=0.0,  # how the part looks is not touched; what is lost is trust in the white
        colour=True,
        source=SRGB,
    ),
    Fault(
        "no-white",
        "no white in view, so the colour can't be trusted: lay white paper beside the part",
        no_white,
        limit=0.5,
        worst=1.0,
        doubt=0.0,  # the wide grid of possible whites carries it already
        colour=True,
        source="see light.py",
    ),
    Fault(
        "two-lights",
        "lights of two colours fall on it, as from a window and a lamp: put one out, or take it where one is",
        two_lights,
        limit=25.0,
        worst=60.0,
        doubt=0.2,
        colour=True,
        source="slope of the ground's tint along the locus of lights, in mired",
    ),
)
