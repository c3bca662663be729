"""White at the part, from the card's bare paper; the printed grey steps only check it."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from idkit.see.card.drawing import raster
from idkit.see.card.finding import at, inverse, of_linear
from idkit.see.card.layout import GREYS, STEP, Layout, layout
from idkit.see.light import CAMERA_LOST, MIRED, TINT, TINT_UNCERTAINTY, luminance, possible_whites, ratios
from idkit.see.srgb import srgb_to_linear
from idkit.vocabulary import Card, Floats, Mask, Part, Photo, White

# Plain white paper: reflectance of luminance, and how far from neutral along the black-body locus. From memory: sheets
# lie between 0.83 and 0.91, and brighteners make them bluer by 0 to 5 units of b* as the light has more or less
# ultraviolet. Paper that is merely taken for paper (see.light) is given 12 mired.
PAPER_REFLECTANCE, CARD = 0.87, 8.0
GREYS_TRUST = 0.25  # share of a cast of the printed greys that counts as doubt about white; from memory
CLIPPED = 0.97  # linear light
NEAR = 45.0  # mm around the part within which the light matters most
SHADE = 0.06  # scale in ln luminance at which a point of paper counts half: shadows, hands, creases
FEWEST, MOSTLY = 200, 0.4  # points of bare paper, and share of those in view, that are not clipped
FLATTEST, STEEPEST = 0.5, 1.8  # power that the greys may follow against print


@dataclass(frozen=True)
class Light:
    """ln luminance, ln(R/G) and ln(B/G) of bare paper over the card: 6 x 3 coefficients of `_terms`."""

    coefficients: Floats
    width: float
    height: float


def card_white(photo: Photo, card: Card, part: Part | None) -> White | None:
    """White where the part lies (in the middle of the card where there is none), of kind 'card'.

    None where too little of the paper is in view and unclipped, or in a photo without colour.

    The light's slow change over the sheet is fitted to the bare paper (quadratic, reweighted least squares with Cauchy
    weights, points near the part counting most) and read at the part, so a lamp to one side does no harm. Paper is the
    anchor: printed greys are only as good as the printer, so they never move white; a cast they show adds doubt. The
    luminance is that of a perfect white, which paper is 0.87 of; L* of the part is then not too high by 5.
    """
    points = _points(photo, card, part)
    light = _light(photo, card, part, points) if photo.coloured else None
    if light is None:
        return None
    read = _read(light, points)
    level, colour = float(read[:, 0].mean()), read[:, 1:].mean(axis=0)
    trust = CAMERA_LOST**2 / (CAMERA_LOST**2 + CARD**2)
    trust_across = TINT_UNCERTAINTY**2 / (TINT_UNCERTAINTY**2 + 0.01**2)
    centre = (colour @ MIRED) / (MIRED @ MIRED) * trust * MIRED + (colour @ TINT) * trust_across * TINT
    change = _mired(read[:, 1:] - colour).std()
    doubt = GREYS_TRUST * _cast(_greys(photo, card, light))
    along = float(np.sqrt(CARD**2 * trust + change**2 + doubt**2))
    grid = possible_whites(centre, along)
    apart = grid[:, :2] - grid[:, 2] @ grid[:, :2]
    uncertainty = float(np.sqrt(grid[:, 2] @ (apart**2).sum(axis=1)))
    return White(
        "card", float(centre[0]), float(centre[1]), uncertainty, grid, float(np.exp(level)) / PAPER_REFLECTANCE
    )


def card_problems(photo: Photo, card: Card) -> tuple[str, ...]:
    """What the card shows to be wrong with the photo, each with what to do."""
    if not photo.coloured:
        return ()  # that is said already
    light = _light(photo, card, None, _points(photo, card, None))
    if light is None:
        return ("the card's paper is blown out or hidden: less light on it, and keep the part inside its frame",)
    power = _power(_greys(photo, card, light)[:, 0])
    if np.isfinite(power) and not FLATTEST < power < STEEPEST:
        return ("the card's greys come out wrong: take it without filter or night mode, or print the card anew",)
    return ()


def _points(photo: Photo, card: Card, part: Part | None) -> Floats:
    """Points in mm where white is wanted: over the part, kept on the sheet; else the middle of the card."""
    page = np.array([layout(card.paper).width, layout(card.paper).height])
    if part is None or not part.mask.any():
        return page[None] / 2
    rows, columns = np.nonzero(part.mask)
    step = max(1, len(rows) // 2000)
    pixels = np.column_stack([columns[::step], rows[::step]]).astype(np.float64)
    return np.asarray(np.clip(at(of_linear(photo, card.to_mm), pixels), 0, page))


def _light(photo: Photo, card: Card, part: Part | None, points: Floats) -> Light | None:
    printed = layout(card.paper)
    where = _bare(printed)
    pixels = np.round(at(inverse(of_linear(photo, card.to_mm)), where)).astype(int)
    rows, columns = photo.linear.shape[:2]
    seen = ((pixels >= 0) & (pixels < (columns, rows))).all(axis=1)
    where, pixels = where[seen], pixels[seen]
    colours = cv2.blur(photo.linear, (3, 3))[pixels[:, 1], pixels[:, 0]].astype(np.float64)
    bare, clipped = ~_grown(part, photo)[pixels[:, 1], pixels[:, 0]], colours.max(axis=1) >= CLIPPED
    free = bare & ~clipped
    if free.sum() < max(FEWEST, MOSTLY * bare.sum()):
        return None
    where, colours = where[free], colours[free]
    away = np.sqrt(((where[:, None] - points[:: max(1, len(points) // 60)]) ** 2).sum(axis=2)).min(axis=1)
    near = np.exp(-0.5 * (away / NEAR) ** 2) + 0.02
    values = np.column_stack([np.log(np.maximum(luminance(colours), 1e-5)), ratios(colours)])
    return Light(_fit(_terms(where, printed.width, printed.height), values, near), printed.width, printed.height)


def _bare(printed: Layout) -> Floats:
    """Points of the sheet, every 2.5 mm, where 1.5 mm around nothing is printed; n x 2 in mm."""
    page = cv2.erode(raster(printed.paper, 4), np.ones((13, 13), np.uint8))
    y, x = np.nonzero(page[12:-12:10, 12:-12:10] == 255)
    return np.asarray(np.column_stack([x, y]) * 2.5 + 3.0)


def _grown(part: Part | None, photo: Photo) -> Mask:
    """The part and what its edge and contact shadow touch."""
    if part is None:
        return np.zeros(photo.linear.shape[:2], bool)
    return np.asarray(cv2.dilate(part.mask.astype(np.uint8), np.ones((25, 25), np.uint8)) > 0)


def _fit(terms: Floats, values: Floats, near: Floats) -> Floats:
    """Reweighted least squares on ln luminance; colour takes the same weights. The curved terms are held stiff.

    The scale shrinks step by step, so that a steep slope of light is not taken for a shadow.
    """
    stiff = np.diag([0, 0, 0, 0.01, 0.01, 0.01]) * near.sum()
    off = values[:, 0] - np.median(values[:, 0])
    for scale in np.geomspace(20, 1, 16) * SHADE:
        weighted = terms * (near / (1 + (off / scale) ** 2))[:, None]
        coefficients = np.linalg.solve(weighted.T @ terms + stiff, weighted.T @ values)
        off = values[:, 0] - terms @ coefficients[:, 0]
    return np.asarray(coefficients)


def _terms(where: Floats, width: float, height: float) -> Floats:
    x, y = (2 * where / (width, height) - 1).T
    return np.column_stack([np.ones_like(x), x, y, x * y, x**2, y**2])


def _read(light: Light, where: Floats) -> Floats:
    return np.asarray(_terms(where, light.width, light.height) @ light.coefficients)


def _mired(colours: Floats) -> Floats:
    """Mired along the black-body locus, of n x 2 ln ratios."""
    return np.asarray(colours @ MIRED / (MIRED @ MIRED))


def _greys(photo: Photo, card: Card, light: Light) -> Floats:
    """ln luminance, ln(R/G), ln(B/G) of each grey step against paper in the same light, steps x 3; NaN where hidden."""
    back = inverse(of_linear(photo, card.to_mm))
    found = []
    for step in layout(card.paper).steps:
        y, x = np.mgrid[4 : STEP[1] - 4 : 8j, 4 : STEP[0] - 4 : 8j]
        where = np.column_stack([x.ravel() + step.box[0], y.ravel() + step.box[1]])
        pixels = np.clip(np.round(at(back, where)).astype(int), 0, np.array(photo.linear.shape[1::-1]) - 1)
        colours = photo.linear[pixels[:, 1], pixels[:, 0]].astype(np.float64)
        values = np.column_stack([np.log(np.maximum(luminance(colours), 1e-5)), ratios(colours)])
        flat = np.std(values[:, 0]) < 0.25
        found.append(np.median(values - _read(light, where), axis=0) if flat else np.full(3, np.nan))
    return np.array(found)


def _cast(greys: Floats) -> float:
    """Mired that the lighter steps are off neutral; 0 where they are hidden."""
    off = _mired(greys[:4, 1:])
    return float(np.median(off[np.isfinite(off)])) if np.isfinite(off).any() else 0.0


def _power(levels: Floats) -> float:
    """The power that the steps between white and a fifth follow against what was printed, 1 in a plain photo."""
    meant = np.log(srgb_to_linear(np.maximum(GREYS, 0.01)))
    good = np.isfinite(levels) & (meant > np.log(0.12))
    return float((meant[good] @ levels[good]) / (meant[good] @ meant[good])) if good.sum() > 1 else float("nan")
