"""The whole paths, each one call: hands checks, cue tables and piles from room to room."""

from idkit.decide.reasons import tenths
from idkit.flows.benching import bench, check_scale, on_this_bench, own, save_scale, set_magnet, set_words, tools
from idkit.flows.identifying import Case, begin, identify
from idkit.flows.judging import JUDGED
from idkit.flows.listings import (
    card_pdf,
    category_name,
    known_categories,
    known_checks,
    known_dangers,
    known_marks,
    known_materials,
    known_origins,
    name_of,
    named_answers,
    not_told_apart,
    samples_folder,
)
from idkit.flows.looking import look
from idkit.flows.recording import WORTH_SAYING, Context, b_star_uncertainty, forbidden_by
from idkit.flows.results import Box, Identified, Seen, Several
from idkit.flows.several import identify_each, look_at_each
from idkit.flows.shipped import STARTER, starter, train_starter
from idkit.flows.tagging import Sketch, Tagged, digest, tag, tag_each, understood

__all__ = [
    "Box",
    "Case",
    "Context",
    "Identified",
    "JUDGED",
    "STARTER",
    "Seen",
    "Several",
    "Sketch",
    "Tagged",
    "WORTH_SAYING",
    "b_star_uncertainty",
    "begin",
    "bench",
    "card_pdf",
    "check_scale",
    "digest",
    "category_name",
    "forbidden_by",
    "identify",
    "identify_each",
    "known_categories",
    "known_checks",
    "known_dangers",
    "known_marks",
    "known_materials",
    "known_origins",
    "look",
    "look_at_each",
    "name_of",
    "named_answers",
    "not_told_apart",
    "on_this_bench",
    "own",
    "save_scale",
    "set_magnet",
    "set_words",
    "samples_folder",
    "starter",
    "tag",
    "tag_each",
    "tenths",
    "tools",
    "train_starter",
    "understood",
]
