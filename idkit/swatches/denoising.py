"""Traced light without the grain that few samples a pixel leave.

At eight samples a pixel light on matt paint and on the ground comes out uneven by a fifth to four fifths of itself. A
photograph has no such grain, and cues of texture took it for relief. Intel Open Image Denoise takes it out, told where
the part is and which way it faces (Apache 2.0; Python binding pyoidn, MIT).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from idkit.errors import MissingExtra, installing
from idkit.swatches.tracing import MEETINGS, Traced
from idkit.vocabulary import Image

Filter = Callable[[Image], Image]
AT_A_TIME = 3  # lights that go into one picture, one in each channel
PART, GROUND = 0.8, 0.2  # reflectance that the denoiser is told: only that they differ counts


def denoised(part: Traced) -> Traced:
    """The same part with smooth light; edges of it, of shadows and of what it mirrors stay."""
    filtered = _filter(part.cover[..., None], np.moveaxis(part.facing, 0, 2))
    mirror = [_by_threes(part.mirror[:, meeting], filtered) for meeting in range(MEETINGS)]
    return replace(part, mirror=np.stack(mirror, axis=1), matt=_by_threes(part.matt, filtered))


def _filter(cover: Image, facing: Image) -> Filter:
    """A function that denoises one linear picture, side x side x 3."""
    try:
        import pyoidn
    except ImportError as error:
        thing, got = "denoising", "pyoidn is not installed"
        raise MissingExtra(thing, got, "", installing("swatches")) from error
    normals = np.asarray(facing * cover + np.array([0, 0, 1], np.float32) * (1 - cover), np.float32)
    albedo = np.repeat(np.asarray(GROUND + (PART - GROUND) * cover, np.float32), 3, axis=2)

    def filtered(picture: Image) -> Image:
        found = pyoidn.denoise(
            np.ascontiguousarray(picture, np.float32), albedo=albedo, normal=normals, hdr=True, clean_aux=True
        )
        return np.asarray(np.maximum(found, 0), np.float32)

    return filtered


def _by_threes(lights: Image, filtered: Filter) -> Image:
    """Lights denoised, three as the channels of one picture, lights x side x side.

    Not a mirror's three channels together: light after two meetings is had from what little they differ by.
    """
    missing = -len(lights) % AT_A_TIME
    whole = np.concatenate([lights, np.zeros((missing, *lights.shape[1:]), np.float32)])
    pictures = [whole[first : first + AT_A_TIME] for first in range(0, len(whole), AT_A_TIME)]
    found = [np.moveaxis(filtered(np.moveaxis(each, 0, 2)), 2, 0) for each in pictures]
    return np.asarray(np.concatenate(found)[: len(lights)], np.float32)
