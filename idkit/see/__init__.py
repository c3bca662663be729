"""Photo to cues: read a photograph, find the part and what is white, measure."""

from idkit.see.cielab import cielab
from idkit.see.cues import CUES
from idkit.see.cues.colour import FEWEST, lab
from idkit.see.light import CAMERA_LOST, MIRED, PAPER, luminance, possible_whites, problems, white
from idkit.see.named_box import OFF_PART, of_named_box
from idkit.see.part import find, whole
from idkit.see.patch import fit_to_judge, of_box, of_mask, of_part
from idkit.see.photo import read
from idkit.see.scratch import find_scratch

__all__ = [
    "CAMERA_LOST",
    "CUES",
    "FEWEST",
    "MIRED",
    "OFF_PART",
    "PAPER",
    "cielab",
    "find",
    "find_scratch",
    "fit_to_judge",
    "lab",
    "luminance",
    "of_box",
    "of_mask",
    "of_named_box",
    "of_part",
    "possible_whites",
    "problems",
    "read",
    "white",
    "whole",
]
