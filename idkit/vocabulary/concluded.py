"""What is concluded of a part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from idkit.vocabulary.answered import Answers
from idkit.vocabulary.known import Caution, Danger, Pile
from idkit.vocabulary.seen import Reading, Size, White
from idkit.vocabulary.sold import Sold


@dataclass(frozen=True)
class PhotoEvidence:
    """What one or several photos of one part say: log of photo(m) by material, and chances of the colour families."""

    log_photo: Mapping[str, float]
    families: Mapping[str, float]
    unlike: bool
    simulated: bool
    trusted_colour: bool  # white in view and nothing wrong with the light
    guessed_bare: bool = False  # a spot that nobody named counts as bare metal in it


@dataclass(frozen=True)
class Evidence:
    """All that is known of one part before deciding."""

    photo: PhotoEvidence | None
    answers: Answers
    surface: str
    problems: tuple[str, ...] = ()
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class NextCheck:
    """The check that settles most a minute. `settles` is the chance that the pile is sure after it.

    `saves` is what it gains, of all that the part may gain (1): without prices the chance of the right pile.
    """

    check: str
    settles: float
    how: str
    limits: str = ""
    saves: float = 0.0


@dataclass(frozen=True)
class Verdict:
    """What the part may be."""

    chances: Mapping[str, float]  # by material id, largest first, summing to 1
    likely: tuple[str, ...]
    sure: bool
    unlike_known: bool
    simulated: bool
    pile: Pile | None
    piles: Mapping[str, float]
    reasons: tuple[str, ...]
    next_check: NextCheck | None
    cautions: tuple[Caution, ...]
    confirm: str
    dangers: tuple[Danger, ...] = ()  # why it is left closed, whole or dry


@dataclass(frozen=True)
class PhotoReport:
    """What was seen in one photo of a part."""

    file: str
    sha256: str
    white: White
    problems: tuple[str, ...]
    families: Mapping[str, float]
    readings: tuple[Reading, ...] = field(default=())
    bare: tuple[int, int, int, int] | None = None  # box of bare metal that was found, in pixels of the photo
    bare_certainty: float = float("nan")


@dataclass(frozen=True)
class Record:
    """One part, from photo to verdict: what `identify` gives."""

    part: str
    box: tuple[int, int, int, int] | None
    photos: tuple[PhotoReport, ...]
    colour: tuple[float, float, float] | None  # CIELAB of the part, D65
    colour_uncertainty: float
    surface: str
    answers: Answers
    density: tuple[float, float] | None  # kg/m³ and its standard uncertainty
    came_out_of: str
    marked: str
    verdict: Verdict
    model: tuple[str, str]  # name and digest
    size: Size | None = None  # by the printed card; None without one
    note: str = ""
    warnings: tuple[str, ...] = ()  # what went wrong before with parts that look like it
    kept: int | None = None  # number of the record it was kept as
    sold: Sold | None = None  # what it fetches, where a yard is in use
