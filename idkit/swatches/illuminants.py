"""The light of each source over the spectrum, and the grounds that throw it back.

Illuminants of the CIE (daylight, lamp, LED, fluorescent) from colour-science; two of them at once as often as a window
and a lamp are both in use. What walls and grounds are like is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from idkit.swatches.adaptation import to_daylight
from idkit.swatches.rooms import LIGHTS
from idkit.swatches.surfaces import Random, cover_spectra
from idkit.vocabulary import Floats

NAMES = ("D65", "D50", "D75", "A", "FL2", "FL11", "LED-B1", "LED-B3", "LED-B5", "LED-V1")
TWO_AT_ONCE = 0.25  # share of photographs
# What parts lie on, as a cover and how often: white paper or card, concrete, wood or board, cloth or paint of any
# colour, something dark.
GROUNDS = {"paper": 0.5, "scale": 0.1, "stone": 0.12, "fibre": 0.12, "paint": 0.16}


@dataclass(frozen=True)
class Lighting:
    """`kinds` 1 or 2 illuminants, each wavelengths x 3 of unit sum; `amounts` sources x kinds x 3: how much of each
    comes from each source, in its colour and that of what it comes off; `ground` 3: the ground's colour under them all.

    White paper lying open under them is 1, 1, 1, but for the tints of the walls.
    """

    kinds: Floats
    amounts: Floats
    ground: Floats

    @property
    def total(self) -> Floats:
        """Of each source, sources x 3."""
        return np.asarray(self.amounts.sum(axis=1))


def observed(wavelength: Floats) -> Floats:
    """Illuminants times the CIE 1931 2 degree observer as linear sRGB, luminance 1; illuminants x wavelengths x 3."""
    import colour

    shape = colour.SpectralShape(float(wavelength[0]), float(wavelength[-1]), float(wavelength[1] - wavelength[0]))
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    to_rgb = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
    found = []
    for name in NAMES:
        seen = colour.SDS_ILLUMINANTS[name].copy().align(shape).values[:, None] * observer
        found.append(seen @ to_rgb.T / seen[:, 1].sum())
    return np.array(found)


def lighting(illuminants: Floats, wavelength: Floats, random: Random) -> Lighting:
    """One or two illuminants over the sources of a traced part, as a phone balances them.

    A phone renders each light so that white paper under it is white; where two mix, what it balances is their sum.
    """
    two = random.random() < TWO_AT_ONCE
    chosen = illuminants[random.choice(len(illuminants), 1 + two, replace=False)]
    strength = np.array([*random.uniform(0.3, 2.5, 2), *np.exp(random.uniform(np.log(0.03), np.log(0.8), 2))])
    strength[1] *= two or random.random() < 0.4
    share = np.zeros((len(LIGHTS), len(chosen)))
    share[:, 0] = 1
    if two:  # the lamps differ; the walls are lit by both
        share[1] = (0, 1)
        share[2:] = strength[:2] / strength[:2].sum()
    amounts = (strength / strength.sum())[:, None] * share
    kinds = chosen @ to_daylight(amounts.sum(axis=0) @ chosen.sum(axis=1)).T
    whites = np.maximum(kinds.sum(axis=1), 1e-3)  # kinds x 3
    kinds = kinds / whites[:, None]
    tints = np.ones((len(LIGHTS), 3))
    tints[2:] = np.exp(random.normal(0, [[0.03], [0.15]], (2, 3)))  # painted walls; wood, clothes, hands
    coloured = amounts[..., None] * whites * tints[:, None]
    falling = coloured.sum(axis=0)  # kinds x 3
    spectrum = _ground(wavelength, random)
    thrown = falling * (spectrum @ kinds)
    return Lighting(kinds, np.concatenate([coloured, thrown[None]]), np.asarray(thrown.sum(axis=0)))


def _ground(wavelength: Floats, random: Random) -> Floats:
    """Reflectance of what the part lies on."""
    kind = str(random.choice(list(GROUNDS), p=list(GROUNDS.values())))
    if kind == "stone":
        slope = random.normal(0.03, 0.08) * (wavelength - 580) / 150
        return np.asarray(random.uniform(0.2, 0.5) * np.exp(slope))
    if kind == "paper":
        return np.asarray(0.87 * np.exp(random.normal(0, 0.02) * (wavelength - 580) / 150))
    return np.asarray(cover_spectra(kind, wavelength, 1, random)[0])
