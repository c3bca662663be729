"""CIEDE2000: how far apart two colours look.

Written out here because scikit-image's loads SciPy for it, which takes as long as reading a photograph; the tests hold
it to the published pairs and to scikit-image.
"""

from __future__ import annotations

import numpy as np

from idkit.vocabulary import Floats

KNEE = 25.0**7


def ciede2000(one: Floats, two: Floats) -> Floats:
    """Colour difference of CIELAB colours along the last axis; 1 is about what an eye just sees, 0 or more.

    After Sharma, Wu and Dalal 2005, with k_L = k_C = k_H = 1.

    >>> float(ciede2000(np.array([50.0, 2.6772, -79.7751]), np.array([50.0, 0.0, -82.7485])).round(4))
    2.0425
    """
    (light1, chroma1, hue1), (light2, chroma2, hue2) = _adjusted(one, two)
    both_grey = chroma1 * chroma2 == 0
    turn = np.where(both_grey, 0.0, (hue2 - hue1 + 180) % 360 - 180)
    lightness, chroma = (light1 + light2) / 2, (chroma1 + chroma2) / 2
    hue = np.where(both_grey, hue1 + hue2, hue1 + _half(hue1, hue2))
    weight = _hue_weight(hue)
    per_light = 1 + 0.015 * (lightness - 50) ** 2 / np.sqrt(20 + (lightness - 50) ** 2)
    d_light = (light2 - light1) / per_light
    d_chroma = (chroma2 - chroma1) / (1 + 0.045 * chroma)
    d_hue = 2 * np.sqrt(chroma1 * chroma2) * np.sin(np.radians(turn / 2)) / (1 + 0.015 * chroma * weight)
    rotation = -np.sin(np.radians(60 * np.exp(-(((hue % 360 - 275) / 25) ** 2))))
    rotation *= 2 * np.sqrt(chroma**7 / (chroma**7 + KNEE))
    return np.asarray(np.sqrt(d_light**2 + d_chroma**2 + d_hue**2 + rotation * d_chroma * d_hue))


def _adjusted(one: Floats, two: Floats) -> list[tuple[Floats, Floats, Floats]]:
    """Lightness, chroma and hue in degrees of both, a* stretched near grey."""
    mean = (np.hypot(one[..., 1], one[..., 2]) + np.hypot(two[..., 1], two[..., 2])) / 2
    stretch = 1.5 - 0.5 * np.sqrt(mean**7 / (mean**7 + KNEE))
    found = []
    for colour in (one, two):
        a, b = colour[..., 1] * stretch, colour[..., 2]
        found.append((colour[..., 0], np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360))
    return found


def _half(hue1: Floats, hue2: Floats) -> Floats:
    """Half the way from one hue to the other, the short way round."""
    apart = hue2 - hue1
    short = np.where(np.abs(apart) > 180, apart - 360 * np.sign(apart), apart)
    return np.asarray(short / 2)


def _hue_weight(hue: Floats) -> Floats:
    terms = ((-0.17, 1, -30.0), (0.24, 2, 0.0), (0.32, 3, 6.0), (-0.20, 4, -63.0))
    return np.asarray(1 + sum(part * np.cos(np.radians(times * hue + shift)) for part, times, shift in terms))
