"""Whether rows that were made again are those the starter model rests on: python tests/bench/same_rows.py ROWS.npz

Prints, a cue, how far the values of ROWS.npz lie from those of models/starter-rows.npz, in the mean and at the most.
Another processor rounds otherwise, and a JPEG's code may then be its neighbour.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from photographs import say

STARTER = Path(__file__).resolve().parents[2] / "models" / "starter-rows.npz"
MOST = 0.01  # of a cue's spread that rows may lie apart in the mean


def main() -> int:
    """Print the table; 0 where the rows are the same, else 1."""
    if len(sys.argv) != 2:
        say("name the rows that were made again")
        return 2
    with np.load(STARTER, allow_pickle=False) as kept, np.load(sys.argv[1], allow_pickle=False) as made:
        if len(kept["values"]) != len(made["values"]) or (kept["material"] != made["material"]).any():
            say(f"{len(made['values'])} rows, not the same {len(kept['values'])} in the same order")
            return 1
        cues, spread = kept["cues"].tolist(), np.nanstd(kept["values"], axis=0)
        apart = np.abs(made["values"][:, [made["cues"].tolist().index(cue) for cue in cues]] - kept["values"])
        same = not (np.isnan(made["values"]) != np.isnan(kept["values"])).any()
    say(f"{len(apart)} rows")
    for cue, mean, most in zip(cues, np.nanmean(apart, axis=0), np.nanmax(apart, axis=0), strict=True):
        say(f"{cue:16} {mean:.7f} apart in the mean, {most:.4f} at the most")
    return 0 if same and (np.nanmean(apart, axis=0) <= MOST * spread).all() else 1


if __name__ == "__main__":
    sys.exit(main())
