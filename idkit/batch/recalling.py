"""What of earlier runs still holds: the same photos, answers, options, program and model."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from idkit.batch.jobs import Job, Manner, Read, Stamp
from idkit.batch.journal import Entry


def how(job: Job, manner: Manner) -> str:
    """SHA-256 of all that a job's outcome hangs on beside the content of its photos."""
    told = [
        *(manner.digest, manner.even, list(manner.tools), repr(manner.sold)),
        *(job.each, list(job.photos), dict(sorted(job.typed.items())), job.note),
        [[number, dict(sorted(typed.items())), note] for number, (typed, note) in sorted(job.numbered.items())],
    ]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()


def holds(job: Job, entry: Entry | None, manner: Manner) -> bool:
    """Whether the entry is what the job would give. Stamps tell, and where they differ the content."""
    if entry is None or entry.how != how(job, manner):
        return False
    return all(_unchanged(Path(manner.folder, photo), entry.files.get(photo)) for photo in job.photos)


def stamp(path: Path) -> Stamp:
    """What tells that a file is the one it was, without reading it: see Stamp; all 0 where there is none."""
    try:
        status = path.stat()
    except OSError:
        return 0, 0, 0, 0
    return status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_ino


def content(path: Path) -> str:
    """SHA-256 of a file; '' where it can't be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def _unchanged(path: Path, was: Read | None) -> bool:
    if was is None or not was[1]:
        return False
    return stamp(path) == was[0] or content(path) == was[1]
