"""A tagged part as it waits in a folder's journal to be kept: JSON, whose photos lie under the folder."""

from __future__ import annotations

import base64
import hashlib
import json
import math
from collections.abc import Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from idkit import keep, see
from idkit.flows.tagging import Tagged
from idkit.vocabulary import Answer, Entry, KeptPhoto

Waiting = Mapping[str, Any]


def waiting(found: Tagged) -> dict[str, Any]:
    """All that a record of the part needs beside its JSON."""
    record = found.record
    return {
        "surface": record.surface,
        "answers": {name: asdict(answer) for name, answer in record.answers.items()},
        "chances": dict(record.verdict.chances),
        "pile": next(iter(record.verdict.piles), ""),
        "photos": [_photo_written(photo) for photo in found.photos],
    }


def keep_waiting(kept: Waiting, part: Mapping[str, Any], folder: Path, *, with_photo: bool = False) -> tuple[int, bool]:
    """Keep a part that waits, `part` its JSON; the number of its record, and whether that is new.

    The same photos, answers and verdict of the same model are one record, however often they are kept. StoreError
    where it can't be kept; PhotoError where a photo that is wanted whole has changed.
    """
    entry = Entry(
        part=part["part"],
        origin="tag",
        surface=kept["surface"],
        answers={name: Answer(**fields) for name, fields in kept["answers"].items()},
        chances=kept["chances"],
        pile=kept["pile"],
        sure=part["sure"],
        model=(part["model"]["name"], part["model"]["digest"]),
        document=part,
        photos=tuple(_photo_read(photo, folder, with_photo) for photo in kept["photos"]),
    )
    return keep.add_once(entry, _uid(kept, part))


def _uid(kept: Waiting, part: Mapping[str, Any]) -> str:
    rests_on = {**kept, "photos": [photo["sha256"] for photo in kept["photos"]]}
    return hashlib.sha256(json.dumps([rests_on, part], sort_keys=True).encode()).hexdigest()[:32]


def _photo_written(photo: KeptPhoto) -> dict[str, Any]:
    return {
        "file": photo.file,
        "sha256": photo.sha256,
        "cues": _numbers(photo.cues),
        "white": dict(photo.white),
        "log_photo": _numbers(photo.log_photo),
        "likeness": photo.likeness.hex(),
        "thumbnail": base64.b64encode(photo.thumbnail).decode(),
    }


def _photo_read(fields: Mapping[str, Any], folder: Path, whole: bool) -> KeptPhoto:
    path = (folder / fields["file"]).absolute()
    photo = KeptPhoto(
        str(path),
        fields["sha256"],
        {name: math.nan if value is None else value for name, value in fields["cues"].items()},
        fields["white"],
        {name: math.nan if value is None else value for name, value in fields["log_photo"].items()},
        bytes.fromhex(fields["likeness"]),
        base64.b64decode(fields["thumbnail"]),
    )
    return replace(photo, original=see.original(path, photo.sha256)) if whole else photo


def _numbers(values: Mapping[str, float]) -> dict[str, float | None]:
    return {name: float(value) if math.isfinite(value) else None for name, value in values.items()}
