"""What the user keeps: knows where that is. The bench today; records and confirmed samples will stand beside it."""

from idkit.keep.bench import own, read_bench, save_scale, set_magnet, set_words

__all__ = ["own", "read_bench", "save_scale", "set_magnet", "set_words"]
