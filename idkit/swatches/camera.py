"""A phone photographs a shaded part: exposure, tone and colour of the camera, sharpness, noise, 8 bits and JPEG."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from idkit import see
from idkit.see.srgb import linear, linear_to_srgb
from idkit.swatches.fields import SIDE, noise
from idkit.swatches.surfaces import Random
from idkit.vocabulary import Floats, Image, Mask, Part, Photo, White

ASTRAY = 0.2  # share of photographs whose outline is far off; from memory
PAPER = 0.87  # reflectance of white paper
MIRED = np.array([see.MIRED[0], 0.0, see.MIRED[1]])  # ln red, green, blue for one mired


@dataclass(frozen=True)
class Camera:
    """How one photo is developed. Exposure and contrast are powers of a curve that leaves white white."""

    exposure: float
    stray: float
    saturation: float
    gamut: float
    contrast: float
    shoulder: float
    balance: Floats  # ln gain of red, green, blue
    sharpness: float  # blur in pixels
    crispness: float  # of the sharpening
    smoothness: float  # blur of colour differences in pixels
    noise: float
    quality: int  # of the JPEG
    size: float  # of the photo against SIDE


def camera(random: Random) -> Camera:
    """A phone and how it happened to expose. Ranges are from memory."""
    warm = random.normal(0, 4) * MIRED
    return Camera(
        exposure=float(np.exp(random.uniform(np.log(0.42), np.log(0.9)))),
        stray=random.uniform(0.001, 0.012),
        saturation=random.normal(1.05, 0.1),
        gamut=random.uniform(0.1, 0.25),
        contrast=random.normal(1.3, 0.2),
        shoulder=float(np.exp(random.uniform(np.log(0.5), np.log(4)))),
        balance=warm + random.normal(0, 0.01, 3),
        sharpness=float(np.exp(random.uniform(np.log(0.3), np.log(2.2)))),
        crispness=random.uniform(0, 1.2),
        smoothness=float(np.exp(random.uniform(np.log(0.3), np.log(6)))),
        noise=float(np.exp(random.uniform(np.log(0.001), np.log(0.012)))),
        quality=int(random.integers(60, 97)),
        size=float(random.choice([1.0, 1.0, 0.7, 0.55])),
    )


def developed(phone: Camera, colours: Image) -> Image:
    """Linear colours as the phone renders them: the curve rises as a power below and bends over above, so colours grow
    stronger in shadows and paler in highlights; what no screen can show is brought back into the gamut."""
    colours = (np.asarray(colours, np.float32) + phone.stray) * phone.exposure
    grey = np.asarray(see.luminance(colours.astype(np.float64))[..., None], np.float32)
    colours = grey + phone.saturation * (colours - grey)
    colours = np.maximum(colours, phone.gamut * grey)
    raised = np.maximum(colours, 0.0008) ** phone.contrast
    curved = raised * (1 + phone.shoulder) / (raised + phone.shoulder)
    return np.asarray(curved * np.exp(phone.balance), np.float32)


def finished(phone: Camera, encoded: Image) -> Image:
    """sRGB from 0 to 1 as a phone saves it: light sharpened, colour differences smoothed, each by itself.

    Where light then changes from point to point and colour differences do not, dark points look stronger in colour.
    """
    parts = cv2.cvtColor(np.asarray(encoded, np.float32), cv2.COLOR_RGB2YCrCb)
    light = parts[..., 0]
    parts[..., 0] = light + phone.crispness * (light - cv2.GaussianBlur(light, (0, 0), 1.2))
    parts[..., 1:] = cv2.GaussianBlur(parts[..., 1:], (0, 0), phone.smoothness)
    return np.clip(cv2.cvtColor(parts, cv2.COLOR_YCrCb2RGB), 0, 1)


def photograph(phone: Camera, scene: Image, mask: Mask, random: Random) -> tuple[Photo, Part, White]:
    """The encoded photo of a part on its ground, where the part is (as well as a finder would say), and its white."""
    seen = cv2.GaussianBlur(developed(phone, scene), (0, 0), phone.sharpness)
    side = round(SIDE * phone.size)
    seen = cv2.resize(seen, (side, side), interpolation=cv2.INTER_AREA)
    grain = random.normal(0, phone.noise, seen.shape) * np.sqrt(np.maximum(seen, 0) + 0.02)
    encoded = finished(phone, linear_to_srgb(np.asarray(seen + grain, np.float32)))
    code = np.round(encoded * 255).astype(np.uint8)
    picture = _jpeg(code, phone.quality)
    small = cv2.resize(_roughly(mask, random).astype(np.uint8), (side, side), interpolation=cv2.INTER_NEAREST) > 0
    rows, columns = np.flatnonzero(small.any(axis=1)), np.flatnonzero(small.any(axis=0))
    box = (int(columns[0]), int(rows[0]), int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1)
    photo = Photo("simulated", "", picture, linear(picture, SIDE), True)
    return photo, Part(small, box, 1.0, "simulated"), _white(phone)


def _white(phone: Camera) -> White:
    paper = developed(phone, np.full((1, 1, 3), PAPER, np.float32))[0, 0].astype(float)
    red, blue = float(np.log(paper[0] / paper[1])), float(np.log(paper[2] / paper[1]))
    return White("paper", red, blue, 0.0, np.array([[red, blue, 1.0]]), float(see.luminance(paper)))


def _roughly(mask: Mask, random: Random) -> Mask:
    """The outline a little too wide or too narrow; one time in five much of the ground is taken for part, or of the
    part for ground."""
    if random.random() < ASTRAY:
        mask = _astray(mask, random)
    off = int(random.integers(-3, 4))
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * abs(off) + 1, 2 * abs(off) + 1))
    change = cv2.dilate if off > 0 else cv2.erode
    changed = change(mask.astype(np.uint8), kernel) > 0
    return changed if changed.any() else mask


def _astray(mask: Mask, random: Random) -> Mask:
    field = noise(random.uniform(0.3, 0.8), random)
    near = cv2.dilate(mask.astype(np.uint8), np.ones((25, 25), np.uint8)) > 0
    wrong = mask & (field < 0.6) if random.random() < 0.5 else mask | (near & (field > 0))
    return wrong if wrong.sum() > 0.3 * mask.sum() else mask


def _jpeg(picture: np.ndarray, quality: int) -> np.ndarray:
    flags = [cv2.IMWRITE_JPEG_QUALITY, quality]
    packed = cv2.imencode(".jpg", picture[..., ::-1], flags)[1]
    return np.ascontiguousarray(np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR))[..., ::-1])
