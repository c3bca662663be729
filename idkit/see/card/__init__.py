"""The printed reference card: draw it, find it in a photo, and read white and millimetres from it."""

from idkit.see.card.drawing import pdf, raster
from idkit.see.card.finding import find_card, look_for_card
from idkit.see.card.layout import PAPERS, layout
from idkit.see.card.lying import count_on_card, find_each_on_card, find_on_card
from idkit.see.card.measuring import size, size_refusal
from idkit.see.card.whitening import card_problems, card_white

__all__ = [
    "PAPERS",
    "card_problems",
    "card_white",
    "find_card",
    "count_on_card",
    "find_each_on_card",
    "find_on_card",
    "layout",
    "look_for_card",
    "pdf",
    "raster",
    "size",
    "size_refusal",
]
