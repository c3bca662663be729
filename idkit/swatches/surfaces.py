"""What surfaces reflect: metal from its optical constants, and what time and people lay over it.

A look is one way a material meets the eye, as found or scratched. Spectra run over the wavelengths of optics.csv,
reflectances from 0 to 1. How often each look occurs is from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from idkit.vocabulary import Floats, OpticalConstants

Random = np.random.Generator
Optics = Mapping[str, OpticalConstants]


@dataclass(frozen=True)
class Look:
    """One way a material meets the eye. `metal` blends optics sets (low and high weight of each); `film` is the range
    of optical depth of a tarnish or lacquer that absorbs below `edge` (nm); `cover` is what hides the metal."""

    material: str
    surface: str  # as-found or scratched
    family: str
    weight: float
    metal: tuple[tuple[str, float, float], ...] = ()
    film: tuple[float, float] = (0.0, 0.15)
    edge: tuple[float, float] = (490.0, 590.0)
    cover: str = ""  # '', clear, ink, print or a kind that cover_spectra knows
    covered: tuple[float, float] = (0.0, 0.0)
    made: tuple[str, ...] = ("drawn",)  # what shapes it comes in: keys of bodies.MAKINGS, one as often as another
    gloss: tuple[float, float] = (0.0, 0.12)  # neutral light mirrored by grease, lacquer or haze
    grain: tuple[str, float] = ("", 0.0)  # a key of patterns.GRAINS, and the share of such parts that show it
    worn: tuple[float, float] = (0.0, 0.0)  # share of its light that a skin worn rough scatters in the metal's colour


def normal_reflectance(constants: OpticalConstants) -> Floats:
    """Fresnel reflectance at normal incidence, from n and k.

    >>> glass = OpticalConstants("glass", np.array([550.0]), np.array([1.5]), np.array([0.0]), "", "")
    >>> normal_reflectance(glass).round(3).tolist()
    [0.04]
    """
    n, k = constants.n, constants.k
    return np.asarray(((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2))


def metal_spectra(look: Look, optics: Optics, count: int, random: Random) -> Floats:
    """Reflectance of `count` pieces of bare metal, count x wavelengths: a random blend of the look's optics sets."""
    names = [name for name, _, _ in look.metal]
    low = np.array([low for _, low, _ in look.metal])
    high = np.array([high for _, _, high in look.metal])
    weights = random.uniform(low, high, (count, len(names)))
    weights /= weights.sum(axis=1, keepdims=True)
    logs = np.log([normal_reflectance(optics[name]) for name in names])
    return np.asarray(np.exp(weights @ logs))


def film(wavelength: Floats, depth: Floats, edges: tuple[float, float], random: Random) -> Floats:
    """Transmission there and back through a film that absorbs blue more than red, count x facets x wavelengths.

    Absorption falls through an edge: cuprous oxide has its band gap near 570 nm (2.17 eV), thinner and mixed tarnish,
    stain and lacquer absorb from further in the blue. Ranges are from memory.
    """
    edge = random.uniform(*edges, (len(depth), 1, 1))
    width = random.uniform(15, 45, (len(depth), 1, 1))
    return np.asarray(np.exp(-2 * depth[..., None] / (1 + np.exp((wavelength - edge) / width))))


def cover_spectra(kind: str, wavelength: Floats, count: int, random: Random) -> Floats:
    """Diffuse reflectance of what hides a metal, count x wavelengths."""
    return _COVERS[kind](wavelength, count, random)


def _paint(wavelength: Floats, count: int, random: Random) -> Floats:
    """Any colour: one or two smooth bands over a level, nearly half of them grey, black, white, cream or beige, for
    that is what most things are."""
    level = random.beta(0.7, 1.2, (count, 1)) * 0.85 + 0.03
    spectra = np.repeat(level, len(wavelength), axis=1)
    for _ in range(2):
        centre, width = random.uniform(420, 680, (count, 1)), random.uniform(30, 90, (count, 1))
        strength = random.uniform(-0.95, 3.0, (count, 1)) * (random.random((count, 1)) < 0.42)
        spectra = spectra * (1 + strength * np.exp(-0.5 * ((wavelength - centre) / width) ** 2))
    slope = random.normal(0.1, 0.3, (count, 1)) * (wavelength - 550) / 150
    return np.asarray(np.clip(spectra * np.exp(slope), 0.015, 0.95))


def _dark_paint(wavelength: Floats, count: int, random: Random) -> Floats:
    level = random.uniform(0.02, 0.09, (count, 1))
    return np.asarray(level * np.exp(random.normal(0, 0.12, (count, 1)) * (wavelength - 550) / 150))


def _rust(wavelength: Floats, count: int, random: Random) -> Floats:
    """Iron oxides: an edge between a low and a higher level, 550 nm for yellow goethite to 600 nm for red haematite."""
    low, rise = random.uniform(0.02, 0.06, (count, 1)), random.uniform(0.06, 0.3, (count, 1))
    edge, width = random.triangular(550, 580, 600, (count, 1)), random.uniform(15, 35, (count, 1))
    return np.asarray(low + rise / (1 + np.exp(-(wavelength - edge) / width)))


def _bloom(wavelength: Floats, count: int, random: Random) -> Floats:
    level = random.uniform(0.25, 0.75, (count, 1))
    return np.asarray(level * np.exp(random.normal(0.02, 0.05, (count, 1)) * (wavelength - 550) / 150))


def _scale(wavelength: Floats, count: int, random: Random) -> Floats:
    """Mill scale, foundry skin, soot: dark, from bluish to brownish."""
    level = random.uniform(0.03, 0.14, (count, 1))
    return np.asarray(level * np.exp(random.normal(0.05, 0.15, (count, 1)) * (wavelength - 550) / 150))


def _patina(wavelength: Floats, count: int, random: Random) -> Floats:
    """Basic copper salts: a band between 490 and 530 nm."""
    level = random.uniform(0.08, 0.25, (count, 1))
    centre = random.uniform(490, 530, (count, 1))
    return np.asarray(level * (0.5 + 1.3 * np.exp(-0.5 * ((wavelength - centre) / 50) ** 2)))


def _board(wavelength: Floats, count: int, random: Random) -> Floats:
    """Solder mask: mostly green, some blue, black or brown laminate."""
    level = random.uniform(0.02, 0.1, (count, 1))
    centre = random.choice([520.0, 525.0, 530.0, 460.0, 600.0], (count, 1)) + random.normal(0, 8, (count, 1))
    return np.asarray(
        level * (0.4 + random.uniform(0.5, 4, (count, 1)) * np.exp(-0.5 * ((wavelength - centre) / 40) ** 2))
    )


def _fibre(wavelength: Floats, count: int, random: Random) -> Floats:
    """Brown board, hardboard, wood: reflectance that rises evenly from blue to red."""
    level, slope = random.uniform(0.15, 0.5, (count, 1)), random.uniform(0.3, 1.1, (count, 1))
    return np.asarray(np.clip(level * np.exp(slope * (wavelength - 580) / 150), 0.02, 0.9))


def _tint(wavelength: Floats, count: int, random: Random) -> Floats:
    """Transmission of clear plastic or glass along one thickness: mostly clear, some green, brown or blue."""
    clear = np.exp(-random.gamma(1.0, 0.05, (count, 1))) * np.ones(len(wavelength))
    centre = random.choice([525.0, 640.0, 640.0, 470.0], (count, 1))
    width = random.uniform(40, 90, (count, 1))
    strength = random.uniform(0.3, 3, (count, 1)) * (random.random((count, 1)) < 0.5)
    return np.asarray(clear * np.exp(-strength * (1 - np.exp(-0.5 * ((wavelength - centre) / width) ** 2))))


def _paper(wavelength: Floats, count: int, random: Random) -> Floats:
    """White to cream paper, paint, porcelain: high and nearly even."""
    level = random.uniform(0.55, 0.9, (count, 1))
    return np.asarray(
        np.clip(level * np.exp(random.normal(0.03, 0.06, (count, 1)) * (wavelength - 580) / 150), 0.3, 0.95)
    )


def _ink(wavelength: Floats, count: int, random: Random) -> Floats:
    """Transmission there and back of clear printing ink or lacquer of any colour; a third is clear."""
    centre, width = random.uniform(420, 680, (count, 1)), random.uniform(30, 80, (count, 1))
    depth = random.uniform(0.3, 3.5, (count, 1)) * (random.random((count, 1)) < 0.67)
    band = np.exp(-0.5 * ((wavelength - centre) / width) ** 2)
    return np.asarray(np.exp(-depth * np.where(random.random((count, 1)) < 0.5, band, 1 - band)))


_COVERS = {
    "paper": _paper,
    "ink": _ink,
    "fibre": _fibre,
    "tint": _tint,
    "paint": _paint,
    "dark-paint": _dark_paint,
    "rust": _rust,
    "bloom": _bloom,
    "scale": _scale,
    "patina": _patina,
    "board": _board,
}
