"""The whole paths, each one call: hands checks, cue tables and piles from room to room."""

from idkit.decide.intervals import Mean, Share, share_of
from idkit.decide.measures import Answered
from idkit.decide.reasons import tenths
from idkit.decide.scoring import Score
from idkit.flows.adding import Brought, add_samples, in_folders, in_table
from idkit.flows.benching import (
    bench,
    check_scale,
    on_this_bench,
    own,
    save_scale,
    set_cells,
    set_magnet,
    set_words,
    tools,
)
from idkit.flows.cable import Coil, Wire, wire
from idkit.flows.cleaning import Left, clean
from idkit.flows.confirming import Paid, Voice, confirm, downgraded, spoken, standing_of, voice_of, withdraw
from idkit.flows.describing import JOINS, describe, described, nameable_materials, of_described
from idkit.flows.filling import Filled, add_to_pile, dangers_of_record, remove
from idkit.flows.finds import Compared, Strip, finds, new_find, split_find
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
    same_photos,
)
from idkit.flows.labels import Labels, read_labels
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
from idkit.flows.load_shown import Shown as LoadShown
from idkit.flows.load_shown import show_load
from idkit.flows.loads import Wanted as LoadWanted
from idkit.flows.loads import (
    add_to_load,
    close_load,
    currency_of_load,
    load_called,
    loads,
    new_load,
    take_off,
    yard_of_load,
)
from idkit.flows.looking import look
from idkit.flows.models import folder_of, known_models, model_in_use, model_named, name_in_use, use_model
from idkit.flows.pricing import Holds, holds
from idkit.flows.recording import WORTH_SAYING, Context, b_star_uncertainty, forbidden_by
from idkit.flows.remembering import remembered, remembered_each
from idkit.flows.reporting import Agreement, Mistake, Outcomes, Report, report
from idkit.flows.results import Box, Identified, Seen, Several
from idkit.flows.scoring import Scored, Told, score_parts
from idkit.flows.several import OfPart, identify_each
from idkit.flows.sharing import export_samples, import_samples
from idkit.flows.shipped import calibrate_starter, starter, train_starter
from idkit.flows.spreadsheet import cells as table_cells
from idkit.flows.spreadsheet import guarded, with_point
from idkit.flows.spreadsheet import rows as table_rows
from idkit.flows.spreadsheet import save as save_text
from idkit.flows.tagging import Sketch, Tagged, digest, tag, tag_each, understood
from idkit.flows.tickets import Confirmed, confirm_ticket, keep_ticket, one_line, paid, read_ticket, reconcile
from idkit.flows.to_clean import Bench as CleaningBench
from idkit.flows.to_clean import from_table as cleaning_benches
from idkit.flows.training import Trained, told_of, train
from idkit.flows.waiting import keep_waiting, waiting
from idkit.flows.yards import (
    InUse,
    Priced,
    Ways,
    history,
    in_use,
    named_at,
    new_yard,
    read_prices,
    unpriced,
    use_prices,
    use_yard,
    with_prices,
    yard_called,
    yards,
)
from idkit.keep import spelt_out
from idkit.see import made_smaller
from idkit.vocabulary import Yard as YardSaid
from idkit.yard import (
    Cleaning,
    Difference,
    Find,
    Heap,
    Lot,
    Outcome,
    Reconciled,
    Stripping,
    Ticketed,
    Way,
    is_empty,
    mass,
    pieces_of,
    rounded,
    said,
    summed,
    to_pay,
    to_the_coin,
)
from idkit.yard import Group as LoadGroup
from idkit.yard import Line as LoadLine
from idkit.yard import Listed as PricesRead
from idkit.yard import Load as LoadList
from idkit.yard import said as money_said

__all__ = [
    "add_samples",
    "add_to_load",
    "add_to_pile",
    "Agreement",
    "Answered",
    "b_star_uncertainty",
    "Balance",
    "begin",
    "bench",
    "Box",
    "Brought",
    "calibrate_starter",
    "card_pdf",
    "Case",
    "category_name",
    "check_pile",
    "check_scale",
    "clean",
    "Cleaning",
    "cleaning_benches",
    "CleaningBench",
    "close_load",
    "currency_of_load",
    "dangers_of_record",
    "Coil",
    "Compared",
    "confirm",
    "confirm_ticket",
    "Confirmed",
    "Context",
    "describe",
    "described",
    "Difference",
    "digest",
    "downgraded",
    "export_samples",
    "Filled",
    "Find",
    "finds",
    "folder_of",
    "forbidden_by",
    "guarded",
    "Heap",
    "history",
    "Holds",
    "holds",
    "Identified",
    "identify",
    "identify_each",
    "import_samples",
    "in_folders",
    "in_table",
    "in_use",
    "InUse",
    "is_empty",
    "JOINS",
    "JUDGED",
    "keep_each",
    "keep_record",
    "keep_ticket",
    "keep_waiting",
    "known_categories",
    "known_checks",
    "known_dangers",
    "known_marks",
    "known_materials",
    "known_models",
    "known_origins",
    "Labels",
    "Left",
    "list_piles",
    "Listed",
    "listing",
    "load_called",
    "LoadGroup",
    "LoadLine",
    "LoadList",
    "loads",
    "LoadShown",
    "LoadWanted",
    "look",
    "Lot",
    "made_smaller",
    "mass",
    "Mean",
    "Mistake",
    "model_in_use",
    "model_named",
    "money_said",
    "move_pile",
    "name_in_use",
    "name_of",
    "nameable_materials",
    "named_answers",
    "named_at",
    "new_find",
    "new_load",
    "new_pile",
    "new_yard",
    "not_told_apart",
    "numbers_of",
    "of_described",
    "on_this_bench",
    "one_line",
    "Outcome",
    "OfPart",
    "Outcomes",
    "own",
    "Paid",
    "paid",
    "pick",
    "pieces_of",
    "Priced",
    "PricesRead",
    "Proposed",
    "purge",
    "read_labels",
    "read_prices",
    "read_ticket",
    "reconcile",
    "Reconciled",
    "record_of",
    "records",
    "remembered",
    "remembered_each",
    "remove",
    "Report",
    "report",
    "rounded",
    "said",
    "samples_folder",
    "save_scale",
    "same_photos",
    "save_text",
    "Score",
    "score_parts",
    "Scored",
    "Seen",
    "set_cells",
    "set_magnet",
    "set_words",
    "Several",
    "Share",
    "share_of",
    "show_load",
    "Shown",
    "Sketch",
    "split_find",
    "spelt_out",
    "spoken",
    "standing_of",
    "starter",
    "Strip",
    "Stripping",
    "summed",
    "table_cells",
    "table_rows",
    "tag",
    "tag_each",
    "Tagged",
    "take_off",
    "Tell",
    "tenths",
    "Ticketed",
    "to_pay",
    "to_the_coin",
    "Told",
    "told_of",
    "tools",
    "train",
    "train_starter",
    "Trained",
    "understood",
    "unpriced",
    "use_model",
    "use_prices",
    "use_yard",
    "Voice",
    "voice_of",
    "waiting",
    "Way",
    "Ways",
    "weigh_pile",
    "Wire",
    "wire",
    "with_prices",
    "with_point",
    "withdraw",
    "WORTH_SAYING",
    "yard_called",
    "yard_of_load",
    "yards",
    "YardSaid",
]
