"""Photos whose parts are known already, brought in with their labels; one that is kept already is not kept twice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from idkit import ask, keep, see
from idkit.errors import CallError, FaultyTable, IdkitError, StoreError
from idkit.flows.confirming import Voice, label_of
from idkit.flows.identifying import begin
from idkit.flows.keeping import Tell, keep_record
from idkit.flows.naming import material_named, pile_named
from idkit.flows.recording import Context
from idkit.flows.results import Identified
from idkit.flows.spreadsheet import cells
from idkit.vocabulary import BY, SURFACES, Label

PHOTOS = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp", ".avif", ".heic", ".heif")
PLAIN = ("file", "part", "material", "category", "by", "yard", "surface", "note")


@dataclass(frozen=True)
class Brought:
    """One part to add: its photos, and what it is known to be (a material, or a pile), by whom."""

    part: str
    photos: tuple[Path, ...]
    material: str
    pile: str
    voice: Voice
    typed: Mapping[str, str]
    surface: str | None = None
    note: str = ""


@dataclass(frozen=True)
class Added:
    """What became of one part: the record that holds it now, None where it could not be added, and why."""

    part: str
    record: int | None
    said: str
    new: bool = False
    errors: tuple[IdkitError, ...] = ()


def in_folders(folder: Path, voice: Voice) -> tuple[Brought, ...]:
    """The parts of a folder that holds one folder a material: every photo a part, or every folder of photos in it.

    CallError where a folder is not named after a material, or none holds photos.
    """
    found = []
    right = "a folder a material, named after it, with its photos in it, or --labels FILE.csv"
    inside = _listed(folder)
    loose = [path.name for path in inside if _is_photo(path)]
    if loose:
        raise CallError(str(folder), f"holds photos themselves, such as {min(loose)}", right)
    for inner in sorted(path for path in inside if path.is_dir()):
        material = material_named(inner.name)
        for path in sorted(inner.iterdir()):
            photos = tuple(sorted(filter(_is_photo, path.iterdir()))) if path.is_dir() else (path,)
            if photos and all(map(_is_photo, photos)):
                found.append(Brought(path.stem, photos, material, "", voice, {}))
    if not found:
        raise CallError(str(folder), "holds no labelled photos", right)
    return tuple(found)


def in_table(folder: Path, table: Path, voice: Voice) -> tuple[Brought, ...]:
    """The parts of a table with a header: file, material or category; part, by, yard, surface, note; any check.

    Rows of one `part` are photos of one part; what the first of them says holds. Every row is read before any is told
    wrong: FaultyTable.
    """
    columns, rows = cells(table, str(table))
    _refuse_columns(table, columns)
    parts: dict[str, Brought] = {}
    wrong: list[str] = []
    for number, row in rows:
        name = row.get("part") or row["file"]
        try:
            one = _labelled(folder, row, voice)
            known = parts.setdefault(name, replace(one, photos=()))
            if (known.material, known.pile) != (one.material, one.pile):
                raise CallError(f"the part {name!r}", "got another label", "one label a part")
            parts[name] = replace(known, photos=(*known.photos, *one.photos))
        except CallError as error:
            wrong.append(f"{table.name}, row {number}: {error}")
    if wrong:
        raise FaultyTable(str(table), wrong, "row", "nothing is kept")
    return tuple(parts.values())


def add_samples(parts: Sequence[Brought], tell: Tell, *, with_photo: bool = False) -> Iterator[Added]:
    """Identify and keep each part with its label, one after the other; what is done is kept whenever this ends."""
    for part in parts:
        try:
            context = Context(part.surface or "as-found", part.note)
            found = begin(part.photos, part.typed, context).identified
            yield replace(_added(part, found, tell, with_photo), errors=found.unread)
        except StoreError:  # the next one would fare no better
            raise
        except IdkitError as error:
            yield Added(part.part, None, "not added", errors=(error,))


def _added(part: Brought, found: Identified, tell: Tell, with_photo: bool) -> Added:
    label = label_of(0, found.record.answers, part.material, part.pile, part.voice)
    same = _kept_already(found)
    if len(same) != 1:
        told = replace(found, record=replace(found.record, part=part.part))
        record = keep_record(told, tell, origin="added", with_photo=with_photo, label=label).record.kept
        return Added(part.part, record, f"kept as record {record}", new=True)
    (record,) = same
    return _known(part, record, replace(label, record=record))


def _known(part: Brought, record: int, label: Label) -> Added:
    """A part that is kept already: it gets the label where it has none, and else keeps the one it has."""
    (kept,) = keep.known([record])
    known = f"the same photo as record {record}"
    if kept.label is None or set(label.materials) < set(kept.label.materials):  # a material for what was a pile
        keep.confirm([label])
        return Added(part.part, record, f"{known}, which has this label now")
    if kept.label.materials == label.materials and (kept.label.by, kept.label.yard) != (label.by, label.yard):
        keep.confirm([label])
        return Added(part.part, record, f"{known}, of which this is said by one more now")
    if kept.label.materials == label.materials:
        return Added(part.part, record, f"{known}: not added again")
    said = ", ".join(kept.label.materials) or kept.label.pile
    return Added(part.part, None, f"{known}, which was said to be {said}: not added; idkit confirm corrects it")


def _kept_already(found: Identified) -> tuple[int, ...]:
    """Records that hold one of the photos, as it is or saved another way."""
    twins = dict.fromkeys(
        twin for one in found.seen for twin in keep.find(see.likeness(see.thumbnail(one.photo)), one.photo.sha256)
    )
    return keep.records_of(twins) if twins else ()


def _refuse_columns(table: Path, columns: Sequence[str]) -> None:
    strange = [name for name in columns if name not in PLAIN and name not in ask.checks()]
    missing = "file" not in columns or not {"material", "category"}.intersection(columns)
    if strange or missing:
        right = f"file and material or category; also {', '.join(PLAIN[1:2] + PLAIN[4:])} and names of checks"
        got = f"has a column {strange[0]!r}" if strange else f"has the columns {', '.join(columns) or 'none'}"
        raise CallError(str(table), got, right)


def _labelled(folder: Path, row: Mapping[str, str], voice: Voice) -> Brought:
    material, pile = row.get("material", ""), row.get("category", "")
    if not row["file"]:
        raise CallError("file", "got nothing", "the name of a photo")
    if bool(material) == bool(pile):
        raise CallError("material", f"got {material!r} and the category {pile!r}", "one of the two")
    _refuse_other("by", row.get("by", ""), BY)
    _refuse_other("surface", row.get("surface", ""), SURFACES)
    typed = {name: text for name, text in row.items() if name in ask.checks() and text}
    ask.read(typed)
    return Brought(
        part=row.get("part") or Path(row["file"]).stem,
        photos=(folder / row["file"],),
        material=material_named(material) if material else "",
        pile=pile_named(pile) if pile else "",
        voice=Voice(row.get("by") or voice.by, row.get("yard") or voice.yard),
        typed=typed,
        surface=row.get("surface") or None,
        note=row.get("note", ""),
    )


def _refuse_other(column: str, said: str, right: Sequence[str]) -> None:
    if said and said not in right:
        raise CallError(column, f"got {said!r}", ", ".join(right))


def _listed(folder: Path) -> list[Path]:
    try:
        return list(folder.iterdir())
    except OSError as error:
        raise CallError(str(folder), f"can't be read ({error.strerror})", "a folder") from None


def _is_photo(path: Path) -> bool:
    return path.suffix.lower() in PHOTOS and not path.name.startswith(".")
