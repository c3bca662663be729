"""Packages of samples to share: a zip of JSON lines, thumbnails and a readme. Nothing in one is ever run or unpacked.

    readme.txt          what this is
    package.json        {"format": "idkit-samples", "version": 1, "samples": N}
    samples.jsonl       one sample a line, see the readme
    thumbnails/SHA256.jpg

No names of files, no places, no whole photos are in it; notes, names of yards and what was typed of origin and marks
only where that is asked for.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import re
import tempfile
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import IO, Any

from idkit.errors import CallError, StoreError
from idkit.keep.labels import add_label
from idkit.keep.records import insert
from idkit.keep.store import now, reading, writing
from idkit.keep.strangers import read_sample
from idkit.keep.written import dumped, numbers
from idkit.vocabulary import Entry, KeptPhoto, Label, Sample

FORMAT, VERSION = "idkit-samples", 1
LARGEST, WIDEST, SMALLEST = 2_000_000_000, 300_000_000, 200_000  # bytes: of a package, of its lines, of a thumbnail
MOST = 50_000  # samples
LAST, LISTED = 22 + 65_535, 30_000_000  # bytes of a zip's last record at the most, and of its list of contents
LONGEST = 100_000  # bytes of one line
PLAIN = ("readme.txt", "package.json", "samples.jsonl")
THUMBNAIL = re.compile(r"thumbnails/[0-9a-f]{64}\.jpg")
PERSONAL = ("came-out-of", "marked")  # answers whose value may be words a person typed
README = """Samples of parts with known materials, kept by idkit: measured cues and answers, and small pictures.

samples.jsonl holds one part a line: uid, day, surface, chances (what the model had said), category, sure, model,
answers (SI units), at_random (picked at random for confirming), labels (by whom: analyser, yard or self; materials:
one, or all of the pile that was named), photos (sha256 of the photograph, cues by name, white: what was taken for
neutral in it, log_photo: what the model made of it). The small picture of a photo is thumbnails/SHA256.jpg.

To use them: idkit samples import THIS.zip
"""


@dataclass(frozen=True)
class Shared:
    """One sample of a package: its name in any store, when it was kept, what was kept, what was said, if at random."""

    uid: str
    kept_at: str
    entry: Entry
    labels: tuple[Label, ...]
    at_random: bool


@dataclass(frozen=True)
class Package:
    """A package as it was read: its file's name and sha256, and its samples."""

    name: str
    sha256: str
    samples: tuple[Shared, ...]


@dataclass(frozen=True)
class Imported:
    """How many samples of a package came in, how many were there already, and whether the package was."""

    new: int
    known: int
    again: bool


def write_package(path: Path, samples: Sequence[Sample], *, words: bool = False) -> None:
    """Write a package whole or not at all; with `words` notes, names of yards and what was typed go with it.

    StoreError where it can't be written.
    """
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as file:
                _write(file, samples, words)
            Path(name).chmod(0o644)
            Path(name).replace(path)
        finally:
            Path(name).unlink(missing_ok=True)
    except OSError as error:
        got = f"can't be written ({error.strerror})"
        raise StoreError(str(path), got, "a file in a folder of yours with room in it") from error


def _write(file: IO[bytes], samples: Sequence[Sample], words: bool) -> None:
    with reading() as database, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as package:
        package.writestr("readme.txt", README)
        package.writestr("package.json", dumped({"format": FORMAT, "version": VERSION, "samples": len(samples)}))
        uids = dict(database.execute("SELECT id, uid FROM records").fetchall())
        lines = (dumped(_line(sample, uids[sample.record], words)) for sample in samples)
        package.writestr("samples.jsonl", "".join(f"{line}\n" for line in lines))
        for sha256 in dict.fromkeys(photo.sha256 for sample in samples for photo in sample.photos):
            row = database.execute("SELECT jpeg FROM thumbnails WHERE sha256 = ?", (sha256,)).fetchone()
            if row:
                package.writestr(f"thumbnails/{sha256}.jpg", row["jpeg"], zipfile.ZIP_STORED)


def _line(sample: Sample, uid: str, words: bool) -> dict[str, Any]:
    answers = {
        name: {"value": answer.value, "unit": answer.unit, "uncertainty": answer.uncertainty}
        | ({"typed": answer.typed} if words else {})
        for name, answer in sample.answers.items()
        if words or name not in PERSONAL
    }
    return {
        "uid": uid,
        "day": sample.kept_at[:10],
        "surface": sample.surface,
        "chances": numbers(sample.chances),
        "category": sample.pile,
        "sure": sample.sure,
        "model": list(sample.model),
        "answers": answers,
        "at_random": sample.at_random,
        "labels": [
            {"by": label.by, "materials": list(label.materials), "category": label.pile, "day": label.said_at[:10]}
            | ({"yard": label.yard, "note": label.note} if words else {})
            for label in sample.labels
        ],
        "photos": [
            {
                "sha256": photo.sha256,
                "cues": numbers(photo.cues),
                "white": photo.white,
                "log_photo": numbers(photo.log_photo),
            }
            for photo in sample.photos
        ],
    }


def read_package(path: Path, materials: Sequence[str], piles: Sequence[str], checks: Sequence[str]) -> Package:
    """Read a stranger's package; CallError names what is wrong with it, and then nothing of it is taken.

    Looked at are its size, the names and sizes of what it holds, and every field of every sample: its kind, its range,
    and that its materials, piles and checks are known ones. Thumbnails come as they are: see to them before use.
    """
    try:
        if path.exists() and not path.is_file():
            raise _refused(path, "is no file")
        with path.open("rb") as file:
            _refuse_size(path, file)
            with zipfile.ZipFile(file) as package:
                _refuse_members(path, package)
                _refuse_head(path, package)
                samples = tuple(_samples(path, package, (materials, piles, checks)))
            file.seek(0)
            return Package(path.name, hashlib.file_digest(file, "sha256").hexdigest(), samples)
    except OSError as error:
        raise CallError(str(path), f"can't be read ({error.strerror or error})", "a package of samples") from None
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError) as error:
        raise _refused(path, f"is broken ({error})") from error


def _refuse_size(path: Path, file: IO[bytes]) -> None:
    """Too large a file, or a list of contents that would fill the memory when zipfile reads it.

    Its size stands 12 bytes into the record at the end, signed PK 5 6 (ISO/IEC 21320-1; APPNOTE 4.3.16).
    """
    size = file.seek(0, io.SEEK_END)
    if size > LARGEST:
        raise _refused(path, f"is {size / 1e9:.1f} GB", "at most 2 GB")
    file.seek(max(0, size - LAST))
    end = file.read()
    place = end.rfind(b"PK\x05\x06")
    if place >= 0 and int.from_bytes(end[place + 12 : place + 16], "little") > LISTED:
        raise _refused(path, "lists too many contents", f"{MOST} samples at the most")


def _refuse_members(path: Path, package: zipfile.ZipFile) -> None:
    """Names that lead elsewhere, doubled names, other files, encrypted ones and sizes that nothing honest has."""
    names = [member.filename for member in package.infolist()]
    if len(names) > 4 * MOST or len(set(names)) < len(names):
        raise _refused(path, f"holds {len(names)} files, some twice or too many")
    for member in package.infolist():
        name = member.filename
        if name not in PLAIN and not THUMBNAIL.fullmatch(name):
            raise _refused(path, f"holds {name[:80]!r}", f"{', '.join(PLAIN)} and thumbnails")
        limit = SMALLEST if name.startswith("thumbnails/") else WIDEST
        if member.file_size > limit or member.flag_bits & 1:
            raise _refused(path, f"holds {name[:80]!r} of {member.file_size} bytes", f"at most {limit}, not encrypted")
    if missing := [name for name in PLAIN[1:] if name not in names]:
        raise _refused(path, f"lacks {missing[0]}")


def _refuse_head(path: Path, package: zipfile.ZipFile) -> None:
    head = json.loads(_bytes(path, package, "package.json", LONGEST))
    if not isinstance(head, dict) or head.get("format") != FORMAT:
        raise _refused(path, "is no package of idkit samples")
    if head.get("version") != VERSION:
        raise _refused(path, f"is of version {str(head.get('version'))[:20]}", f"version {VERSION}")


def _bytes(path: Path, package: zipfile.ZipFile, name: str, limit: int) -> bytes:
    """One file of a package, read no further than its limit whatever its header says."""
    with package.open(name) as file:
        data = file.read(limit + 1)
    if len(data) > limit:
        raise _refused(path, f"holds {name} of over {limit} bytes")
    return data


def _samples(path: Path, package: zipfile.ZipFile, known: tuple[Sequence[str], ...]) -> Iterator[Shared]:
    present, seen = set(package.namelist()), set()
    with package.open("samples.jsonl") as lines:
        for number in range(1, MOST + 2):
            line = lines.readline(LONGEST + 1)
            if not line:
                return
            if len(line) > LONGEST or number > MOST:
                raise _refused(path, f"line {number} is too long or too many", f"{MOST} lines of {LONGEST} bytes")
            try:
                shared = Shared(*read_sample(line, *known))
            except ValueError as error:
                raise _refused(path, f"samples.jsonl, line {number}: {error}") from None
            if shared.uid in seen:
                raise _refused(path, f"samples.jsonl, line {number}: the sample {shared.uid} comes twice")
            seen.add(shared.uid)
            pictured = (_with_thumbnail(path, package, photo, present) for photo in shared.entry.photos)
            yield replace(shared, entry=replace(shared.entry, photos=tuple(pictured)))


def _with_thumbnail(path: Path, package: zipfile.ZipFile, photo: KeptPhoto, present: set[str]) -> KeptPhoto:
    name = f"thumbnails/{photo.sha256}.jpg"
    if name not in present:
        raise _refused(path, f"lacks {name}", "a thumbnail of every photo")
    return replace(photo, thumbnail=_bytes(path, package, name, SMALLEST))


def keep_package(package: Package, weight: float) -> Imported:
    """Keep its samples, all or nothing; one that is there already is left as it is.

    The same package again changes what its samples weigh in learning, 1 as much as one's own, 0 nothing, and brings
    back those that were deleted meanwhile.
    """
    with writing() as database:
        row = database.execute("SELECT id FROM packages WHERE sha256 = ?", (package.sha256,)).fetchone()
        if row:
            number = int(row["id"])
            database.execute("UPDATE packages SET weight = ? WHERE id = ?", (weight, number))
        else:
            head = (package.sha256, package.name, now(), weight)
            query = "INSERT INTO packages (sha256, name, imported_at, weight) VALUES (?, ?, ?, ?)"
            number = int(database.execute(query, head).lastrowid or 0)
        new = 0
        for shared in package.samples:
            if database.execute("SELECT 1 FROM records WHERE uid = ?", (shared.uid,)).fetchone():
                continue
            new += 1
            record = insert(database, shared.entry, shared.uid, shared.kept_at)
            database.execute("UPDATE records SET package = ? WHERE id = ?", (number, record))
            if shared.at_random:
                database.execute("INSERT INTO picks VALUES (?, ?)", (record, shared.kept_at))
            for label in shared.labels:
                add_label(database, replace(label, record=record))
    return Imported(new, len(package.samples) - new, again=bool(row))


def _refused(path: Path, got: str, right: str = "a package that idkit samples export wrote") -> CallError:
    return CallError(str(path), got, right, "nothing of it was taken")
