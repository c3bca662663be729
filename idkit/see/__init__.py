"""Photo to cues: read a photograph, find the part and what is white, measure."""

from idkit.see.card import (
    PAPERS,
    card_problems,
    card_white,
    count_on_card,
    find_card,
    find_each_on_card,
    find_on_card,
    look_for_card,
    size,
    size_refusal,
)
from idkit.see.card import pdf as card_pdf
from idkit.see.cielab import cielab
from idkit.see.cues import CUES
from idkit.see.cues.colour import FEWEST, against_white, lab, under_another_white
from idkit.see.faults import FAULTS
from idkit.see.fitness import Fitness, doubt_of, judge, problems
from idkit.see.light import CAMERA_LOST, MIRED, PAPER, luminance, possible_whites, white
from idkit.see.likeness import cleaned, likeness, original, thumbnail
from idkit.see.named_box import of_named_box, refusal_of_box
from idkit.see.part import find, whole
from idkit.see.parts import among, find_each, together
from idkit.see.patch import fit_to_judge, of_mask, of_part
from idkit.see.photo import read
from idkit.see.scratch import find_scratch
from idkit.see.srgb import made_smaller

__all__ = [
    "against_white",
    "CAMERA_LOST",
    "CUES",
    "FAULTS",
    "Fitness",
    "FEWEST",
    "MIRED",
    "PAPER",
    "PAPERS",
    "among",
    "card_pdf",
    "card_problems",
    "card_white",
    "cielab",
    "cleaned",
    "doubt_of",
    "find",
    "find_card",
    "find_each",
    "count_on_card",
    "find_each_on_card",
    "find_on_card",
    "find_scratch",
    "fit_to_judge",
    "judge",
    "lab",
    "likeness",
    "look_for_card",
    "luminance",
    "made_smaller",
    "of_mask",
    "of_named_box",
    "of_part",
    "original",
    "possible_whites",
    "problems",
    "read",
    "refusal_of_box",
    "size",
    "size_refusal",
    "thumbnail",
    "together",
    "under_another_white",
    "white",
    "whole",
]
