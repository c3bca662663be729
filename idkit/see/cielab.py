"""Linear sRGB to CIELAB. OpenCV's own takes 70 ms to set itself up, as long as half a photograph."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.srgb import Real
from idkit.vocabulary import Image

# linear sRGB to XYZ (IEC 61966-2-1), the columns scaled to the white D65
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
D65 = TO_XYZ.sum(axis=1)

SCALE, MIDDLE = np.array([2.55, 1, 1], np.float32), np.array([0, 128, 128], np.float32)  # of CIELAB in bytes


def cielab(rgb: NDArray[Real]) -> NDArray[Real]:
    """CIELAB (CIE 15, D65) of linear sRGB colours relative to white, the last axis L*, a*, b*; single or double.

    >>> cielab(np.array([1.0, 1.0, 1.0])).round(6).tolist()
    [100.0, 0.0, 0.0]
    """
    t = rgb @ (TO_XYZ / D65[:, None]).T.astype(np.result_type(rgb, np.float32))
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    lab = np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)
    return np.asarray(lab, t.dtype)


def in_bytes(lab: Image) -> NDArray[np.uint8]:
    """CIELAB cut off at what bytes hold: L* times 2.55, a* and b* and 128."""
    return np.asarray(np.clip(lab * SCALE + MIDDLE, 0, 255), np.uint8)


def of_bytes(codes: cv2.typing.MatLike) -> Image:
    """CIELAB of such bytes."""
    return np.asarray((codes - MIDDLE) / SCALE, np.float32)
