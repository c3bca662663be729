"""A part under a light, seen by a phone: facets, bounces, highlights, exposure, tone and noise, as linear sRGB.

No picture is formed: a part is some hundred facets, each with its own share of the surroundings, its own number of
reflections before the light leaves the relief, and its own film and dirt. That is enough for cues of colour and
shine; texture needs rendered surfaces.
"""

from __future__ import annotations

import numpy as np

from idkit import see
from idkit.swatches.surfaces import Look, Optics, Random, cover_spectra, film, metal_spectra
from idkit.vocabulary import Floats

# Strongest highlight, against light that arrives; rust, bloom and scale are matt. From memory.
_GLINT = {"": 0.6, "patina": 0.2, "rust": 0.08, "bloom": 0.15, "scale": 0.3}
FACETS = 160


def photograph(look: Look, optics: Optics, lights: Floats, count: int, random: Random) -> Floats:
    """Linear sRGB of `count` parts of one look, count x FACETS x 3, white at 1.

    `lights` is illuminants x wavelengths x 3: each illuminant times the colour matching functions, as linear sRGB,
    scaled so that a perfect white gives 1, 1, 1: the camera's balance on white paper.
    """
    bounces = _bounces(count, random)
    spectra = _facets(look, optics, bounces, random)
    light = lights[random.integers(len(lights), size=count)]
    colours = np.einsum("pfw,pwc->pfc", spectra, light)
    arriving = _arriving(look, bounces, random)
    colours = _tinted(colours * arriving[..., None], random) + _mirrored(look, colours, arriving, random)[..., None]
    return _developed(colours, random)


def _bounces(count: int, random: Random) -> Floats:
    """Reflections before light leaves the relief, count x FACETS: 1 on a plane, 2 and more in hollows and grooves."""
    scale = np.exp(random.uniform(np.log(0.02), np.log(1.2), (count, 1)))
    return np.asarray(1 + scale * random.gamma(1.2, 0.8, (count, FACETS)))


def _facets(look: Look, optics: Optics, bounces: Floats, random: Random) -> Floats:
    """Spectra of every facet, count x FACETS x wavelengths."""
    count = len(bounces)
    wavelength = next(iter(optics.values())).wavelength
    whole = np.ones((count, FACETS, len(wavelength)))
    if look.metal:
        worn = (bounces / bounces.mean(axis=1, keepdims=True)) ** random.uniform(
            0, 1, (count, 1)
        )  # off the high points
        depth = random.uniform(*look.film, (count, 1)) * random.gamma(4, 0.25, (count, FACETS)) * worn
        base = metal_spectra(look, optics, count, random)
        whole = base[:, None, :] ** bounces[..., None] * film(wavelength, depth, look.edge, random)
    if look.cover:
        cover = _cover(look.cover, wavelength, count, random)
        mean = random.uniform(*look.covered, (count, 1, 1))
        share = random.beta(mean * 8 + 0.02, (1 - mean) * 8 + 0.02, (count, FACETS, 1)) if look.metal else 1.0
        whole = share * cover + (1 - share) * whole
    return np.asarray(whole)


def _cover(kind: str, wavelength: Floats, count: int, random: Random) -> Floats:
    """What hides the metal, by facet: print is up to three paints side by side, rust goes blotchy, paint wears."""
    sheets = {"print": 3, "rust": 4}.get(kind, 1)
    blotchy = 0.4 if kind == "rust" else 0.22
    spectra = cover_spectra("paint" if kind == "print" else kind, wavelength, count * sheets, random)
    which = (random.random((count, FACETS)) ** 2 * sheets).astype(int)
    wear = random.gamma(blotchy**-2, blotchy**2, (count, FACETS, 1))
    stacked = spectra.reshape(count, sheets, -1)
    return np.asarray(np.clip(np.take_along_axis(stacked, which[..., None], axis=1) * wear, 0, 1))


def _arriving(look: Look, bounces: Floats, random: Random) -> Floats:
    """Light that each facet sends on: log-normal, from a flat spot to crumpled metal (0.03 to 1.2), less for what
    scatters light (0.05 to 0.45), which also lies in much the same light as the white paper. Hollows, where light
    bounces more often, see less of the surroundings."""
    count = len(bounces)
    diffuse = not look.metal or look.covered[0] >= 0.4
    narrow, wide = (0.05, 0.45) if diffuse else (0.03, 1.2)
    spread = np.exp(random.uniform(np.log(narrow), np.log(wide), (count, 1)))
    level = random.uniform(np.log(0.5 if diffuse else 0.15), np.log(1.1), (count, 1))
    hidden = random.uniform(0, 0.6, (count, 1)) * (bounces - bounces.mean(axis=1, keepdims=True)) * (not diffuse)
    return np.asarray(np.exp(level + spread * random.normal(size=bounces.shape) - hidden))


def _tinted(colours: Floats, random: Random) -> Floats:
    """Surroundings are not all white: each part, and each facet a little, mirrors something warmer or cooler."""
    warm = np.array([0.0036, 0.0, -0.0062])
    mired = random.normal(0, 6, (*colours.shape[:1], 1)) + random.normal(0, 10, colours.shape[:2]) * random.random(
        (len(colours), 1)
    )
    return np.asarray(colours * np.exp(mired[..., None] * warm))


def _mirrored(look: Look, colours: Floats, arriving: Floats, random: Random) -> Floats:
    """Neutral light from the outermost surface: a haze on every facet, and glints on covers, oxide and lacquer."""
    count, facets = arriving.shape
    level = np.median(see.luminance(colours), axis=1)[:, None]
    haze = random.uniform(*look.gloss, (count, 1)) * level * np.exp(random.normal(0, 0.3, arriving.shape))
    often = random.uniform(0, 0.2, (count, 1))
    glint = (random.random((count, facets)) < often) * random.gamma(1, 0.6, (count, facets))
    most = _GLINT.get(look.cover, 1.0) * (level if look.metal else 1.0)
    strength = random.uniform(0, 1, (count, 1)) * most
    return np.asarray((haze + strength * glint) * arriving)


def _developed(colours: Floats, random: Random) -> Floats:
    """The phone: saturation, a tone curve by channel, a slightly wrong balance, noise, 8 bits.

    The curve rises as a power below and bends over above, white staying white: colours grow stronger in shadows and
    paler in highlights, as phones render them. Exponents are from memory.
    """
    count = len(colours)
    colours = colours + random.uniform(0.001, 0.01, (count, 1, 1))  # stray light in the lens
    grey = see.luminance(colours)[..., None]
    colours = grey + random.normal(1.05, 0.08, (count, 1, 1)) * (colours - grey)
    colours = np.maximum(colours, random.uniform(0.1, 0.25, (count, 1, 1)) * grey)  # brought back into the gamut
    contrast = random.normal(1.4, 0.12, (count, 1, 1))
    raised = np.maximum(colours, 0.0008) ** contrast
    shoulder = np.exp(random.uniform(np.log(0.5), np.log(4), (count, 1, 1)))
    colours = raised * (1 + shoulder) / (raised + shoulder)
    balance = random.normal(0, 4, (count, 1)) * np.array([0.0036, 0.0, -0.0062]) + random.normal(0, 0.01, (count, 3))
    colours = colours * np.exp(balance)[:, None, :]
    noise = random.normal(0, 0.004, colours.shape) * np.sqrt(colours + 0.02)
    encoded = np.clip(colours + noise, 0.0003, 1) ** (1 / 2.2)
    return np.asarray((np.round(encoded * 255) / 255) ** 2.2)
