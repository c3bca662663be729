"""Whether a photo tells zinc die castings from aluminium ones: python tests/bench/grey_castings.py FOLDER [COUNT]

COUNT pictures (80 unless said), rendered and so simulated: the shapes of sample parts in both metals, in the same
scenes. Their surfaces are written apart from those that the starter model was trained on (swatches/finishes.py against
looks.csv). FOLDER keeps them, so that a stopped run goes on where it was.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from photographs import say
from renders import GREY, casting, wanted

from idkit import flows

FIRST_SEED = 20_000
RESAMPLED = 2_000
LEAST = 0.6  # area under the ROC curve from which a photo is worth asking


def main() -> int:
    """Print the area under the ROC curve and its interval; 2 where no folder is named."""
    if (asked := wanted(80)) is None:
        return 2
    folder, count = asked
    found = np.array([leaning(casting(folder, FIRST_SEED, number).path) for number in range(count)]).reshape(-1, 2)
    area = curve(found)
    random = np.random.default_rng(1)
    resampled = [curve(found[random.integers(len(found), size=len(found))]) for _ in range(RESAMPLED)]
    low, high = np.quantile(resampled, (0.025, 0.975))
    say(f"{len(found)} scenes, each once in zinc and once in aluminium (simulated)")
    say(f"area under the ROC curve {area:.3f} ({low:.3f} to {high:.3f}, bootstrapped by scene)")
    say(f"the photo {'has a' if area > LEAST else 'gets no'} say between them: it takes more than {LEAST}")
    return 0


def leaning(path: Path) -> float:
    """How far what is seen leans toward zinc: ln p(cues | zinc) - ln p(cues | aluminium)."""
    evidence = flows.identify([path], {}, every_cue=False).seen[0].evidence
    zinc, aluminium = (evidence.log_photo[name] if evidence else 0.0 for name in GREY)
    return zinc - aluminium


def curve(found: np.ndarray) -> float:
    """Chance that a zinc part leans more to zinc than an aluminium one; scenes x (zinc, aluminium)."""
    apart = found[:, :1] - found[None, :, 1]
    return float(np.mean((apart > 0) + 0.5 * (apart == 0)))


if __name__ == "__main__":
    raise SystemExit(main())
