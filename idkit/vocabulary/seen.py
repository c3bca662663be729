"""What is measured in a photo."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from idkit.vocabulary.arrays import Floats, Image, Mask

FAMILIES = ("copper-red", "brass-yellow", "grey-white", "rust-brown", "not-metal")
SURFACES = ("as-found", "scratched")


@dataclass(frozen=True)
class Reading:
    """One measured number. `how` says how it was had or, where `value` is NaN, why it could not be."""

    name: str
    value: float
    unit: str
    how: str = ""


@dataclass(frozen=True, eq=False)
class Photo:
    """An upright photograph.

    `encoded` is height x width x 3 in sRGB order red, green, blue, 8 or 16 bit, full size;
    `linear` is the same in linear light, 0 to 1, area-averaged so that its longer side is at most 1024. Where a JPEG
    was decoded smaller, `shrunk` pixels of the file along a side went into one of `encoded`.
    """

    file: str
    sha256: str
    encoded: NDArray[np.uint8] | NDArray[np.uint16]
    linear: Image
    coloured: bool
    problems: tuple[str, ...] = ()
    shrunk: int = 1


@dataclass(frozen=True)
class White:
    """What neutral looks like in this photo: ln(R/G) and ln(B/G) of white, each with a standard uncertainty.

    `grid` is k x 3: possible ln(R/G), ln(B/G) of white and the weight of each; the weights sum to 1.
    """

    kind: str  # paper, card, other or none
    red_green: float
    blue_green: float
    uncertainty: float
    grid: Floats
    luminance: float  # linear luminance of white, 0 to 1; NaN where no white is in view


@dataclass(frozen=True)
class Card:
    """The printed reference card in a photo.

    `to_mm` is the homography from pixels of Photo.encoded (x right, y down, whole numbers in the middle of a pixel) to
    mm on the card; `possible` is k x 3 x 3, the same from corners moved by as much as they are uncertain.
    """

    paper: str
    to_mm: Floats
    possible: Floats
    markers: tuple[int, ...]  # those seen
    fault: float  # mm rms by which their corners miss the plane


@dataclass(frozen=True)
class Size:
    """The part's smallest rectangle in mm and area in mm², with standard uncertainties of the sides and of the area."""

    length: float
    width: float
    area: float
    uncertainty: float
    area_uncertainty: float
    how: str


@dataclass(frozen=True, eq=False)
class Part:
    """Where the part is, itself and no other's equal.

    `mask` is as large as Photo.linear; `box` is x, y, width, height in Photo.encoded. `sheet`, as large as `mask`, is
    all within the corners of the sheet of paper that it lies on, where one lies on the bench; `beside` what touches it
    and goes on past the frame, which is neither part nor ground.
    """

    mask: Mask
    box: tuple[int, int, int, int]
    quality: float  # 0 to 1: how clearly it stands out from its ground
    how: str
    sheet: Mask | None = None
    beside: Mask | None = None


@dataclass(frozen=True)
class Scratch:
    """Where bare metal seems to show. `mask` is as large as Photo.linear; `box` is x, y, width, height in the photo."""

    mask: Mask
    box: tuple[int, int, int, int]
    certainty: float  # 0 to 1: chance that it is filed or scratched metal
    how: str


@dataclass(frozen=True, eq=False)
class Patch:
    """The pixels a cue reads: the part, or the bare metal of a scratch on it; itself and no other's equal.

    `colours` is n x 3 linear light, uncorrected, of the pixels fit to judge (not clipped, not in deep shadow);
    `white` is what neutral looks like there; `tile` is the part's luminance relative to its own median at one stated
    size (longer side at most 256 pixels) with NaN outside the part, `tile_colours` the same in colour, uncorrected.
    """

    colours: Floats
    white: White
    tile: Image
    tile_colours: Image
    detail: float  # photograph pixels behind one of the tile, along a side; below 1 the part is smaller than 256
    used: float  # share of the part's pixels that were fit to judge
    body: Floats | None = None  # median ln(R/G), ln(B/G) of `colours`; None where it was not taken beforehand
    small: Floats | None = None  # `tile_colours` at most 64 pixels long, NaN at the outline too; None likewise


@dataclass(frozen=True)
class Cue:
    """One thing measured in a photo. `measure` takes a Patch and gives the number, or NaN and the reason."""

    name: str
    unit: str
    low: float
    high: float
    sees: str
    source: str
    measure: Callable[[Patch], Reading]
    judged: bool = False  # True where the classifier uses it
    by_white: bool = False  # True where the reading moves with what is taken for white
    under: Callable[[Patch, Floats], Floats] | None = None  # the same under k x 2 whites, ln(R/G), ln(B/G), at once


@dataclass(frozen=True)
class Scene:
    """A photo with its part and its white, None where there is none."""

    photo: Photo
    part: Part | None
    white: White | None


@dataclass(frozen=True)
class Fault:
    """One thing that can be wrong with a photo: it is, where `measure` gives more than `limit`.

    `doubt` is how much less the photo says at `worst` and beyond, 0 to 1; `colour` whether its colour is touched.
    `measure` gives NaN where it can't tell.
    """

    name: str
    message: str
    measure: Callable[[Scene], float]
    limit: float
    worst: float
    doubt: float
    colour: bool
    source: str
