"""A small picture of a photo to keep, and what it is known by when it comes again, saved another way."""

from __future__ import annotations

import hashlib
from pathlib import Path

import cv2
import numpy as np

from idkit.errors import PhotoError
from idkit.see.srgb import glimpse, made_smaller
from idkit.vocabulary import Photo

SIDE, QUALITY = 256, 82  # longer side of a thumbnail in pixels, and of its JPEG
SMALL = 64  # side of the grey picture that is transformed
KEPT = 16  # coefficients along each side whose signs are kept: 8, which is usual, takes one copper coin for another
LARGEST = 1 << 20  # pixels of a thumbnail that somebody else made


def thumbnail(photo: Photo) -> bytes:
    """A small upright JPEG of a photo, its longer side at most 256 pixels, without metadata."""
    return _saved(np.ascontiguousarray(made_smaller(glimpse(photo), SIDE)[:, :, ::-1]))


def likeness(thumbnail: bytes) -> bytes:
    """32 bytes that a photo is known by: signs of the lowest 16 x 16 coefficients of the cosine transform (type II) of
    the grey picture at 64 x 64, row by row, the average first and always set.

    After J. Zauner, Implementation and Benchmarking of Perceptual Image Hash Functions (2010), with 256 bits for 64.
    """
    small = cv2.resize(_decoded(thumbnail, cv2.IMREAD_GRAYSCALE), (SMALL, SMALL), interpolation=cv2.INTER_AREA)
    signs = cv2.dct(small.astype(np.float32))[:KEPT, :KEPT] > 0
    signs[0, 0] = True
    return np.packbits(signs).tobytes()


def cleaned(thumbnail: bytes) -> bytes:
    """A stranger's thumbnail saved anew, so that nothing but its pixels is kept; PhotoError where it is none."""
    name = "thumbnail"
    width, height = _size(thumbnail)
    if not 0 < width * height <= LARGEST:
        raise PhotoError(name, f"got {width} x {height} pixels", "a JPEG of at most a megapixel")
    return _saved(_decoded(thumbnail, cv2.IMREAD_COLOR))


def original(path: Path, sha256: str) -> bytes:
    """The bytes of a photo that was read; PhotoError where the file is gone or another one by now."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise PhotoError(str(path), f"can't be read again ({error.strerror})", "", "leave it where it is") from None
    if hashlib.sha256(data).hexdigest() != sha256:
        raise PhotoError(str(path), "has changed since it was looked at", "", "say it again")
    return data


def _size(jpeg: bytes) -> tuple[int, int]:
    """Width and height from the header (ITU-T T.81, B.2.2): nothing is decoded before they are known; 0, 0 for none."""
    place = 2
    while jpeg[:2] == b"\xff\xd8" and place + 9 <= len(jpeg) and jpeg[place] == 0xFF:
        marker, length = jpeg[place + 1], int.from_bytes(jpeg[place + 2 : place + 4])
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            height, width = (int.from_bytes(jpeg[place + at : place + at + 2]) for at in (5, 7))
            return width, height
        place += 2 + length
    return 0, 0


def _decoded(jpeg: bytes, flag: int) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    try:
        picture = cv2.imdecode(np.frombuffer(jpeg, np.uint8), flag | cv2.IMREAD_IGNORE_ORIENTATION)
    except cv2.error:
        picture = None
    if picture is None:
        name = "thumbnail"
        raise PhotoError(name, "is broken or cut short", "a small JPEG")
    return np.asarray(picture, np.uint8)


def _saved(picture: np.ndarray[tuple[int, ...], np.dtype[np.uint8]]) -> bytes:
    done, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
    assert done
    return data.tobytes()
