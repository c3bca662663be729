"""What the paths give back: one photo as it was seen, one identified part, the parts of a photo of several."""

from __future__ import annotations

from dataclasses import dataclass

from idkit.errors import IdkitError
from idkit.vocabulary import Part, Patch, Photo, PhotoEvidence, PhotoReport, Reading, Record, Scratch, Size

Box = tuple[int, int, int, int]  # x, y, width, height in pixels of the photo


@dataclass(frozen=True)
class Seen:
    """What one photo gave: the photo, its part, and what was measured. `part` is None where none was found.

    `evidence` is None where the photo says nothing; `scratch` is the box that was named, where it could be read.
    """

    photo: Photo
    part: Part | None
    patch: Patch | None
    report: PhotoReport
    evidence: PhotoEvidence | None
    scratch: Box | None = None
    size: Size | None = None
    bare: Scratch | None = None
    spoken: tuple[Reading, ...] = ()  # cues of the bare metal that reasons speak of, where it outweighs the skin
    surface: str = "as-found"  # that it was judged as


@dataclass(frozen=True)
class Identified:
    """One identified part, what was seen in its photos, and the photos that could not be read."""

    record: Record
    seen: tuple[Seen, ...]
    unread: tuple[IdkitError, ...]


@dataclass(frozen=True)
class Several:
    """The parts of photos that show several: each photo that was read with its parts in reading order, maybe none."""

    photos: tuple[tuple[Photo, tuple[Identified, ...]], ...]
    unread: tuple[IdkitError, ...]
