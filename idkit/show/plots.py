"""Pictures of a score: confusion matrix and reliability diagram. Needs matplotlib, from the extra `report`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from idkit.errors import CallError, MissingExtra, installing
from idkit.flows import Score, Scored, share_of

INK, MUTED, GRID, BLUE, FILL = "#1c1c1a", "#62625c", "#d9d9d3", "#1f5fa8", "#b9d2ee"
TITLES = {"material": "Material", "pile": "Pile", "family": "Colour from the photo alone"}


def ready(folder: Path) -> Callable[[Scored], list[Path]]:
    """What draws a score into the folder; MissingExtra without matplotlib, CallError where no folder can be made."""
    try:
        from matplotlib.figure import Figure
    except ImportError:
        raise MissingExtra("--pictures", "matplotlib is not installed", "", installing("report")) from None
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        got = f"{folder} can't be made ({error.strerror})"
        raise CallError("--pictures", got, "a folder, or the name of a new one") from None

    def draw(scored: Scored) -> list[Path]:
        done = []
        for name, score in scored.scores.items():
            for what, picture in (
                ("confusion", _confusion(Figure, score)),
                ("reliability", _reliability(Figure, score)),
            ):
                path = folder / f"{name}-{what}.png"
                try:
                    picture.savefig(path, dpi=150, facecolor="white")
                except OSError as error:
                    why = f"{path} can't be written ({error.strerror})"
                    raise CallError("--pictures", why, "a folder with room in it") from None
                done.append(path)
        return done

    return draw


def _confusion(figure: Any, score: Score) -> Any:
    """True names down, first answers across; colour is the share of the true name, the number how many parts."""
    names, counts = score.names, score.confusion
    side = max(4.5, 0.36 * len(names) + 2.6)
    drawn = figure(figsize=(side + 0.4, side), layout="constrained")
    axes = drawn.subplots()
    shares = counts / np.maximum(counts.sum(axis=1, keepdims=True), 1)
    axes.imshow(shares, cmap="Blues", vmin=0, vmax=1.15)
    for row, column in zip(*np.nonzero(counts), strict=True):
        shade = "white" if shares[row, column] > 0.6 else INK
        axes.text(column, row, str(counts[row, column]), ha="center", va="center", color=shade, fontsize=9)
    places = range(len(names))
    axes.set_xticks(places, names, rotation=60, ha="right", rotation_mode="anchor")
    axes.set_yticks(places, names)
    axes.set_xticks(np.arange(len(names) + 1) - 0.5, minor=True)
    axes.set_yticks(np.arange(len(names) + 1) - 0.5, minor=True)
    axes.grid(which="minor", color=GRID, linewidth=0.6)
    axes.tick_params(which="both", length=0, labelsize=9)
    axes.set_xlabel("first answer", color=MUTED)
    axes.set_ylabel("truth", color=MUTED)
    right = score.right
    axes.set_title(f"{TITLES[score.of]}: {right.right} of {right.count} right first", loc="left", color=INK)
    return drawn


def _reliability(figure: Any, score: Score) -> Any:
    """Chance said against share right, in bins of equal count, with each bin's 95 % interval."""
    drawn = figure(figsize=(5.6, 5.6), layout="constrained")
    axes = drawn.subplots()
    said, happened = ([getattr(each, what) for each in score.bins] for what in ("said", "happened"))
    ends = [share_of(round(each.happened * each.count), each.count) for each in score.bins]
    axes.plot([0, 1], [0, 1], color=MUTED, linewidth=1, linestyle="--", label="as sure as right")
    axes.vlines(said, [e.low for e in ends], [e.high for e in ends], color=FILL, linewidth=5, label="95 % interval")
    axes.plot(said, happened, "o-", color=BLUE, markersize=6, linewidth=1.5, label=f"{len(said)} bins of equal count")
    axes.set(xlim=(0, 1.02), ylim=(-0.02, 1.02), aspect="equal")
    axes.set_xlabel("chance said of the first answer", color=MUTED)
    axes.set_ylabel("share of them right", color=MUTED)
    axes.grid(color=GRID, linewidth=0.6)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.legend(loc="upper left", frameon=False, fontsize=9)
    error = f"expected calibration error {score.calibration_error:.3f}"
    axes.set_title(f"{TITLES[score.of]}: {error}, {score.right.count} parts", loc="left", color=INK, fontsize=11)
    return drawn
