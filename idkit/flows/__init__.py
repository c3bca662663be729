"""The whole paths, each one call: hands checks, cue tables and piles from room to room."""

from idkit.decide.intervals import Mean, Share, share_of
from idkit.decide.measures import Answered
from idkit.decide.reasons import tenths
from idkit.decide.scoring import Score
from idkit.flows.adding import Added, Brought, add_samples, in_folders, in_table
from idkit.flows.benching import bench, check_scale, on_this_bench, own, save_scale, set_magnet, set_words, tools
from idkit.flows.confirming import Paid, Voice, confirm, downgraded, spoken, standing_of, voice_of, withdraw
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
from idkit.flows.models import folder_of, known_models, model_in_use, model_named, name_in_use, use_model
from idkit.flows.recording import WORTH_SAYING, Context, b_star_uncertainty, forbidden_by
from idkit.flows.remembering import remembered
from idkit.flows.reporting import Agreement, Mistake, Outcomes, Report, report
from idkit.flows.results import Box, Identified, Seen, Several
from idkit.flows.scoring import Scored, Told, score_parts
from idkit.flows.several import identify_each, look_at_each
from idkit.flows.sharing import export_samples, import_samples
from idkit.flows.shipped import STARTER, calibrate_starter, starter, train_starter
from idkit.flows.tagging import Sketch, Tagged, digest, tag, tag_each, understood
from idkit.flows.training import Suspect, Trained, told_of, train
from idkit.flows.waiting import keep_waiting, waiting

__all__ = [
    "Added",
    "Agreement",
    "Answered",
    "Box",
    "Brought",
    "Case",
    "Context",
    "Identified",
    "JUDGED",
    "Labelled",
    "Labels",
    "Mean",
    "Mistake",
    "Outcomes",
    "Paid",
    "Report",
    "STARTER",
    "Score",
    "Scored",
    "Seen",
    "Several",
    "Share",
    "Sketch",
    "Suspect",
    "Tagged",
    "Tell",
    "Told",
    "Trained",
    "Voice",
    "WORTH_SAYING",
    "add_samples",
    "b_star_uncertainty",
    "begin",
    "bench",
    "calibrate_starter",
    "card_pdf",
    "category_name",
    "check_scale",
    "confirm",
    "digest",
    "downgraded",
    "export_samples",
    "folder_of",
    "forbidden_by",
    "identify",
    "identify_each",
    "import_samples",
    "in_folders",
    "in_table",
    "keep_each",
    "keep_record",
    "keep_waiting",
    "known_categories",
    "known_checks",
    "known_dangers",
    "known_marks",
    "known_materials",
    "known_models",
    "known_origins",
    "listing",
    "look",
    "look_at_each",
    "model_in_use",
    "model_named",
    "name_in_use",
    "name_of",
    "named_answers",
    "not_told_apart",
    "numbers_of",
    "on_this_bench",
    "own",
    "pick",
    "purge",
    "read_labels",
    "record_of",
    "records",
    "remembered",
    "remove",
    "report",
    "samples_folder",
    "save_scale",
    "score_parts",
    "set_magnet",
    "set_words",
    "share_of",
    "spoken",
    "standing_of",
    "starter",
    "tag",
    "tag_each",
    "tenths",
    "told_of",
    "tools",
    "train",
    "train_starter",
    "understood",
    "use_model",
    "voice_of",
    "waiting",
    "withdraw",
]
