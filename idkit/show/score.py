"""How right and how sure idkit was on photos whose answer is known: scored, and said in words."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from idkit import flows
from idkit.flows import Answered, Labels, Mean, Score, Scored
from idkit.show import labels, score_document, terminal

FAULTS = 20  # wrong cells that are said one by one
CALLED = 4  # names that a true one was mostly called, in words
FEW = 300  # parts under which 15 bins hold too few each to say much of calibration
PHOTOS = frozenset((".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp", ".heic", ".heif", ".avif"))
ASKED = {"material": "Material", "pile": "Pile", "family": "Colour, from the photo alone"}
SIMULATED = "What photos say rests on simulated surfaces, not on photographs (docs/limits.md)."
Lines = Iterator[tuple[str, str]]


def run(folder: Path, table: Path, pictures: Path | None, *, even: bool, as_json: bool) -> int:
    """Score the photos, print, draw where asked for; the exit status."""
    draw = _drawing(pictures)
    known = labels.read(table, folder)
    if known.faults:
        return _refused(known)
    _notes(known, folder)
    scored = flows.score_parts(known.parts, even=even, progress=_progress(len(known.parts)))
    for line in scored.unread:
        terminal.say(line)
    for part, earlier in scored.again[:FAULTS]:
        terminal.say(f"{part} is the same photo as {earlier}: it counts twice; leave one out of the table")
    if len(scored.again) > FAULTS:
        terminal.say(f"and {len(scored.again) - FAULTS} more")
    if as_json:
        sys.stdout.write(score_document.document(scored, known, table.name) + "\n")
    else:
        terminal.show(words(scored))
    if draw:
        draw(scored)
    return 1 if scored.unread else 0


def _drawing(pictures: Path | None) -> Any:
    """What draws the pictures: asked for before the work, so that what is missing is said before it."""
    if pictures is None:
        return None
    from idkit.show import plots

    return plots.ready(pictures)


def _refused(known: Labels) -> int:
    for fault in known.faults[:FAULTS]:
        terminal.say(str(fault))
    if len(known.faults) > FAULTS:
        terminal.say(f"and {len(known.faults) - FAULTS} more")
    return 2


def _notes(known: Labels, folder: Path) -> None:
    """What of the table and the folder is left out."""
    named = {path.resolve() for part in known.parts for path in part.photos}
    extra = sum(path.suffix.lower() in PHOTOS and path.resolve() not in named for path in folder.iterdir())
    if known.not_read:
        terminal.say(f"columns that mean nothing to idkit, not read: {', '.join(known.not_read)}")
    if known.without:
        terminal.say(f"left out: {_count(known.without, 'row')} without a known answer")
    if extra:
        terminal.say(f"left out: {_count(extra, 'photo')} in {folder} without a label")


def _progress(of: int) -> Any:
    """A count on standard error, where a person looks."""
    if not sys.stderr.isatty():
        return None

    def tell(done: int) -> None:
        terminal.prompt(f"\r{done} of {of} parts" if done < of else f"\r{' ' * 30}\r")

    return tell


# In words -------------------------------------------------------------------------------------------------------------


def words(scored: Scored) -> Lines:
    """The whole score as (style, line) pairs."""
    yield "title", f"{_count(len(scored.told), 'part')} with a known answer."
    for name, score in scored.scores.items():
        yield "", ""
        yield from _question(ASKED[name], score)
    yield from _covers(scored)
    yield "", ""
    yield from _sure(scored)
    yield from _furthest(scored)
    if scored.simulated:
        yield "dim", SIMULATED


def _question(title: str, score: Score) -> Lines:
    right = score.right
    interval = "whole groups drawn again" if score.grouped else "Wilson"
    yield "title", f"{title}: right first {right.right} of {right.count} ({percent(right.value)})"
    yield "", f"  95 % interval {percent(right.low)} to {percent(right.high)} ({interval})"
    yield "", f"  log loss {_mean(score.log_loss)}, Brier score {_mean(score.brier)}"
    yield "", f"  expected calibration error {score.calibration_error:.3f} ({len(score.bins)} bins of equal count)"
    if right.count < FEW:
        yield "dim", f"  (so few parts say little of calibration; {FEW} or more would)"
    yield "", "  first answers with a chance of   how many        right (95 % interval)"
    for each in score.selective:
        yield "", _answered(each, right.count)
    yield "", "  by what it truly is"
    for name, share in score.by_name.items():
        yield "", f"    {name:22}{share.right:4} of {share.count:<5}{_called(score, name)}"


def _answered(each: Answered, count: int) -> str:
    right = flows.share_of(each.right, each.count)
    told = f"{each.right:5} ({percent(right.low)} to {percent(right.high)})" if each.count else ""
    return f"    {each.least:<5g}or more {each.count:15} ({percent(each.count / count):>7}) {told}".rstrip()


def _called(score: Score, name: str) -> str:
    """What it was called instead, the most often first."""
    row = score.confusion[score.names.index(name)].tolist()
    others = sorted(
        ((n, other) for other, n in zip(score.names, row, strict=True) if n and other != name), reverse=True
    )
    told = ", ".join(f"{other} {n}" for n, other in others[:CALLED])
    return f"called {told}{' and more' if len(others) > CALLED else ''}" if told else ""


def _covers(scored: Scored) -> Lines:
    if scored.covers:
        yield "", ""
        yield "title", "Likely sets hold the truth (meant to, 9 times in 10), and how large they are"
    for each in scored.covers:
        held = each.held
        share = f"{percent(held.low)} to {percent(held.high)}"
        yield "", f"  {each.pattern:18}{held.right:5} of {held.count:<5}({share}), {each.size:4.1f} materials"


def _sure(scored: Scored) -> Lines:
    sure, unlike = scored.sure, scored.unlike
    if sure.of:
        wrong = f", on a wrong pile {len(sure.wrong)} (at most {percent(sure.at_most)})" if sure.count else ""
        yield "", f"Called settled: {sure.count} of {sure.of} parts whose pile is known{wrong}."
    for part in sure.wrong:
        yield "warn", f"  sure and wrong: {part}"
    if unlike.count:
        yield "", f"'Unlike anything known': {unlike.right} of {unlike.count} parts with a photo."


def _furthest(scored: Scored) -> Lines:
    if scored.furthest:
        yield "", "Furthest off (worth a second look at the label):"
    for part, _, truth, first, chance in scored.furthest:
        yield "", f"  {part}: {truth} had {100 * chance:.2g} %, {first} came first"


def _mean(mean: Mean) -> str:
    return f"{mean.value:.3f}" + (f" ({mean.low:.3f} to {mean.high:.3f})" if math.isfinite(mean.low) else "")


def percent(share: float) -> str:
    """A share in per cent.

    >>> percent(0.923), percent(1.0), percent(float("nan"))
    ('92.3 %', '100.0 %', 'unknown')
    """
    return f"{100 * share:.1f} %" if math.isfinite(share) else "unknown"


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"
