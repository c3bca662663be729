"""What the worker processes do for the page: photos and answers to a verdict, drawn so that a browser can show it.

Only they decode what a phone sends. All of a part is in what was asked, so any worker can start afresh from it.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit import flows
from idkit.errors import StoreError
from idkit.flows import Box, Case, Identified, Seen
from idkit.show import document, pictures
from idkit.vocabulary import Mask, Photo, Record

OPEN = 4  # parts whose photos a worker holds decoded: some 50 MB for each photo of 12 megapixels
SIDE = 1000  # pixels of the longer side of the photo as the page shows it
COARSE = 0.0015  # of that side, by which an outline may miss: a third as many bytes, and no eye sees it


@dataclass(frozen=True)
class Asked:
    """One part as a person gave it to the page; each answer makes a new one.

    `box` is the scratch that was tapped: which of the photos that can be read, and x, y, width, height in its pixels.
    """

    photos: tuple[Path, ...] = ()
    typed: Mapping[str, str] = field(default_factory=dict)
    skipped: frozenset[str] = frozenset()
    unsafe: bool = False
    scratched: bool = False
    box: tuple[int, Box] | None = None
    note: str = ""


@dataclass(frozen=True)
class Picture:
    """A photo as the page shows it: a small upright JPEG, with outlines and boxes in pixels of the photo itself."""

    jpeg: bytes
    width: int
    height: int
    outlines: tuple[tuple[tuple[int, int], ...], ...]
    part: Box | None
    box: Box | None
    bare: Box | None


@dataclass(frozen=True)
class Shown:
    """What the page shows of a part. `record` is None where nothing is known yet; `lines` are what is asked now."""

    record: Record | None
    pictures: tuple[Picture, ...] = ()
    question: str = "magnet"
    lines: tuple[str, ...] = ("magnet",)
    notes: tuple[str, ...] = ()


@dataclass
class Desk:
    """The parts that a worker holds open, the one looked at last at the end, and the records of those it kept."""

    open: OrderedDict[tuple[Path, ...], Open] = field(default_factory=OrderedDict)
    kept: dict[str, int] = field(default_factory=dict)


@dataclass
class Open:
    """A part's photos, decoded, and what was seen in them and drawn of them so far."""

    case: Case
    seen: dict[tuple[str, Box | None, str | None, bool], Seen] = field(default_factory=dict)
    jpegs: dict[str, bytes] = field(default_factory=dict)


def shown(desk: Desk, asked: Asked) -> Shown:
    """The verdict on a part as it was asked, and its photos to look at."""
    if not (asked.photos or any(text.strip() for text in asked.typed.values()) or asked.note.strip()):
        return _nothing_known(asked)
    case, jpegs = _case(desk, asked)
    found, said = _warned(case.identified)
    check = case.question
    return Shown(
        found.record,
        tuple(_picture(one, jpegs) for one in found.seen),
        check.name if check else "",
        tuple(each.name for each in case.lines(check)) if check else (),
        (*(str(error) for error in found.unread), *said),
    )


def keep(desk: Desk, part: str, asked: Asked, with_photo: bool) -> int:
    """Keep a part as a record, as `identify --keep` does, every cue measured; its number. Two taps keep one record."""
    if part not in desk.kept:
        desk.kept[part] = _keep(asked, with_photo)
    return desk.kept[part]


def _keep(asked: Asked, with_photo: bool) -> int:
    mine = flows.bench()
    case = flows.begin(asked.photos, _typed(asked), _context(asked, mine.tools))
    case = replace(case, looked=_looked(Open(case), asked, case.context.surface))
    found, _ = _warned(case.identified)
    kept = flows.keep_record(_by_name(found), document.part, origin="page", with_photo=with_photo)
    assert kept.record.kept is not None
    return kept.record.kept


def _by_name(found: Identified) -> Identified:
    """The same with its photos called by their names alone: where they lie now is for the time they are open."""
    seen = tuple(replace(one, report=replace(one.report, file=Path(one.report.file).name)) for one in found.seen)
    return replace(found, seen=seen, record=replace(found.record, photos=tuple(one.report for one in seen)))


def _nothing_known(asked: Asked) -> Shown:
    """The magnet first; without photo and magnet, the first thing that anybody can tell of a part."""
    question = next((name for name in ("magnet", "scratch-colour", "heft") if name not in asked.skipped), "")
    return Shown(None, (), question, (question,) if question else ())


def _case(desk: Desk, asked: Asked) -> tuple[Case, dict[str, bytes]]:
    """The part with its photos as far as they were decoded and looked at before."""
    typed, context = _typed(asked), _context(asked, flows.bench().tools)
    if not asked.photos:
        return flows.begin((), typed, context, every_cue=False), {}
    held = desk.open.get(asked.photos)
    if held is None:
        held = Open(flows.begin(asked.photos, typed, context, every_cue=False))
        desk.open[asked.photos] = held
        while len(desk.open) > OPEN:
            desk.open.popitem(last=False)
    desk.open.move_to_end(asked.photos)
    case = replace(held.case, typed=typed, context=context, looked=None)
    return replace(case, looked=_looked(held, asked, context.surface)), held.jpegs


def _looked(held: Open, asked: Asked, surface: str | None) -> tuple[Seen, ...]:
    """What is seen in each photo; a scratch is looked for in the photo that was tapped, and nowhere else."""
    search = not asked.typed.get("scratch-colour", "").strip()
    found = []
    for number, photo in enumerate(held.case.photos):
        box = asked.box[1] if asked.box and asked.box[0] == number else None
        wanted = (photo.sha256, box, surface, search)
        if wanted not in held.seen:
            cues, model = held.case.cues, flows.model_in_use()
            held.seen[wanted] = flows.look(photo, model, surface, box, cues, search=search)
        found.append(held.seen[wanted])
    return tuple(found)


def _typed(asked: Asked) -> dict[str, str]:
    return flows.on_this_bench("", dict(asked.typed), flows.bench())


def _context(asked: Asked, tools: tuple[str, ...]) -> flows.Context:
    surface = "scratched" if asked.scratched else None
    skipped, unsafe = asked.skipped, asked.unsafe
    return flows.Context(surface, asked.note, tools=tools, skipped=skipped, unsafe=unsafe, sold=_sold())


def _sold() -> flows.Holds | None:
    """The yard and prices in use; none where the store can't be read, which is said where it is needed."""
    try:
        return flows.holds(flows.in_use())
    except StoreError:
        return None


def _warned(found: Identified) -> tuple[Identified, tuple[str, ...]]:
    """With past mistakes it looks like; a store that can't be read is said, and is no reason to stop."""
    try:
        return flows.remembered(found), ()
    except StoreError as error:
        return found, (str(error),)


def _picture(seen: Seen, jpegs: dict[str, bytes]) -> Picture:
    photo = seen.photo
    if photo.sha256 not in jpegs:
        jpegs[photo.sha256] = _jpeg(photo)
    height, width = photo.encoded.shape[:2]
    sure = seen.bare is not None and seen.bare.certainty >= flows.WORTH_SAYING
    return Picture(
        jpegs[photo.sha256],
        width,
        height,
        outlines(seen.part.mask, width, height) if seen.part else (),
        seen.part.box if seen.part else None,
        seen.scratch,
        seen.bare.box if seen.bare and sure else None,
    )


def _jpeg(photo: Photo) -> bytes:
    canvas = pictures.shown(photo, min(SIDE, max(photo.encoded.shape[:2])))
    _, data = cv2.imencode(".jpg", canvas[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 80])
    return data.tobytes()


def outlines(mask: Mask, width: int, height: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """The rims of a mask as closed lines of x, y in a picture so wide and high.

    >>> outlines(np.pad(np.ones((2, 4), bool), 2), 80, 60)
    (((20, 20), (20, 40), (60, 40), (60, 20)),)
    """
    across, down = width / mask.shape[1], height / mask.shape[0]
    # Twice as large, so that a rim lies between pixels and not in them.
    grown: NDArray[np.uint8] = mask.repeat(2, axis=0).repeat(2, axis=1).astype(np.uint8)
    lines, _ = cv2.findContours(grown, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    found = (np.asarray(line)[:, 0] for line in lines)
    scaled = ((np.where(line % 2, line + 1, line) / 2 * (across, down)).astype(np.float32) for line in found)
    near = COARSE * max(width, height)
    simple = (cv2.approxPolyDP(line, near, True)[:, 0] for line in scaled if len(line) > 2)
    return tuple(tuple((round(float(x)), round(float(y))) for x, y in line) for line in simple)
