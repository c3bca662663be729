"""A look laid over a shape under its surroundings: linear colours of every pixel, white paper lying flat being 1.

Metal mirrors; in its hollows it mirrors itself and its colour deepens, tarnish lies thickest there. Paint, plastic,
rust and paper scatter the light and mirror a little of it, uncoloured, from their outermost surface.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from idkit.swatches.bodies import Body, normals
from idkit.swatches.fields import SIDE, fractal, noise
from idkit.swatches.patterns import band, blotches, printed
from idkit.swatches.surfaces import Look, Optics, Random, cover_spectra, film, metal_spectra
from idkit.swatches.surroundings import Surroundings, arriving, mirrored
from idkit.vocabulary import Floats, Image

BOUNCES = np.array([1.0, 1.5, 2.0, 3.0, 4.5, 7.0])
DEPTHS = np.array([0.0, 0.3, 0.7, 1.2, 2.0, 3.5])  # of the tarnish, times its mean
LOST = 0.45  # of the light, behind its own roughness, by a mirror of roughness 1; from memory
DIELECTRIC = 0.045  # mirrored at normal incidence by lacquer, plastic, glass
# Spread of ln luminance over a cover of one colour; from memory.
_WEAR = {"rust": (0.3, 0.3), "fibre": (0.0, 0.08), "paper": (0.0, 0.08), "print": (0.0, 0.5)}
# How strongly covers mirror from their surface, against a clear lacquer; from memory.
_GLOSS = {"rust": 0.1, "bloom": 0.2, "scale": 0.4, "patina": 0.2, "fibre": 0.1, "paper": 0.1, "print": 0.8}
# What else is often part of a thing with that cover: labels, caps, tape; and how often. From memory.
_ALSO = {
    "clear": ("print", "print", "paint", "dark-paint"),
    "fibre": ("print", "paper", "fibre"),
    "paint": ("print", "paint"),
}
OTHERWISE = 0.5
_ROUGH = {"cast": (0.05, 0.7), "drawn": (0.04, 0.6)}  # roughness (GGX alpha) of metal by how it is made; from memory


def shaded(look: Look, body: Body, around: Surroundings, optics: Optics, light: Floats, random: Random) -> Image:
    """side x side x 3 linear colours. `light` is wavelengths x 3: an illuminant as linear sRGB with white at 1."""
    facing = normals(body.slopes)
    view = around.view.astype(np.float32)
    cosine = np.clip(facing @ view, 0.05, 1)[..., None]
    towards = 2 * (facing @ view)[..., None] * facing - view
    wavelength = next(iter(optics.values())).wavelength
    surface = np.zeros((SIDE, SIDE, 3), np.float32)
    if look.metal:
        surface = _metal(look, body, around, towards, cosine, optics, light, random)
    scattered = partial(_cover, around=around, facing=facing, wavelength=wavelength, light=light, random=random)
    if look.cover == "clear":
        surface = _clear(around, towards, cosine, wavelength, light, random)
    elif look.cover:
        share = _share(look, body, random)[..., None]
        cover = scattered(look.cover)
        if look.cover == "ink":
            cover = _inked(surface, cover, wavelength, light, random)
        surface = (1 - share) * surface + share * cover
    other = _ALSO.get(look.cover, ())
    if other and random.random() < OTHERWISE:
        share = band(random)[..., None]
        surface = (1 - share) * surface + share * scattered(str(random.choice(other)))
    if look.cover == "clear":
        return np.asarray(surface * _shade(body), np.float32)
    coat = _coat(look, random)
    if coat > 0:
        rough = float(np.exp(random.uniform(np.log(0.03), np.log(0.5))))
        glance = DIELECTRIC + (1 - DIELECTRIC) * (1 - cosine) ** 5
        surface = surface * (1 - coat * glance) + coat * glance * mirrored(around, towards, rough)
    return np.asarray(surface * _shade(body), np.float32)


def _metal(
    look: Look,
    body: Body,
    around: Surroundings,
    towards: Image,
    cosine: Image,
    optics: Optics,
    light: Floats,
    random: Random,
) -> Image:
    """Mirrored surroundings times reflectance: one reflection in the open, several in hollows, less blue under film."""
    rough = float(np.exp(random.uniform(*np.log(_ROUGH.get(look.made, (0.02, 0.4))))))
    often = np.exp(random.uniform(np.log(0.03), np.log(0.6)))
    uneven = np.exp(random.uniform(0.1, 0.6) * noise(random.uniform(0.02, 0.15), random))
    bounces = 1 + often * uneven * (1 + 2 * body.hollow) + body.hollow
    worn = np.clip(bounces / float(bounces.mean()), 0.2, 3) ** random.uniform(0, 1)
    depth = np.exp(random.uniform(0.05, 0.4) * fractal(random.uniform(0.05, 0.5), random)) * worn
    table = _table(look, optics, light, random)
    reflectance = np.exp(_looked_up(table, bounces, depth))
    grazing = reflectance + (1 - reflectance) * (1 - cosine) ** 5
    stained = np.exp(random.uniform(0.02, 0.25) * fractal(random.uniform(0.02, 0.4), random))[..., None]
    seen = mirrored(around, towards, rough) * grazing * (1 - LOST * rough) * stained
    haze = random.uniform(*look.gloss) * float(np.median(seen[body.mask].mean(axis=1)))
    return np.asarray(seen + haze * arriving(around, normals(body.slopes)), np.float32)


def _table(look: Look, optics: Optics, light: Floats, random: Random) -> Floats:
    """ln of linear sRGB reflectance over BOUNCES x DEPTHS, 6 x 6 x 3."""
    wavelength = next(iter(optics.values())).wavelength
    base = metal_spectra(look, optics, 1, random)[0]
    depth = random.uniform(*look.film) * DEPTHS[None]
    through = film(wavelength, depth, look.edge, random)[0]
    spectra = base[None, None] ** BOUNCES[:, None, None] * through[None]
    return np.asarray(np.log(np.maximum(spectra @ light, 1e-4)))


def _looked_up(table: Floats, bounces: Image, depth: Image) -> Image:
    """Bilinear in bounces and depth."""
    row = np.interp(bounces, BOUNCES, np.arange(len(BOUNCES)))
    column = np.interp(depth, DEPTHS, np.arange(len(DEPTHS)))
    top, left = np.minimum(row.astype(int), len(BOUNCES) - 2), np.minimum(column.astype(int), len(DEPTHS) - 2)
    down, across = (row - top)[..., None], (column - left)[..., None]
    above = table[top, left] * (1 - across) + table[top, left + 1] * across
    below = table[top + 1, left] * (1 - across) + table[top + 1, left + 1] * across
    return np.asarray(above * (1 - down) + below * down, np.float32)


def _share(look: Look, body: Body, random: Random) -> Image:
    """How much of each pixel the cover hides: all of it, or blotches that hide that share."""
    wanted = random.uniform(*look.covered)
    if wanted >= 0.999 or not look.metal:
        return np.ones((SIDE, SIDE), np.float32)
    if look.cover in ("print", "ink") and random.random() < 0.6:
        return band(random)
    field = fractal(random.uniform(0.05, 0.5), random) + random.uniform(-1, 1.5) * body.hollow
    level = float(np.quantile(field[body.mask], 1 - wanted))
    return np.asarray(1 / (1 + np.exp(-np.clip((field - level) / random.uniform(0.05, 0.8), -30, 30))), np.float32)


def _inked(metal: Image, opaque: Image, wavelength: Floats, light: Floats, random: Random) -> Image:
    """Print on metal: most inks are clear and colour what it mirrors, some hide it."""
    sheets = int(random.integers(2, 7))
    tints = cover_spectra("ink", wavelength, sheets, random) @ light
    hides = (random.random(sheets) < 0.35).astype(np.float32)
    which = printed(sheets, random)
    share = hides[which][..., None]
    return np.asarray(share * opaque + (1 - share) * metal * tints[which], np.float32)


def _cover(cover: str, around: Surroundings, facing: Image, wavelength: Floats, light: Floats, random: Random) -> Image:
    """What scatters: one colour a little uneven, or several printed side by side."""
    print_ = cover in ("print", "ink")
    sheets = int(random.integers(2, 7)) if print_ else {"rust": 3}.get(cover, 1)
    colours = cover_spectra("paint" if print_ else cover, wavelength, sheets, random) @ light
    if print_:
        colours = _to_be_read(colours, wavelength, light, random)
    which = printed(sheets, random) if print_ else blotches(sheets, random)
    wear = random.uniform(*_WEAR.get(cover, (0.0, 0.2)))
    uneven = np.exp(wear * fractal(random.uniform(0.02, 0.3), random) - wear**2 / 2)
    return np.asarray(colours[which] * uneven[..., None] * arriving(around, facing), np.float32)


def _to_be_read(colours: Floats, wavelength: Floats, light: Floats, random: Random) -> Floats:
    """Colours of print, sheets x 3: often black and white as in newspapers, mostly on white, mostly with black."""
    if random.random() < 0.4:
        colours = (colours @ np.full((3, 3), 1 / 3)) * np.exp(random.normal(0, 0.03, 3))
    for number, (kind, often) in enumerate((("paper", 0.6), ("dark-paint", 0.7))):
        if random.random() < often:
            colours[number] = (cover_spectra(kind, wavelength, 1, random) @ light)[0]
    return np.asarray(colours)


def _clear(
    around: Surroundings,
    towards: Image,
    cosine: Image,
    wavelength: Floats,
    light: Floats,
    random: Random,
) -> Image:
    """Clear plastic or glass: the ground seen through it, darker where it is seen edgewise, with glints."""
    tint = cover_spectra("tint", wavelength, 1, random)[0] @ light
    longer = np.clip(1 / cosine, 1, 6)
    through = around.ground * np.exp(np.log(np.maximum(tint, 1e-3)) * longer)
    bent = np.exp(-random.uniform(0, 2.0) * (1 - cosine) ** 1.5 + 0.08 * fractal(0.1, random)[..., None])
    glance = DIELECTRIC + (1 - DIELECTRIC) * (1 - cosine) ** 5
    rough = float(np.exp(random.uniform(np.log(0.03), np.log(0.2))))
    seen = through * bent * (1 - glance) + random.uniform(1, 2) * glance * mirrored(around, towards, rough)
    return np.asarray(seen, np.float32)


def _coat(look: Look, random: Random) -> float:
    """How much of a lacquer's mirroring the outermost surface has; bare metal none."""
    if look.metal and not look.cover:
        return 1.0 if look.film[1] > 0.9 and look.family == "not-metal" else 0.0
    most = _GLOSS.get(look.cover, 1.0)
    matt = 0.2 if random.random() < 0.35 else 1.0
    return float(most * matt * random.uniform(0.3, 1))


def _shade(body: Body) -> Image:
    """Hollows see less of the sky."""
    return np.asarray((1 - 0.6 * body.hollow)[..., None], np.float32)
