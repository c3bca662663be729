"""Bytes to an upright image in linear light. The only reader of image files."""

from __future__ import annotations

import hashlib
import io
import stat
import struct
from pathlib import Path
from typing import Any
from warnings import catch_warnings

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, UnidentifiedImageError

from idkit.errors import MissingExtra, PhotoError, installing
from idkit.see.srgb import Encoded, in_8_bits, linear, linear_to_srgb
from idkit.vocabulary import Photo

LARGEST = 200_000_000  # pixels
TURNED = 128  # rows of the photo turned at a time
WORKING_SIDE = 1024  # longer side of Photo.linear, at most
LEAST_WORKING = 0.9  # of it: where the photo is a whole number of times as large, which is several times as quick
SHRUNK_SIDE = 1.5 * WORKING_SIDE  # longer side that is left where a photo is decoded smaller, at the least
REDUCED = {  # bits that go together with IMREAD_COLOR_RGB, which makes it colour; those named COLOR hold its opposite
    **{2: cv2.IMREAD_REDUCED_GRAYSCALE_2, 4: cv2.IMREAD_REDUCED_GRAYSCALE_4, 8: cv2.IMREAD_REDUCED_GRAYSCALE_8}
}
GREY_SIDE, NEARLY_GREY = 96, 3.5  # longer side; distance of red and blue from green, in codes, noise averaged out
LIGHT_ENOUGH = 90  # codes of the lightest fiftieth; a darker photo has its colours closer together
CLEAR, SEEN_THROUGH = 0.5, 0.01  # opacity, and the share of a picture under it from which its ground is transparent
# Colours that a profile is tried on, whatever its name: one that moves none of them by more codes is sRGB.
TRIED = np.array([[[200, 60, 40], [60, 180, 60], [50, 70, 200], [128, 128, 128], [210, 180, 110]]], np.uint8)
SAME = 3
KINDS = "a JPEG, PNG, WebP, TIFF, BMP, AVIF or HEIC photo"
HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1")
ORIENTATION = 0x0112  # EXIF 2.32, tag 274
TURNS = {
    **{3: cv2.ROTATE_180, 4: cv2.ROTATE_180, 5: cv2.ROTATE_90_COUNTERCLOCKWISE},
    **{6: cv2.ROTATE_90_CLOCKWISE, 7: cv2.ROTATE_90_CLOCKWISE, 8: cv2.ROTATE_90_COUNTERCLOCKWISE},
}  # after the mirroring of 2, 4, 5 and 7

# The limit here is idkit's own, checked from the header before anything is decoded.
Image.MAX_IMAGE_PIXELS = None
# One error is one line: what the decoder says of a broken photo on its own account is not for a person.
cv2.utils.logging.setLogLevel(cv2.utils.logging.LOG_LEVEL_SILENT)


def read(path: Path, *, smaller: bool = False) -> Photo:
    """Read one photograph; `smaller` a large JPEG at a half, a quarter or an eighth, which is quicker.

    Turned upright by its EXIF orientation, its colour profile converted to sRGB, transparency laid on black.
    Raises PhotoError for what is no photograph, broken, or over 200 megapixels; MissingExtra for HEIC without reader.
    """
    data = _bytes(path)
    name = str(path)
    heic = data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS
    if heic:
        _register_heic(name)
    profile, orientation, kind, size = _header(data, name)
    shrunk = _shrunk(size) if smaller and kind == "JPEG" else 1
    encoded = _with_pillow(data, name) if heic else _decode(data, name, kind, shrunk)
    encoded, seen_through = _three_channels(encoded)
    if profile is not None and not heic:
        encoded = _to_srgb(encoded, profile)
    encoded = np.ascontiguousarray(_upright(encoded, orientation if kind != "TIFF" else 1))
    light = linear(encoded, _working_side(max(encoded.shape[:2])))
    coloured = not _grey(light)
    problems = (
        *(() if coloured else ("no colour in this photo: it was taken or saved in greyscale",)),
        *(("transparent ground: no white in view",) if seen_through else ()),
    )
    return Photo(name, hashlib.sha256(data).hexdigest(), encoded, light, coloured, problems, shrunk)


def _working_side(longest: int) -> int:
    """Longer side of the working picture: a whole part of the photo's where that is hardly smaller.

    >>> _working_side(4032), _working_side(3500)
    (1008, 1024)
    """
    times = -(-longest // WORKING_SIDE)
    whole = longest // times
    return whole if longest % times == 0 and whole >= LEAST_WORKING * WORKING_SIDE else WORKING_SIDE


def _bytes(path: Path) -> bytes:
    try:
        mode = path.stat().st_mode
        if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):  # a pipe or a device gives no end of it
            raise PhotoError(str(path), "is no file", "a photo", "check the name")
        data = path.read_bytes()
    except FileNotFoundError:
        raise PhotoError(str(path), "no such file", "", "check the name") from None
    except IsADirectoryError:
        raise PhotoError(
            str(path), "is a folder", "one photo", "name its photos, or idkit tag takes all of it"
        ) from None
    except OSError as error:
        raise PhotoError(str(path), f"can't be read ({error.strerror})") from None
    if not data:
        raise PhotoError(str(path), "the file is empty (0 bytes)", KINDS, "copy it from the phone again")
    return data


def _header(data: bytes, name: str) -> tuple[bytes | None, int, str, tuple[int, int]]:
    try:
        with catch_warnings(action="ignore"), Image.open(io.BytesIO(data)) as image:  # of damaged EXIF
            _refuse_too_large(image.size, name)  # first: to look for EXIF in a PNG decodes it
            profile = image.info.get("icc_profile") if image.mode not in ("L", "LA", "I;16", "I", "F", "CMYK") else None
            orientation = image.getexif().get(ORIENTATION)
            kind, size = image.format or "", image.size
    except (
        UnidentifiedImageError,
        OSError,
        SyntaxError,
        ValueError,
        RuntimeError,
        struct.error,
        OverflowError,
    ) as error:
        raise PhotoError(name, "is not a photo that can be read", KINDS) from error
    return profile, orientation if isinstance(orientation, int) else 1, kind, size


def _refuse_too_large(size: tuple[int, int], name: str) -> None:
    width, height = size
    if width * height > LARGEST:
        got = f"{width} x {height} = {width * height / 1e6:.0f} megapixels"
        raise PhotoError(name, got, "at most 200", "save it smaller")


def _shrunk(size: tuple[int, int]) -> int:
    """By how much a JPEG may be shrunk in decoding and still be a good deal larger than the working size."""
    return max((factor for factor in REDUCED if max(size) >= factor * SHRUNK_SIDE), default=1)


def _decode(data: bytes, name: str, kind: str, shrunk: int) -> Encoded:
    jpeg = kind == "JPEG"  # decoded as red, green, blue at once: a whole copy less
    flags = cv2.IMREAD_COLOR_RGB | REDUCED.get(shrunk, 0) if jpeg else cv2.IMREAD_UNCHANGED
    try:
        image = cv2.imdecode(np.frombuffer(data, np.uint8), flags | cv2.IMREAD_IGNORE_ORIENTATION)
    except cv2.error:
        image = None
    if image is None:
        raise PhotoError(name, "is broken or cut short", KINDS, "copy it from the phone again")
    if image.ndim == 3 and not jpeg:
        image = cv2.cvtColor(image, cv2.COLOR_BGRA2RGBA if image.shape[2] == 4 else cv2.COLOR_BGR2RGB)
    return image if image.dtype in (np.uint8, np.uint16) else _from_float(image)


def _from_float(image: NDArray[Any]) -> Encoded:
    finite = np.nan_to_num(image.astype(np.float64))
    return np.asarray(np.clip(finite, 0, 1) * 255).astype(np.uint8)


def _register_heic(name: str) -> None:
    try:
        import pillow_heif
    except ImportError:
        raise MissingExtra(name, "is a HEIC photo, which needs a reader", "", installing("heic")) from None
    pillow_heif.register_heif_opener()


def _with_pillow(data: bytes, name: str) -> Encoded:
    try:
        with Image.open(io.BytesIO(data)) as image:
            profile = image.info.get("icc_profile")
            encoded: Encoded = np.asarray(image.convert("RGB"))
    except (OSError, ValueError, RuntimeError) as error:
        raise PhotoError(name, "is broken or cut short", KINDS, "copy it from the phone again") from error
    return _to_srgb(encoded, profile) if profile else encoded


def _three_channels(image: Encoded) -> tuple[Encoded, bool]:
    if image.ndim == 2:
        return np.repeat(image[:, :, None], 3, axis=2), False
    if image.shape[2] == 3:
        return image, False
    alpha = image[:, :, 3:].astype(np.float32) / np.iinfo(image.dtype).max
    laid = (image[:, :, :3] * alpha).astype(image.dtype)
    return laid, bool((alpha < CLEAR).mean() > SEEN_THROUGH)


def _to_srgb(encoded: Encoded, profile: bytes) -> Encoded:
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        to_srgb = ImageCms.buildTransform(source, ImageCms.createProfile("sRGB"), "RGB", "RGB")
        tried = np.asarray(ImageCms.applyTransform(Image.fromarray(TRIED), to_srgb))
        if np.abs(tried.astype(int) - TRIED).max() <= SAME:
            return encoded
        done = ImageCms.applyTransform(Image.fromarray(in_8_bits(encoded)), to_srgb)
    except (ImageCms.PyCMSError, OSError, ValueError):
        return encoded  # a broken profile is ignored, as browsers do
    return encoded if done is None else np.asarray(done)


def _upright(image: Encoded, orientation: int) -> Encoded:
    mirrored = np.asarray(cv2.flip(image, 1)) if orientation in (2, 4, 5, 7) else image
    turn = TURNS.get(orientation)
    return mirrored if turn is None else _turned(mirrored, turn)


def _turned(image: Encoded, turn: int) -> Encoded:
    """Turned by OpenCV: NumPy takes as long to copy a turned view as to decode the photo."""
    if turn == cv2.ROTATE_180:
        return np.asarray(cv2.rotate(image, turn))
    height, width = image.shape[:2]
    turned = np.empty((width, height, 3), image.dtype)
    for top in range(0, height, TURNED):  # a strip stays in the processor's cache, a whole photo does not
        strip = image[top : top + TURNED]
        left = height - top - len(strip) if turn == cv2.ROTATE_90_CLOCKWISE else top
        turned[:, left : left + len(strip)] = cv2.rotate(strip, turn)
    return turned


def _grey(light: NDArray[np.float32]) -> bool:
    """Whether, noise averaged out, all but three pixels in a thousand are grey to within 3.5 codes.

    Codes of a dark photo lie closer together, whatever its colours: as much less is then allowed.
    """
    each = max(1, max(light.shape[:2]) // GREY_SIDE)  # a whole number, which is quick to average by
    rows, columns = (max(1, side // each) for side in light.shape[:2])
    whole = light[: rows * each, : columns * each]
    codes = 255 * linear_to_srgb(cv2.resize(whole, (columns, rows), interpolation=cv2.INTER_AREA).astype(np.float64))
    away = codes[..., [0, 2]] - codes[..., [1]]
    allowed = NEARLY_GREY * min(1.0, float(np.percentile(codes, 98)) / LIGHT_ENOUGH)
    return bool(np.percentile(np.hypot(away[..., 0], away[..., 1]), 99.7) <= allowed)
