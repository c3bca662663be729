"""What the user keeps, and where: the bench, records of verdicts, and what people said the parts turned out to be."""

from idkit.keep.bench import own, read_bench, save_scale, set_cells, set_magnet, set_words
from idkit.keep.daybook import Act, acts, write_acts
from idkit.keep.downgrades import Downgrade, downgrade, downgrades, settle
from idkit.keep.labels import WORTH, confirm, standing
from idkit.keep.likeness import apart, find, records_of
from idkit.keep.models import model_in_use, models, models_folder, new_model, use_model
from idkit.keep.packages import Imported, Package, Shared, keep_package, read_package, write_package
from idkit.keep.picks import pick
from idkit.keep.records import Filter, add, add_once, answers, known, page, same_photos, show, still_kept
from idkit.keep.removals import Purged, purge, remove
from idkit.keep.samples import mistakes, samples
from idkit.keep.store import now
from idkit.keep.written import spelt_out

__all__ = [
    "Act",
    "Downgrade",
    "Filter",
    "Imported",
    "Package",
    "Purged",
    "Shared",
    "WORTH",
    "acts",
    "add",
    "add_once",
    "answers",
    "apart",
    "confirm",
    "downgrade",
    "downgrades",
    "find",
    "keep_package",
    "known",
    "mistakes",
    "model_in_use",
    "models",
    "models_folder",
    "new_model",
    "now",
    "own",
    "page",
    "pick",
    "purge",
    "read_bench",
    "read_package",
    "records_of",
    "remove",
    "same_photos",
    "samples",
    "save_scale",
    "set_cells",
    "set_magnet",
    "set_words",
    "settle",
    "show",
    "spelt_out",
    "standing",
    "still_kept",
    "use_model",
    "write_acts",
    "write_package",
]
