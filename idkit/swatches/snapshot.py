"""From light on a sensor to the picture that a phone keeps: balance, exposure, noise, tone, sharpening.

Images are height x width x 3, linear sRGB relative to D65, until `developed` returns 8-bit sRGB.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from idkit.see.srgb import linear_to_srgb
from idkit.swatches.adaptation import to_daylight

Picture = NDArray[np.float64]
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


@dataclass(frozen=True)
class Phone:
    """How one phone took one picture.

    `balance` is the error of its white balance, ln of red and of blue against green; `exposure` the linear level of
    white paper; `noise` the standard deviation at full signal.
    """

    balance: tuple[float, float] = (0.0, 0.0)
    exposure: float = 0.72
    noise: float = 0.012
    saturation: float = 1.12
    sharpening: float = 0.5


def mended(image: Picture) -> tuple[Picture, int]:
    """Pixels that came out non-finite or absurd against their neighbours take the neighbours' median.

    What is a little below 0 is left: a colour under a lamp may lie outside sRGB, and inside once it is balanced.

    >>> picture = np.ones((3, 3, 3)); picture[1, 1] = np.nan
    >>> mended(picture)[1], bool(np.isfinite(mended(picture)[0]).all())
    (1, True)
    """
    padded = np.pad(image, ((1, 1), (1, 1), (0, 0)), constant_values=np.nan)
    height, width = image.shape[:2]
    near = [padded[y : y + height, x : x + width] for y in range(3) for x in range(3) if (y, x) != (1, 1)]
    finite = np.where(np.isfinite(near), near, np.nan)
    median = np.nan_to_num(np.nanmedian(finite, axis=0))
    level = np.nanmax(np.nan_to_num(finite), axis=0)
    bad = ~np.isfinite(image).all(axis=-1) | (image > 6 * level + 1e-3).any(axis=-1)
    return np.where(bad[..., None], median, image), int((~np.isfinite(image).all(axis=-1)).sum())


def blurred(image: Picture, sigma: float) -> Picture:
    """A Gaussian blur, edges repeated."""
    reach = int(np.ceil(3 * sigma))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    kernel /= kernel.sum()
    for axis in (0, 1):
        pad = [(reach, reach) if i == axis else (0, 0) for i in range(3)]
        padded, size = np.pad(image, pad, mode="edge"), image.shape[axis]
        image = np.sum(
            [weight * np.take(padded, np.arange(i, i + size), axis=axis) for i, weight in enumerate(kernel)], axis=0
        )
    return image


def shaded_corners(image: Picture) -> Picture:
    """The lens's fall of light toward the corners, about a fifth."""
    height, width = image.shape[:2]
    y, x = np.mgrid[0:height, 0:width]
    radius = np.hypot(x - width / 2, y - height / 2) / np.hypot(width / 2, height / 2)
    return np.asarray(image * (1 - 0.2 * radius**2.5)[..., None])


def toned(image: Picture) -> Picture:
    """A phone's tone curve: shadows a little deeper, highlights rolled off above 0.7, then the sRGB curve."""
    knee = 0.7
    rolled = np.where(image > knee, knee + (1 - knee) * np.tanh((image - knee) / (1.35 * (1 - knee))), image)
    linear = np.clip(rolled * (0.92 + 0.08 * np.clip(rolled, 0, 1)), 0, 1)
    return linear_to_srgb(linear)


def calmed(image: Picture) -> Picture:
    """Colour noise smoothed, brightness left: as phones do."""
    light = (image @ LUMINANCE)[..., None]
    return np.asarray(light + blurred(image - light, 1.6))


def smoothed(encoded: Picture, tolerance: float) -> Picture:
    """Grain smoothed, edges kept (bilateral filter, 5 x 5): a neighbour counts the less the more it differs."""
    light = encoded @ LUMINANCE
    height, width = light.shape
    lights, colours = np.pad(light, 2, mode="edge"), np.pad(encoded, ((2, 2), (2, 2), (0, 0)), mode="edge")
    total, weights = np.zeros_like(encoded), np.zeros_like(light)
    for y, x in np.ndindex(5, 5):
        window = slice(y, y + height), slice(x, x + width)
        near = np.exp(-0.5 * ((lights[window] - light) / tolerance) ** 2 - 0.25 * ((y - 2) ** 2 + (x - 2) ** 2))
        total, weights = total + near[..., None] * colours[window], weights + near
    return np.asarray(total / weights[..., None])


def developed(image: Picture, white: Picture, phone: Phone, rng: np.random.Generator) -> NDArray[np.uint8]:
    """The picture as the phone keeps it. `white` is what a white sheet in the same light gives, as rendered."""
    seen = blurred(image, 0.55) @ to_daylight(white).T * np.exp([phone.balance[0], 0.0, phone.balance[1]])
    image = shaded_corners(seen * phone.exposure / 0.85)
    image = image + phone.noise * np.sqrt(np.maximum(image, 0) + 0.004) * rng.standard_normal(image.shape)
    image = calmed(np.maximum(image, 0))
    light = (image @ LUMINANCE)[..., None]
    encoded = smoothed(toned(np.maximum(light + phone.saturation * (image - light), 0)), 0.022)
    grain = 0.35 * phone.noise * rng.standard_normal(encoded.shape[:2])[..., None]
    sharp = encoded + grain + phone.sharpening * ((encoded - blurred(encoded, 1.0)) @ LUMINANCE)[..., None]
    return np.asarray(np.round(np.clip(sharp, 0, 1) * 255), dtype=np.uint8)
