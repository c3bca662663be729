"""sRGB codes and linear light (IEC 61966-2-1), and pictures made smaller in either."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache, lru_cache
from typing import Any, TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.vocabulary import Photo

STRIP = 500  # rows of a picture brought to linear light at a time
GLANCED_AT = 950  # longer side, in pixels, at the least, of a picture that is looked at in passing

Encoded = NDArray[Any]  # codes in 8 or 16 bits, height x width x 3
Real = TypeVar("Real", np.float32, np.float64)


def linear(encoded: Encoded, longer_side: int) -> NDArray[np.float32]:
    """sRGB to linear light (IEC 61966-2-1), area-averaged to at most `longer_side`; height x width x 3, 0 to 1."""
    height, width = encoded.shape[:2]
    rows, columns = fitting(height, width, longer_side)
    light = np.empty((rows, columns, 3), np.uint16)
    for cut, place in _strips(height, rows):
        strip = cv2.LUT(encoded[cut], _table()) if encoded.dtype == np.uint8 else _decode_16(encoded[cut])
        if (rows, columns) != (height, width):
            strip = cv2.resize(strip, (columns, place.stop - place.start), interpolation=cv2.INTER_AREA)
        light[place] = strip
    return np.asarray(light.astype(np.float32) / np.float32(65535))


def light_in(photo: Photo, box: tuple[int, int, int, int], longer_side: int) -> NDArray[np.float32]:
    """Linear light in a box x, y, width, height of the photo, by area at most `longer_side`: of the working picture
    where it has as many pixels there, else of the photo itself."""
    x, y, width, height = box
    rows, columns = photo.linear.shape[:2]
    down, across = rows / photo.encoded.shape[0], columns / photo.encoded.shape[1]
    if max(height * down, width * across) < longer_side:
        return linear(photo.encoded[y : y + height, x : x + width], longer_side)
    top, left = int(y * down), int(x * across)
    bottom, right = max(top + 1, math.ceil((y + height) * down)), max(left + 1, math.ceil((x + width) * across))
    size = fitting(height, width, longer_side)[::-1]
    return np.asarray(cv2.resize(photo.linear[top:bottom, left:right], size, interpolation=cv2.INTER_AREA), np.float32)


def brightest(colours: NDArray[Real]) -> NDArray[Real]:
    """The largest of red, green and blue, of the last axis; NumPy's own maximum over three takes many times as long."""
    return np.asarray(np.maximum(np.maximum(colours[..., 0], colours[..., 1]), colours[..., 2]), colours.dtype)


def in_8_bits(encoded: Encoded) -> NDArray[np.uint8]:
    """The codes of a picture in 8 bits."""
    return np.asarray(encoded if encoded.dtype == np.uint8 else encoded >> 8, np.uint8)


def halved(encoded: Encoded, least: int) -> NDArray[np.uint8]:
    """A picture in 8 bit codes, area-averaged to half its size while its longer side stays `least` or more, and neither
    side so short that an odd row that is left over counts."""
    small = in_8_bits(encoded)
    while max(small.shape[:2]) >= 2 * least and min(small.shape[:2]) > 32:
        rows, columns = small.shape[0] // 2, small.shape[1] // 2
        half = cv2.resize(small[: 2 * rows, : 2 * columns], (columns, rows), interpolation=cv2.INTER_AREA)
        small = np.asarray(half, np.uint8)
    return small


@lru_cache(maxsize=1)
def glimpse(photo: Photo) -> NDArray[np.uint8]:
    """The photo in 8 bit codes, halved while 950 pixels are left along its longer side; not to be changed."""
    return halved(photo.encoded, GLANCED_AT)


def made_smaller(encoded: Encoded, longer_side: int) -> NDArray[np.uint8]:
    """A picture in 8 bit codes, area-averaged to at most `longer_side`; by halves first, which is several times as
    quick."""
    small = halved(encoded, longer_side)
    height, width = small.shape[:2]
    rows, columns = fitting(height, width, longer_side)
    return np.asarray(cv2.resize(small, (columns, rows), interpolation=cv2.INTER_AREA), np.uint8)


def fitting(height: int, width: int, longer_side: int) -> tuple[int, int]:
    """Rows and columns of a picture made smaller, if it is larger, until its longer side is that."""
    scale = min(1.0, longer_side / max(height, width))
    return max(1, round(height * scale)), max(1, round(width * scale))


def _strips(height: int, rows: int) -> Iterator[tuple[slice, slice]]:
    """Rows of the photo and the rows they are averaged into, in strips of about 500 where both divide evenly.

    What comes out is the same to the last bit; a strip stays in the processor's cache, a whole photo does not.
    """
    parts = math.gcd(height, rows)
    each = max(1, round(STRIP * parts / height))
    for first in range(0, parts, each):
        last = min(parts, first + each)
        yield (
            slice(height // parts * first, height // parts * last),
            slice(rows // parts * first, rows // parts * last),
        )


def srgb_to_linear(value: NDArray[Real]) -> NDArray[Real]:
    """sRGB values to linear light (IEC 61966-2-1), both 0 to 1, single or double."""
    return np.asarray(np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4), value.dtype)


def linear_to_srgb(light: NDArray[Real]) -> NDArray[Real]:
    """Linear light to sRGB values (IEC 61966-2-1), both 0 to 1, single or double."""
    held = np.clip(light, 0, 1)
    shown = np.where(held <= 0.0031308, 12.92 * held, 1.055 * np.maximum(held, 0.0031308) ** (1 / 2.4) - 0.055)
    return np.asarray(shown, light.dtype)


@cache
def _table() -> NDArray[np.uint16]:
    return np.round(srgb_to_linear(np.arange(256) / 255) * 65535).astype(np.uint16)


def _decode_16(encoded: Encoded) -> NDArray[np.uint16]:
    table = np.round(srgb_to_linear(np.arange(65536) / 65535) * 65535).astype(np.uint16)
    return table[encoded]
