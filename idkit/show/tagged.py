"""One tagged part as it is kept: its JSON, what is said of it, and small pictures of it."""

from __future__ import annotations

import base64
from typing import Any

import cv2

from idkit.flows import Seen, Tagged, made_smaller, waiting
from idkit.show import document, words

SIDE = 240  # longer side of a small picture, in pixels
MARGIN = 0.12  # around the part, as a share of its longer side
QUALITY = 72


def describe(found: Tagged) -> dict[str, Any]:
    """A part for tags.jsonl, what the page says of it and shows, and what a record of it needs."""
    record = found.record
    verdict = record.verdict
    said = {
        "answer": words.answer(record),
        "dangers": [line for _, line in words.dangers(verdict)],
        "settles": words.settles(verdict.next_check.settles) if verdict.next_check else "",
        "stopped": "" if verdict.sure or verdict.next_check else words.stopped(verdict),
        "worth": [line for _, line in words.worth(record)],
        "twice": [[file.as_posix(), line] for file, line in found.twice],
        "apart": not verdict.sure and next(iter(verdict.piles.values())) < words.GOOD_ENOUGH,
    }
    return {"part": document.part(record), "said": said, "pictures": list(found.sketches), "kept": waiting(found)}


def sketch(seen: Seen) -> str:
    """The part in its photo as a small JPEG, in base64; the whole photo where none was found."""
    encoded = seen.photo.encoded
    if seen.part is not None:
        x, y, width, height = seen.part.box
        margin = round(MARGIN * max(width, height))
        encoded = encoded[max(0, y - margin) : y + height + margin, max(0, x - margin) : x + width + margin]
    small = made_smaller(encoded, SIDE)[..., ::-1]
    done, data = cv2.imencode(".jpg", small, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
    return base64.b64encode(data.tobytes()).decode() if done else ""
