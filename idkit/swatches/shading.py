"""A look laid over a traced part: linear colours of every pixel, white paper lying flat being 1.

Metal mirrors; each meeting with it deepens its colour, and in its roughness and pits there are more than tracing sees;
tarnish lies thickest there. Paint, plastic, rust and paper scatter the light and mirror a little of it, uncoloured,
from their outermost surface.
"""

from __future__ import annotations

from functools import partial

import cv2
import numpy as np

from idkit.swatches.fields import SIDE, fractal, noise
from idkit.swatches.illuminants import Lighting
from idkit.swatches.patterns import GRAINS, band, blotches, printed
from idkit.swatches.surfaces import Look, Optics, Random, cover_spectra, film, metal_spectra
from idkit.swatches.tracing import MEETINGS, Traced
from idkit.vocabulary import Floats, Image

BOUNCES = np.array([1.0, 1.5, 2.0, 3.0, 4.5, 7.0])
DEPTHS = np.array([0.0, 0.3, 0.7, 1.2, 2.0, 3.5])  # of the tarnish, times its mean
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


def shaded(look: Look, part: Traced, under: Lighting, optics: Optics, random: Random) -> Image:
    """side x side x 3 linear colours of the part and the ground beside it."""
    wavelength = next(iter(optics.values())).wavelength
    falling = np.tensordot(part.matt, under.total, (0, 0)).astype(np.float32)  # on white matt paint
    ground = np.tensordot(part.matt[:-1], under.total[:-1], (0, 0)) * under.ground / under.total[:-1].sum(axis=0)
    surface = _surface(look, part, under, falling, optics, wavelength, random)
    cover = part.cover[..., None]
    return np.asarray(surface * cover + ground * (1 - cover), np.float32)


def _surface(
    look: Look, part: Traced, under: Lighting, falling: Image, optics: Optics, wavelength: Floats, random: Random
) -> Image:
    """Metal, what covers it, labels and caps, and the gloss of the outermost surface."""
    if look.cover == "clear":
        surface = _clear(part, under, wavelength, random)
    else:
        surface = _metal(look, part, under, falling, optics, random) if look.metal else np.zeros_like(falling)
    scattered = partial(_cover, falling=falling, wavelength=wavelength, light=_white(under), random=random)
    if look.cover and look.cover != "clear":
        share = _share(look, part, random)[..., None]
        cover = scattered(look.cover)
        if look.cover == "ink":
            cover = _inked(surface, cover, wavelength, _white(under), random)
        surface = (1 - share) * surface + share * cover
    other = _ALSO.get(look.cover, ())
    if other and random.random() < OTHERWISE:
        share = band(random)[..., None]
        surface = (1 - share) * surface + share * scattered(str(random.choice(other)))
    coat = _coat(look, random)
    if coat > 0 and look.cover != "clear":
        glance = _glance(part)
        surface = surface * (1 - coat * glance) + coat * glance * _gloss(part, under)
    return surface


def _white(under: Lighting) -> Floats:
    """wavelengths x 3: what white paper under all the light gives, 1 in sum."""
    mixed = np.tensordot(under.amounts[:-1].sum(axis=0).mean(axis=1), under.kinds, 1)
    return np.asarray(mixed / mixed.sum(axis=0))


def _glance(part: Traced) -> Image:
    """Share of light that lacquer, plastic or glass mirrors (Schlick 1994), side x side x 1."""
    return np.asarray(DIELECTRIC + (1 - DIELECTRIC) * (1 - part.cosine[..., None]) ** 5, np.float32)


def _gloss(part: Traced, under: Lighting) -> Image:
    """What a colourless mirror over the part shows, once."""
    return np.tensordot(part.mirror[:, 0], under.total, (0, 0)).astype(np.float32)


def _metal(look: Look, part: Traced, under: Lighting, falling: Image, optics: Optics, random: Random) -> Image:
    """Light after one, two and three meetings, each with its colour: deeper in roughness, less blue under film."""
    often = np.exp(random.uniform(np.log(0.03), np.log(0.6)))
    uneven = np.exp(random.uniform(0.1, 0.6) * noise(random.uniform(0.02, 0.15), random))
    within = often * uneven * (1 + 2 * part.hollow)
    worn = np.clip((1 + within) / float((1 + within).mean()), 0.2, 3) ** random.uniform(0, 1)
    depth = np.exp(random.uniform(0.05, 0.4) * fractal(random.uniform(0.05, 0.5), random)) * worn
    spectra, through = _base(look, optics, random)
    seen, met = np.zeros_like(falling), _met(look, part, random)
    for number, light in enumerate(under.kinds):
        table = _table(spectra, through, light)
        for meeting in range(1, MEETINGS + 1):
            reflectance = np.exp(_looked_up(table, meeting + within, np.minimum(meeting * depth, DEPTHS[-1])))
            grazing = reflectance + (1 - reflectance) * (1 - part.cosine[..., None]) ** 5
            seen += np.tensordot(met[meeting - 1], under.amounts[:, number], (0, 0)) * grazing
    stained = np.exp(random.uniform(0.02, 0.25) * fractal(random.uniform(0.02, 0.4), random))[..., None]
    seen = seen * stained * _grain(look, random)
    haze = random.uniform(*look.gloss) * float(np.median(seen[part.mask].mean(axis=1)))
    return np.asarray(seen + haze * falling, np.float32)


def _met(look: Look, part: Traced, random: Random) -> list[Image]:
    """Light of each source after one, two and three meetings: of a skin partly worn so rough that it scatters.

    What wears and tarnishes scatters light of the metal's own colour instead of mirroring the room (Oren and Nayar
    1994: facets at all angles): old copper and brass the most, castings less, sheet and plate hardly.
    """
    worn = random.uniform(*look.worn)
    once = (1 - worn) * part.mirror[:, 0] + worn * part.matt
    return [once, *((1 - worn) * part.mirror[:, meeting] for meeting in range(1, MEETINGS))]


def _grain(look: Look, random: Random) -> Image:
    """What its making leaves on the sheen of a metal, side x side x 1; 1 where that does not show."""
    name, share = look.grain
    shows = bool(name) and random.random() < share
    return GRAINS[name](random)[..., None] if shows else np.ones((SIDE, SIDE, 1), np.float32)


def _base(look: Look, optics: Optics, random: Random) -> tuple[Floats, Floats]:
    """Reflectance of the bare metal, wavelengths; transmission of its film at each of DEPTHS, 6 x wavelengths."""
    wavelength = next(iter(optics.values())).wavelength
    depth = random.uniform(*look.film) * DEPTHS[None]
    return metal_spectra(look, optics, 1, random)[0], film(wavelength, depth, look.edge, random)[0]


def _table(spectrum: Floats, through: Floats, light: Floats) -> Floats:
    """ln of linear sRGB reflectance over BOUNCES x DEPTHS under a light, white under it being 1; 6 x 6 x 3."""
    spectra = spectrum[None, None] ** BOUNCES[:, None, None] * through[None]
    return np.asarray(np.log(np.maximum(spectra @ light, 1e-4)))


def _looked_up(table: Floats, bounces: Image, depth: Image) -> Image:
    """Bilinear in bounces and depth, h x w x 3."""
    row = np.interp(bounces, BOUNCES, np.arange(len(BOUNCES))).astype(np.float32)
    column = np.interp(depth, DEPTHS, np.arange(len(DEPTHS))).astype(np.float32)
    return np.asarray(cv2.remap(table.astype(np.float32), column, row, cv2.INTER_LINEAR, None, cv2.BORDER_REPLICATE))


def _share(look: Look, part: Traced, random: Random) -> Image:
    """How much of each pixel the cover hides: all of it, or blotches that hide that share."""
    wanted = random.uniform(*look.covered)
    if wanted >= 0.999 or not look.metal:
        return np.ones((SIDE, SIDE), np.float32)
    if look.cover in ("print", "ink") and random.random() < 0.6:
        return band(random)
    field = fractal(random.uniform(0.05, 0.5), random) + random.uniform(-1, 1.5) * part.hollow
    level = float(np.quantile(field[part.mask], 1 - wanted))
    return np.asarray(1 / (1 + np.exp(-np.clip((field - level) / random.uniform(0.05, 0.8), -30, 30))), np.float32)


def _inked(metal: Image, opaque: Image, wavelength: Floats, light: Floats, random: Random) -> Image:
    """Print on metal: most inks are clear and colour what it mirrors, some hide it."""
    sheets = int(random.integers(2, 7))
    tints = cover_spectra("ink", wavelength, sheets, random) @ light
    hides = (random.random(sheets) < 0.35).astype(np.float32)
    which = printed(sheets, random)
    share = hides[which][..., None]
    return np.asarray(share * opaque + (1 - share) * metal * tints[which], np.float32)


def _cover(cover: str, falling: Image, wavelength: Floats, light: Floats, random: Random) -> Image:
    """What scatters: one colour a little uneven, or several printed side by side."""
    print_ = cover in ("print", "ink")
    sheets = int(random.integers(2, 7)) if print_ else {"rust": 3}.get(cover, 1)
    colours = cover_spectra("paint" if print_ else cover, wavelength, sheets, random) @ light
    if print_:
        colours = _to_be_read(colours, wavelength, light, random)
    which = printed(sheets, random) if print_ else blotches(sheets, random)
    wear = random.uniform(*_WEAR.get(cover, (0.0, 0.2)))
    uneven = np.exp(wear * fractal(random.uniform(0.02, 0.3), random) - wear**2 / 2)
    return np.asarray(colours[which] * uneven[..., None] * falling, np.float32)


def _to_be_read(colours: Floats, wavelength: Floats, light: Floats, random: Random) -> Floats:
    """Colours of print, sheets x 3: often black and white as in newspapers, mostly on white, mostly with black."""
    if random.random() < 0.4:
        colours = (colours @ np.full((3, 3), 1 / 3)) * np.exp(random.normal(0, 0.03, 3))
    for number, (kind, often) in enumerate((("paper", 0.6), ("dark-paint", 0.7))):
        if random.random() < often:
            colours[number] = (cover_spectra(kind, wavelength, 1, random) @ light)[0]
    return np.asarray(colours)


def _clear(part: Traced, under: Lighting, wavelength: Floats, random: Random) -> Image:
    """Clear plastic or glass: the ground seen through it, darker where it is seen edgewise, with glints."""
    tint = cover_spectra("tint", wavelength, 1, random)[0] @ _white(under)
    longer = np.clip(1 / part.cosine[..., None], 1, 6)
    through = under.ground * np.exp(np.log(np.maximum(tint, 1e-3)) * longer)
    bent = np.exp(
        -random.uniform(0, 2.0) * (1 - part.cosine[..., None]) ** 1.5 + 0.08 * fractal(0.1, random)[..., None]
    )
    glance = _glance(part)
    seen = through * bent * (1 - glance) + random.uniform(1, 2) * glance * _gloss(part, under)
    return np.asarray(seen, np.float32)


def _coat(look: Look, random: Random) -> float:
    """How much of a lacquer's mirroring the outermost surface has; bare metal none."""
    if look.metal and not look.cover:
        return 1.0 if look.film[1] > 0.9 and look.family == "not-metal" else 0.0
    most = _GLOSS.get(look.cover, 1.0)
    matt = 0.2 if random.random() < 0.35 else 1.0
    return float(most * matt * random.uniform(0.3, 1))
