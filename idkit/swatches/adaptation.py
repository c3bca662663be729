"""How colours seen under one light look under daylight, as a phone renders them: Bradford's transform.

A phone renders each light by a matrix of its own, so that colours look much as they do in daylight; scaling red, green
and blue alone would turn copper under a bulb into brass.
"""

from __future__ import annotations

import numpy as np

from idkit.see.cielab import D65, TO_XYZ
from idkit.vocabulary import Floats

# XYZ to the responses of three cones (Lam 1985, the Bradford transform, as in CIE 159:2004)
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])


def to_daylight(white: Floats) -> Floats:
    """3 x 3, for linear sRGB as columns: turns `white`, 3, into 1, 1, 1, and what lies under its light with it.

    >>> np.allclose(to_daylight(np.array([2.0, 2.0, 2.0])), np.eye(3) / 2, atol=1e-6)
    True
    """
    gains = (BRADFORD @ D65) / (BRADFORD @ TO_XYZ @ white)
    return np.asarray(np.linalg.solve(BRADFORD @ TO_XYZ, gains[:, None] * (BRADFORD @ TO_XYZ)))
