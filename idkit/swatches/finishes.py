"""What years have put on the sample parts: tarnish, bloom, rust, wear, scratches.

A finish computes what its material varies by from where a point lies: in a hollow, where dirt stays, or on an edge,
where wear shows the metal. How strong each is drawn is from memory.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from idkit.swatches.relief import fractal, lattice, step
from idkit.swatches.shapes import Points
from idkit.swatches.skins import (
    ALUMINIUM,
    BRASS,
    CHROMIUM,
    COPPER,
    IRON,
    ZINC,
    Finish,
    Skin,
    dull,
    metal,
    moulded,
    over,
)


def old_brass() -> Finish:
    """Brass handled for years: brown in the hollows and in clouds, bright on edges, cast skin a little grainy."""
    clouds, grit, fine = fractal(11, 14), fractal(12, 1.6, 2), lattice(13, 0.7)
    return Finish(
        over(metal(BRASS, "rough"), dull(0.20, 0.125, 0.045), "brown"),
        {
            "rough": lambda s: np.clip(0.2 + 0.09 * clouds(s.points) - 0.12 * s.edge, 0.08, 0.5),
            "brown": lambda s: np.clip(
                0.2 + 0.36 * step(clouds(s.points), -0.1, 0.8) + 0.75 * step(s.hollow, 0.12, 0.6) - 0.3 * s.edge, 0, 0.9
            ),
        },
        ((grit, 0.05), (fine, 0.04)),
    )


def blotched_zinc() -> Finish:
    """Zinc die casting: smooth thin skin, darkened in blotches, white bloom in places."""
    blotch, spots, fine = fractal(21, 11, 5, 0.7), fractal(22, 2.6, 3), fractal(23, 1.3, 2)
    return Finish(
        over(over(metal(ZINC, "rough", "light"), dull(0.17, 0.18, 0.2), "dark"), dull(0.62, 0.63, 0.62), "bloom"),
        {
            "rough": lambda s: np.clip(0.3 + 0.1 * blotch(s.points), 0.18, 0.5),
            "light": lambda s: np.clip(0.62 + 0.22 * blotch(s.points), 0.3, 1),
            "dark": lambda s: np.clip(
                0.3 + 0.55 * blotch(s.points) + 0.3 * spots(s.points) + 0.4 * s.hollow, 0.05, 0.9
            ),
            "bloom": lambda s: 0.75 * step(spots(s.points) + 0.6 * fractal(24, 16)(s.points), 0.55, 0.9),
        },
        ((fine, 0.05), (blotch, 0.06)),
    )


def plain_casting() -> Finish:
    """Aluminium casting: plain even matt grey, slightly grainy, some grime in the hollows."""
    grit, fine, clouds = fractal(31, 1.9, 2), lattice(32, 0.9), fractal(33, 22)
    return Finish(
        over(over(metal(ALUMINIUM, 0.42, 0.72), dull(0.36, 0.36, 0.35), 0.35), dull(0.07, 0.06, 0.05), "grime"),
        {"grime": lambda s: np.clip(0.06 * (1 + clouds(s.points)) + 0.6 * step(s.hollow, 0.1, 0.7), 0, 0.7)},
        ((grit, 0.13), (fine, 0.10)),
    )


def handled_copper() -> Finish:
    """Drawn copper tube: smooth, browned in clouds, dark where it was heated, bright where it was cleaned."""
    clouds, spots, drawn = fractal(41, 18, 5), fractal(42, 3, 3), lattice(43, (14, 0.8, 0.8))
    return Finish(
        over(metal(COPPER, "rough"), dull(0.13, 0.05, 0.027), "brown"),
        {
            "rough": lambda s: np.clip(0.16 + 0.07 * clouds(s.points), 0.07, 0.4),
            "brown": lambda s: np.clip(
                0.14
                + 0.4 * step(clouds(s.points) + 0.3 * spots(s.points), -0.1, 0.8)
                + 0.5 * step(s.hollow, 0.15, 0.6),
                0,
                0.9,
            ),
        },
        ((drawn, 0.03), (spots, 0.02)),
    )


def bright_chrome() -> Finish:
    """Chrome over zinc: a mirror with water spots, and pits and blisters where grey shows through."""
    clouds, spots, waves = fractal(51, 9), fractal(52, 2.4, 3), lattice(53, 9)
    return Finish(
        over(metal(CHROMIUM, "rough", 1.0), dull(0.23, 0.23, 0.23), "pits"),
        {
            "rough": lambda s: np.clip(0.05 + 0.09 * step(clouds(s.points), 0.2, 0.9), 0.03, 0.3),
            "pits": lambda s: np.clip(
                0.9 * step(spots(s.points) + 0.5 * clouds(s.points), 0.72, 0.85) + 0.5 * step(s.hollow, 0.3, 0.8), 0, 1
            ),
        },
        ((waves, 0.012), (spots, 0.008)),
    )


def rusted_steel() -> Finish:
    """Steel left outdoors: brown rust in two shades, and the lines of rolling where it was rubbed."""
    clouds, spots = fractal(61, 16, 5, 0.65), fractal(62, 3, 4)
    rolled, grit = lattice(63, (30, 0.7, 0.7)), lattice(64, 0.9)
    old, new = dull(0.085, 0.036, 0.018), dull(0.235, 0.092, 0.034)
    return Finish(
        over(over(old, new, "fresh"), metal(IRON, 0.32, 0.5), "bare"),
        {
            "fresh": lambda s: step(spots(s.points) + 0.6 * clouds(s.points) - 0.5 * s.hollow, -0.9, 1.1),
            "bare": lambda s: np.clip(
                0.6 * step(clouds(s.points) - 0.6 * spots(s.points), 0.2, 0.9) + 0.4 * step(s.edge, 0.3, 0.9), 0, 0.7
            ),
        },
        ((rolled, 0.08), (grit, 0.16), (spots, 0.10)),
    )


def die_lines() -> Finish:
    """Aluminium extrusion: straight lines from the die along x, a light grey film, a few scratches."""
    lines, scratches, clouds = lattice(71, (900, 0.8, 0.8)), fractal(72, (30, 0.8, 3), 2), fractal(73, 25)
    return Finish(
        over(metal(ALUMINIUM, "rough", 0.85), dull(0.42, 0.42, 0.42), "film"),
        {
            "rough": lambda s: np.clip(0.22 + 0.06 * lines(s.points) + 0.05 * clouds(s.points), 0.1, 0.4),
            "film": lambda s: np.clip(0.22 + 0.12 * clouds(s.points) + 0.12 * lines(s.points), 0.05, 0.6),
        },
        ((lines, 0.2), (scratches, 0.03)),
    )


def black_plastic(pointer: Callable[[Skin], Points]) -> Finish:
    """Moulded black plastic, dusty in the flutes, with a white pointer pressed in."""
    dust, fine = fractal(81, 9), lattice(82, 0.9)
    base = over(moulded(0.016, 0.016, 0.017, 0.16), dull(0.2, 0.19, 0.17), "dust")
    return Finish(
        over(base, moulded(0.72, 0.72, 0.68, 0.2), "pointer"),
        {
            "dust": lambda s: np.clip(0.05 + 0.08 * dust(s.points) + 0.12 * s.hollow, 0, 0.4),
            "pointer": pointer,
        },
        ((fine, 0.012),),
    )


def filed_plating(patch: Callable[[Skin], Points]) -> Finish:
    """Dull chrome over brass, filed through to the brass in one patch; the file's lines run along x."""
    clouds, spots, fine, file = fractal(91, 12, 4), fractal(92, 2.2, 3), lattice(93, 1.1), lattice(94, (24, 0.9, 0.9))
    plated = over(metal(CHROMIUM, "rough", 0.95), dull(0.3, 0.29, 0.27), "film")
    return Finish(
        over(plated, metal(BRASS, 0.24, 0.82), "bare"),
        {
            "rough": lambda s: np.clip(0.2 + 0.1 * clouds(s.points), 0.08, 0.4),
            "film": lambda s: np.clip(
                0.3 + 0.25 * clouds(s.points) + 0.3 * step(spots(s.points), 0.4, 0.7) + 0.6 * s.hollow, 0.03, 0.95
            ),
            "bare": lambda s: step(patch(s) * (0.75 + 0.6 * file(s.points)), 0.3, 0.55),
        },
        ((fine, 0.04), (lambda p: file(p) * step(p[..., 2], 13.2, 14.2) * step(np.abs(p[..., 0] + 2), 17, 15), 0.12)),
    )


def sand_cast_iron() -> Finish:
    """Grey iron from a sand mould: dark, coarse, dull, with a breath of rust."""
    grit, coarse, clouds = lattice(101, 1.0), fractal(102, 3.2, 3), fractal(103, 17, 5)
    base = over(metal(IRON, 0.45, 0.55), dull(0.045, 0.043, 0.042), 0.62)
    return Finish(
        over(base, dull(0.2, 0.083, 0.033), "rust"),
        {
            "rust": lambda s: np.clip(
                0.06 + 0.75 * step(clouds(s.points) + 0.5 * coarse(s.points), 0.1, 0.9) + 0.2 * s.hollow, 0, 0.85
            )
        },
        ((grit, 0.22), (coarse, 0.25)),
    )
