"""The faults of a photo: one file a family, each ending with its table. A new row is measured, said and listed.

A fault is one function and one row. The function gives a number, NaN where it can't be had; the fault is there where
the number is over the row's limit. Limits lie between the sample pictures as rendered and the same blurred, darkened,
brightened, posterised and tinted (tests/bench/fitness.py). What is measured was chosen with the totals over real
photographs in view, so the rates on those are not blind. Doubts are from memory.
"""

from __future__ import annotations

from idkit.see.faults import border, exposure, filters, levels, sharpness
from idkit.vocabulary import Fault

FAULTS: tuple[Fault, ...] = (*sharpness.FAULTS, *exposure.FAULTS, *filters.FAULTS, *levels.FAULTS, *border.FAULTS)
