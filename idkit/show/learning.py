"""What training came to: in words, as JSON, and beside the model with pictures where matplotlib is installed."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from idkit import flows
from idkit.errors import MissingExtra
from idkit.flows import Score, Scored, Trained
from idkit.show.score import percent
from idkit.show.words import counted

TEXT, JSON = "report.txt", "report.json"
Lines = Iterator[tuple[str, str]]


def words(found: Trained) -> Lines:
    """The report as (style, line) pairs, whether the model is used first."""
    yield from _outcome(found)
    yield "", ""
    yield from _learnt(found)
    if found.before and found.after:
        yield from _compared(found.before, found.after)
        yield from _confused(found.after)
    yield from _falls(found)
    yield from _suspects(found)
    yield from _wanted(found)
    yield "dim", "Whatever a model says, the yard has the last word."


def _outcome(found: Trained) -> Lines:
    if found.used:
        yield "good", f"{found.name} judges from now on; idkit models use starter goes back."
        if found.why:
            yield "doubt", f"You insisted: {found.why}."
    elif found.name:
        yield "doubt", f"{found.name} is kept but not used: {found.why}."
        yield "", f"idkit models use {found.name}, or idkit train --use, uses it all the same."
    else:
        yield "doubt", f"No new model: {found.why}."


def _learnt(found: Trained) -> Lines:
    parts = counted(found.parts, "confirmed part")
    told = f"{parts}, {found.tests} of them named by a yard or an analyser, which may test."
    yield "", told
    weight, shift = found.strength
    if math.isfinite(weight):
        yield (
            "",
            f"All starter rows of a material weigh as much as {weight:g} of your parts (chosen on parts left out).",
        )
    if math.isfinite(shift):
        yield (
            "",
            f"Your photos lie apart from the starter's in all materials alike; that weighs against {shift:g} parts.",
        )
    if found.calibrated:
        yield "", f"Likely sets of your own from parts picked at random: {', '.join(found.calibrated)}."


def _compared(before: Scored, after: Scored) -> Lines:
    """A line a measure, by parts that the model did not learn from."""
    yield "", ""
    yield "title", "On your own parts, each judged by what was learnt without it"
    yield "", _row("", "before", "after")
    for name, of in (("material", "material"), ("pile", "pile")):
        if name in before.scores and name in after.scores:
            one, two = before.scores[name], after.scores[name]
            yield "", _row(f"{of} right first", percent(one.right.value), percent(two.right.value))
            yield "", _row(f"{of} log loss", f"{one.log_loss.value:.3f}", f"{two.log_loss.value:.3f}")
            yield "", _row(f"{of} calibration error", f"{one.calibration_error:.3f}", f"{two.calibration_error:.3f}")
    yield "", _row("likely set holds the truth", _held(before), _held(after))
    yield "", _row("materials in it", _size(before), _size(after))
    yield "", _row("sure", _sure(before), _sure(after))


def _row(name: str, one: str, two: str) -> str:
    return f"  {name:32}{one:>18}{two:>18}"


def _held(scored: Scored) -> str:
    held, count = (sum(getattr(each.held, of) for each in scored.covers) for of in ("right", "count"))
    return percent(held / count) if count else "unknown"


def _size(scored: Scored) -> str:
    count = sum(each.held.count for each in scored.covers)
    return f"{sum(each.size * each.held.count for each in scored.covers) / count:.1f}" if count else "unknown"


def _sure(scored: Scored) -> str:
    wrong = f", {len(scored.sure.wrong)} wrong" if scored.sure.wrong else ""
    return f"{scored.sure.count} of {scored.sure.of}{wrong}"


def _confused(after: Scored) -> Lines:
    """What materials are called now, the true one first."""
    score: Score | None = after.scores.get("material")
    if score is None:
        return
    yield "", ""
    yield "title", "Called now, by what it truly is"
    for name, share in score.by_name.items():
        row = score.confusion[score.names.index(name)].tolist()
        others = sorted(
            ((n, o) for o, n in zip(score.names, row, strict=True) if n and o != name), key=lambda each: -each[0]
        )
        called = ", ".join(f"{other} {n}" for n, other in others[:4])
        yield "", f"  {name:24}{share.right:4} of {share.count:<5}{'called ' + called if called else ''}".rstrip()


def _falls(found: Trained) -> Lines:
    for pile, fall in found.falls.items():
        yield "warn", f"{flows.category_name(pile)} is found less often than before: {100 * fall:.0f} of 100 fewer."


def _suspects(found: Trained) -> Lines:
    if found.suspects:
        yield "", ""
        yield "title", "Worth a second look: the other parts make these unlikely"
    for each in found.suspects:
        yield "warn", f"  record {each.record} ({each.part}) was called {each.called}; rather {each.rather}"
        yield "dim", f"    look at {each.photo}" if each.photo else "    it has no photo"


def _wanted(found: Trained) -> Lines:
    if found.wanted:
        yield "", ""
        yield "title", "More parts would help (10 of each make one count)"
        told = [f"{name}: {found.counts[name]:g}, {more} more" for name, more in found.wanted.items()]
        for line in told:
            yield "", f"  {line}"
    for name, count in found.waiting.items():
        told_of = f"{flows.name_of(name)}: {count} confirmed, {flows.JOINS} wanted before it is told apart"
        yield "", told_of


def document(found: Trained) -> str:
    """The same as one JSON document."""
    weight, shift = (None if math.isinf(each) else each for each in found.strength)
    return json.dumps(
        {
            "schema": 1,
            "model": found.name or None,
            "used": found.used,
            "why": found.why,
            "parts": found.parts,
            "tests": found.tests,
            "strength": {"starter_rows": weight, "starter_cues": shift},
            "log_loss_by_strength": [
                {"starter_rows": _plain(a), "starter_cues": _plain(b), "log_loss": round(loss, 5)}
                for (a, b), loss in found.losses.items()
            ],
            "probably_better": round(found.better, 4),
            "gain": round(found.gain, 5),
            "before": _scores(found.before),
            "after": _scores(found.after),
            "recall_lost": {pile: round(fall, 4) for pile, fall in found.falls.items()},
            "suspects": [vars(each) for each in found.suspects],
            "own_parts": dict(found.counts),
            "more_wanted": dict(found.wanted),
            "waiting": {name: {"confirmed": count, "wanted": flows.JOINS} for name, count in found.waiting.items()},
            "likely_sets_calibrated": list(found.calibrated),
        },
        indent=1,
        ensure_ascii=False,
    )


def _plain(number: float) -> float | None:
    return None if math.isinf(number) else number


def _scores(scored: Scored | None) -> dict[str, Any] | None:
    if scored is None:
        return None
    told: dict[str, Any] = {
        name: {
            "right": score.right.value,
            "log_loss": score.log_loss.value,
            "calibration_error": score.calibration_error,
            "names": list(score.names),
            "confusion": score.confusion.tolist(),
        }
        for name, score in scored.scores.items()
    }
    covers = [{"pattern": e.pattern, "held": e.held.right, "of": e.held.count, "size": e.size} for e in scored.covers]
    return {**told, "covers": covers, "sure": scored.sure.count, "sure_and_wrong": list(scored.sure.wrong)}


def keep(found: Trained, folder: Path) -> None:
    """Write the report into the model's folder as text and JSON, and as pictures where matplotlib is installed."""
    lines = [line for _, line in words(found)]
    (folder / TEXT).write_text("\n".join(lines) + "\n", encoding="utf-8")
    (folder / JSON).write_text(document(found) + "\n", encoding="utf-8")
    from idkit.show import plots

    try:
        draw = plots.ready(folder)
    except MissingExtra:
        return
    if found.after:
        draw(found.after)


def models(told: Sequence[Mapping[str, Any]], in_use: str) -> Lines:
    """A line a model."""
    for each in told:
        mark = "in use" if each["name"] == in_use else ""
        parts = f"{each['own parts']} own parts" if each["own parts"] else "came with idkit, simulated"
        yield "good" if mark else "", f"{each['name']:10} {parts:28} {mark}".rstrip()
    yield "dim", "idkit models use NAME lets another one judge; idkit train makes one of your confirmed parts."


def one(told: Mapping[str, Any], card: Mapping[str, Any]) -> Lines:
    """What one model learnt."""
    yield "title", f"{told['name']}: {told['own parts']} own parts" if told["own parts"] else str(told["name"])
    yield "", str(card.get("what", "")) if not told["own parts"] else "Your own parts, laid over the starter model."
    for name, weight in told.get("by material", {}).items():
        yield "", f"  {name:24}{weight:g}"
