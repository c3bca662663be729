"""Photo to cues: read a photograph, find the part and what is white, measure."""

from idkit.see.cielab import cielab
from idkit.see.cues import CUES
from idkit.see.cues.colour import lab
from idkit.see.light import CAMERA_LOST, MIRED, PAPER, luminance, possible_whites, problems, white
from idkit.see.part import find, whole
from idkit.see.parts import among, find_each, together
from idkit.see.patch import fit_to_judge, of_box, of_part
from idkit.see.photo import read

__all__ = [
    "CAMERA_LOST",
    "CUES",
    "MIRED",
    "PAPER",
    "among",
    "cielab",
    "find",
    "find_each",
    "fit_to_judge",
    "lab",
    "luminance",
    "of_box",
    "of_part",
    "possible_whites",
    "problems",
    "read",
    "together",
    "white",
    "whole",
]
