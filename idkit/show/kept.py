"""Kept records as lines and as JSON: what the machine said and what a person said stay apart."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from idkit import flows
from idkit.errors import CallError
from idkit.show import document, taken, terminal, words
from idkit.vocabulary import Kept, Label, Page, Whole

Lines = Iterator[tuple[str, str]]
HEAD = "record kept       part                the machine said; below, what a person did"
PART, MACHINE = 20, 38  # letters of a part's name, and column where what was said begins


def print_page(page: Page, as_json: bool, hint: str) -> None:
    """Print a page of records; `hint` is what to do where there are none."""
    if as_json:
        print_json({"records": [_row(kept) for kept in page.rows], "before": page.before})
        return
    if page.rows:
        terminal.show([("dim", HEAD)])
    terminal.show(lines(page.rows) if page.rows else [("", f"Nothing to list; {hint}.")])
    if page.before is not None:
        terminal.show([("dim", f"More: say --before {page.before}")])


def lines(rows: Iterable[Kept]) -> Lines:
    """A line a record, and one below it where a person said what it is."""
    for kept in rows:
        name = kept.part if len(kept.part) <= PART else kept.part[: PART - 1] + "…"
        yield "", f"{kept.record:6} {kept.kept_at[:10]} {name:{PART}}{_first(kept)}"
        if kept.label is not None:
            yield ("warn" if differ(kept) else "good"), f"{'':{MACHINE}}{said(kept.label)}"


def machine(kept: Kept) -> str:
    """What the machine said, in words."""
    return f"The machine had said {_first(kept)}, {'sure' if kept.sure else 'not sure'} of the pile"


def said(label: Label) -> str:
    """What a person said, and when, in words."""
    if label.withdrawn:
        what = "took it back"
    elif len(label.materials) == 1:
        what = f"{'say' if label.by == 'self' else 'says'} {flows.name_of(label.materials[0])}"
    else:
        what = f"took it for {flows.category_name(label.pile)}"
    return f"{flows.spoken(flows.voice_of(label))} {what}"


def print_json(told: dict[str, Any]) -> None:
    """One JSON document, with its schema."""
    line = json.dumps({"schema": document.SCHEMA, **told}, indent=1, ensure_ascii=False)
    sys.stdout.write(flows.spelt_out(line) + "\n")


def _first(kept: Kept) -> str:
    return f"{flows.name_of(kept.material)}, {words.odds(kept.chance)}"


def differ(kept: Kept) -> bool:
    """Whether a person said that it is something else than the machine said."""
    return kept.label is not None and bool(kept.label.materials) and kept.material not in kept.label.materials


def shown(whole: Whole) -> Lines:
    """One record in words."""
    kept, told = whole.kept, whole.document
    yield "title", f"Record {kept.record}: {kept.part}, kept {kept.kept_at[:10]}{' (removed)' if kept.removed else ''}"
    for photo in whole.photos:
        yield "dim", f"  {photo.file}{' (kept whole)' if photo.original is not None else ''}"
    yield "", ""
    yield "", f"What the machine said ({whole.model[0]} {whole.model[1][:8]}):"
    for name, chance in list(whole.chances.items())[:5]:
        yield "", f"  {flows.name_of(name):30} {words.odds(chance):>14}"
    yield "", f"  Pile: {flows.category_name(kept.pile)}, {'settled' if kept.sure else 'not settled'}."
    yield from (("warn", line) for _, line in words.dangers_said(flows.dangers_of_record(whole)))
    if note := told.get("note"):
        yield "", f"  Note: {note}."
    typed = ", ".join(f"{name} {answer.typed or answer.value}" for name, answer in whole.answers.items())
    yield "", f"  Answers: {typed or 'none'}."
    yield from (("", f"  - {reason}") for reason in told.get("reasons", ()))
    yield "", ""
    yield "", "What people said:" if whole.labels else "Nobody has said yet what it is."
    yield from _voices(whole)
    if whole.same:
        yield "", f"The same photo: record {', '.join(map(str, whole.same))}."
    yield "title", told.get("confirm", "")


def _voices(whole: Whole) -> Lines:
    standing = flows.standing_of(whole.labels)
    for label in whole.labels:
        counts = whole.kept.label is not None and label.id == whole.kept.label.id
        mark = " (this one counts)" if counts else "" if label in standing else " (corrected since)"
        note = f": {label.note}" if label.note else ""
        yield ("good" if counts else "dim"), f"  {label.said_at[:10]} {said(label)}{note}{mark}"


def whole_row(whole: Whole) -> dict[str, Any]:
    """One record as JSON: the part as identify gave it, and what people said."""
    counts = whole.kept.label
    return {
        **whole.document,
        "record": whole.kept.record,
        "kept_at": whole.kept.kept_at,
        "removed": whole.kept.removed,
        "same": list(whole.same),
        "label": label_row(counts) if counts else None,
        "labels": [label_row(label) for label in whole.labels],
    }


def label_row(label: Label) -> dict[str, Any]:
    """A label as JSON."""
    return {
        "by": label.by,
        "yard": label.yard,
        "materials": list(label.materials),
        "category": label.pile,
        "note": label.note,
        "said_at": label.said_at,
        "withdrawn": label.withdrawn,
    }


def _row(kept: Kept) -> dict[str, Any]:
    return {
        "record": kept.record,
        "kept_at": kept.kept_at,
        "part": kept.part,
        "origin": kept.origin,
        "material": kept.material,
        "chance": kept.chance,
        "category": kept.pile,
        "sure": kept.sure,
        "label": label_row(kept.label) if kept.label else None,
        "removed": kept.removed,
    }


def write(whole: Whole, path: Path) -> None:
    """Write a record's first photo, whole where it is kept so, else small; CallError where there is none or no room."""
    if not whole.photos:
        raise CallError("--picture", f"record {whole.kept.record} has no photo", "a record that was kept with one")
    photo = whole.photos[0]
    data = photo.original or photo.thumbnail
    ending = Path(photo.file).suffix.lower() if photo.original else ".jpg"
    if path.suffix.lower().replace("jpeg", "jpg") != ending.replace("jpeg", "jpg"):
        raise CallError(
            "--picture", f"got {path.name!r}", f"a name that ends in {ending}", "it is written as it was kept"
        )
    taken.refuse(path, "--picture", same=data)
    try:
        path.write_bytes(data)
    except OSError as error:
        raise CallError(
            "--picture", f"{path} can't be written ({error.strerror})", "a file in a folder of yours"
        ) from None
