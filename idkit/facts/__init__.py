"""What is known: tables with a source in every row, their reader, and which pile a part goes on."""

from idkit.facts.categories import categories
from idkit.facts.cautions import cautions, cautions_for
from idkit.facts.check_pieces import check_piece_of, check_pieces
from idkit.facts.colours import colours
from idkit.facts.dangers import dangers, dangers_of, read_dangers
from idkit.facts.described import described, nearest
from idkit.facts.forms import form, forms
from idkit.facts.marks import Found, marks, marks_in, read_marks
from idkit.facts.materials import kin, material, materials
from idkit.facts.naming import Named, named, near
from idkit.facts.optics import optics, read_optics
from idkit.facts.origins import origin_of, origins, read_origins
from idkit.facts.phrases import says
from idkit.facts.piles import category_of, thickness_is_open, words_met

__all__ = [
    "Found",
    "categories",
    "category_of",
    "cautions",
    "cautions_for",
    "check_piece_of",
    "check_pieces",
    "colours",
    "dangers",
    "dangers_of",
    "described",
    "form",
    "forms",
    "kin",
    "marks",
    "marks_in",
    "material",
    "materials",
    "Named",
    "named",
    "near",
    "nearest",
    "optics",
    "origin_of",
    "origins",
    "read_dangers",
    "read_marks",
    "read_optics",
    "read_origins",
    "says",
    "thickness_is_open",
    "words_met",
]
