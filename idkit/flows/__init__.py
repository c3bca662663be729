"""The whole paths, each one call: hands checks, cue tables and piles from room to room."""

from idkit.decide.intervals import Mean, Share, share_of
from idkit.decide.measures import Answered
from idkit.decide.reasons import tenths
from idkit.decide.scoring import Score
from idkit.flows.adding import Added, Brought, add_samples, in_folders, in_table
from idkit.flows.benching import bench, check_scale, on_this_bench, own, save_scale, set_magnet, set_words, tools
from idkit.flows.cable import Coil, Wire, wire
from idkit.flows.confirming import Paid, Voice, confirm, downgraded, spoken, standing_of, voice_of, withdraw
from idkit.flows.filling import Filled, add_to_pile
from idkit.flows.finds import Compared, Strip, new_find, split_find
from idkit.flows.heap_checks import Proposed, Shown, check_pile
from idkit.flows.heaps import Balance, Listed, list_piles, move_pile, new_pile, weigh_pile
from idkit.flows.identifying import Case, begin, identify
from idkit.flows.judging import JUDGED
from idkit.flows.keeping import (
    Tell,
    keep_each,
    keep_record,
    listing,
    numbers_of,
    pick,
    purge,
    record_of,
    records,
    remove,
)
from idkit.flows.labels import Labelled, Labels, read_labels
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
from idkit.flows.remembering import remembered
from idkit.flows.reporting import Agreement, Mistake, Outcomes, Report, report
from idkit.flows.results import Box, Identified, Seen, Several
from idkit.flows.scoring import Scored, Told, score_parts
from idkit.flows.several import identify_each, look_at_each
from idkit.flows.sharing import export_samples, import_samples
from idkit.flows.shipped import STARTER, calibrate_starter, starter, train_starter
from idkit.flows.tagging import Sketch, Tagged, digest, tag, tag_each, understood
from idkit.flows.waiting import keep_waiting, waiting
from idkit.yard import Find, Heap, Lot, Outcome, Stripping, Way, is_empty, mass, pieces_of, rounded, said

__all__ = [
    "Added",
    "Agreement",
    "Answered",
    "Balance",
    "Box",
    "Brought",
    "Case",
    "Coil",
    "Compared",
    "Context",
    "Filled",
    "Find",
    "Heap",
    "Identified",
    "JUDGED",
    "Labelled",
    "Labels",
    "Listed",
    "Lot",
    "Mean",
    "Mistake",
    "Outcome",
    "Outcomes",
    "Paid",
    "Proposed",
    "Report",
    "STARTER",
    "Score",
    "Scored",
    "Seen",
    "Several",
    "Share",
    "Shown",
    "Sketch",
    "Strip",
    "Stripping",
    "Tagged",
    "Tell",
    "Told",
    "Voice",
    "WORTH_SAYING",
    "Way",
    "Wire",
    "add_samples",
    "add_to_pile",
    "b_star_uncertainty",
    "begin",
    "bench",
    "calibrate_starter",
    "card_pdf",
    "category_name",
    "check_pile",
    "check_scale",
    "confirm",
    "digest",
    "downgraded",
    "export_samples",
    "forbidden_by",
    "identify",
    "identify_each",
    "import_samples",
    "in_folders",
    "in_table",
    "is_empty",
    "keep_each",
    "keep_record",
    "keep_waiting",
    "known_categories",
    "known_checks",
    "known_dangers",
    "known_marks",
    "known_materials",
    "known_origins",
    "list_piles",
    "listing",
    "look",
    "look_at_each",
    "mass",
    "move_pile",
    "name_of",
    "named_answers",
    "new_find",
    "new_pile",
    "not_told_apart",
    "numbers_of",
    "on_this_bench",
    "own",
    "pick",
    "pieces_of",
    "purge",
    "read_labels",
    "record_of",
    "records",
    "remembered",
    "remove",
    "report",
    "rounded",
    "said",
    "samples_folder",
    "save_scale",
    "score_parts",
    "set_magnet",
    "set_words",
    "share_of",
    "split_find",
    "spoken",
    "standing_of",
    "starter",
    "tag",
    "tag_each",
    "tenths",
    "tools",
    "train_starter",
    "understood",
    "voice_of",
    "waiting",
    "weigh_pile",
    "wire",
    "withdraw",
]
