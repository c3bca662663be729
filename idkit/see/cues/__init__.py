"""The cues: one file a family, each ending with its table. A new row here is measured, listed and tested."""

from __future__ import annotations

from idkit.see.cues import coating, colour, corrosion, shine, texture
from idkit.vocabulary import Cue

CUES: tuple[Cue, ...] = (*colour.CUES, *shine.CUES, *coating.CUES, *texture.CUES, *corrosion.CUES)
