"""The nouns that travel between the rooms: frozen, without behaviour.

Units are SI (kg, m, kg/m³) unless a field says otherwise; a value that is missing is NaN, with the reason beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Image = NDArray[np.float32]
Mask = NDArray[np.bool_]

FAMILIES = ("copper-red", "brass-yellow", "grey-white", "rust-brown", "not-metal")
SURFACES = ("as-found", "scratched")
ACTS = ("handle", "file", "grind", "cut", "open", "wet", "strike")
"""What a check does to a part; a danger forbids acts, and with them every check that needs one."""


# What is measured -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Reading:
    """One measured number. `how` says how it was had or, where `value` is NaN, why it could not be."""

    name: str
    value: float
    unit: str
    how: str = ""


@dataclass(frozen=True)
class Photo:
    """An upright photograph.

    `encoded` is height x width x 3 in sRGB order red, green, blue, 8 or 16 bit, full size;
    `linear` is the same in linear light, 0 to 1, area-averaged so that its longer side is at most 1024. Where a JPEG
    was decoded smaller, `shrunk` pixels of the file along a side went into one of `encoded`.
    """

    file: str
    sha256: str
    encoded: NDArray[np.uint8] | NDArray[np.uint16]
    linear: Image
    coloured: bool
    problems: tuple[str, ...] = ()
    shrunk: int = 1


@dataclass(frozen=True)
class White:
    """What neutral looks like in this photo: ln(R/G) and ln(B/G) of white, each with a standard uncertainty.

    `grid` is k x 3: possible ln(R/G), ln(B/G) of white and the weight of each; the weights sum to 1.
    """

    kind: str  # paper, card, other or none
    red_green: float
    blue_green: float
    uncertainty: float
    grid: Floats
    luminance: float  # linear luminance of white, 0 to 1; NaN where no white is in view


@dataclass(frozen=True)
class Card:
    """The printed reference card in a photo.

    `to_mm` is the homography from pixels of Photo.encoded (x right, y down, whole numbers in the middle of a pixel) to
    mm on the card; `possible` is k x 3 x 3, the same from corners moved by as much as they are uncertain.
    """

    paper: str
    to_mm: Floats
    possible: Floats
    markers: tuple[int, ...]  # those seen
    fault: float  # mm rms by which their corners miss the plane


@dataclass(frozen=True)
class Size:
    """The part's smallest rectangle in mm and area in mm², with standard uncertainties of the sides and of the area."""

    length: float
    width: float
    area: float
    uncertainty: float
    area_uncertainty: float
    how: str


@dataclass(frozen=True)
class Part:
    """Where the part is. `mask` is as large as Photo.linear; `box` is x, y, width, height in Photo.encoded."""

    mask: Mask
    box: tuple[int, int, int, int]
    quality: float  # 0 to 1: how clearly it stands out from its ground
    how: str


@dataclass(frozen=True)
class Scratch:
    """Where bare metal seems to show. `mask` is as large as Photo.linear; `box` is x, y, width, height in the photo."""

    mask: Mask
    box: tuple[int, int, int, int]
    certainty: float  # 0 to 1: chance that it is filed or scratched metal
    how: str


@dataclass(frozen=True)
class Patch:
    """The pixels a cue reads: the part, or the bare metal of a scratch on it.

    `colours` is n x 3 linear light, uncorrected, of the pixels fit to judge (not clipped, not in deep shadow);
    `white` is what neutral looks like there; `tile` is the part's luminance relative to its own median at one stated
    size (longer side at most 256 pixels) with NaN outside the part, `tile_colours` the same in colour, uncorrected.
    """

    colours: Floats
    white: White
    tile: Image
    tile_colours: Image
    detail: float  # photograph pixels behind one of the tile, along a side; below 1 the part is smaller than 256
    used: float  # share of the part's pixels that were fit to judge
    body: Floats | None = None  # median ln(R/G), ln(B/G) of `colours`; None where it was not taken beforehand
    small: Floats | None = None  # `tile_colours` at most 64 pixels long, NaN at the outline too; None likewise


@dataclass(frozen=True)
class Cue:
    """One thing measured in a photo. `measure` takes a Patch and gives the number, or NaN and the reason."""

    name: str
    unit: str
    low: float
    high: float
    sees: str
    source: str
    measure: Callable[[Patch], Reading]
    judged: bool = False  # True where the classifier uses it
    by_white: bool = False  # True where the reading moves with what is taken for white
    under: Callable[[Patch, Floats], Floats] | None = None  # the same under k x 2 whites, ln(R/G), ln(B/G), at once


@dataclass(frozen=True)
class Scene:
    """A photo with its part and its white, None where there is none."""

    photo: Photo
    part: Part | None
    white: White | None


@dataclass(frozen=True)
class Fault:
    """One thing that can be wrong with a photo: it is, where `measure` gives more than `limit`.

    `doubt` is how much less the photo says at `worst` and beyond, 0 to 1; `colour` whether its colour is touched.
    `measure` gives NaN where it can't tell.
    """

    name: str
    message: str
    measure: Callable[[Scene], float]
    limit: float
    worst: float
    doubt: float
    colour: bool
    source: str


# What is known --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Material:
    """One row of materials.csv. Densities in kg/m³, thickness in m."""

    id: str
    name: str
    family: str  # colour of the bare metal, as the eye names it: a value of --scratch-colour, or not-metal
    skin: str  # what an as-found surface shows over the metal: '' or chrome, nickel, tin, zinc, copper, brass, enamel
    density_low: float
    density_typical: float
    density_high: float
    magnet: Mapping[str, float]  # chance of none, weak, strong for a bare piece and a perfect tester; sums to 1
    thickness_low: float  # nine parts in ten lie between low and high
    thickness_high: float
    fresh: str
    aged: str
    look_alikes: tuple[str, ...]
    optics: tuple[str, ...]  # sets of optics.csv that give its bare colour; empty where nothing is published
    rests_on: tuple[str, ...]
    source: str
    trust: str
    core: str  # colour of a cut end inside the skin, named as family; '' where it varies
    hardness_low: float  # Brinell, of the core; NaN where it has none
    hardness_high: float
    yields_to: str  # what marks it where it has no Brinell hardness: nail, knife or nothing, '' where that varies
    iacs_low: float  # conductivity of the core in % of annealed copper; 0 for what is no metal
    iacs_high: float
    filings: str  # what a file takes off the core: curls, clogs, grains, chips, powder or shreds, '' where that varies
    spark: str  # at a grinder: long-white, short-red, few or none, '' where that varies
    dulls: float  # chance that a fresh scrape turns dull within minutes
    rings: float  # chance that a struck piece rings
    insulates: float  # chance that paint, lacquer, anodising or rust keeps a meter from the metal
    bench_source: str  # of hardness and conductivity; the chances and kinds are from memory
    bench_trust: str


@dataclass(frozen=True)
class OpticalConstants:
    """Refractive index n and extinction k of one metal over wavelength in nm."""

    id: str
    wavelength: Floats
    n: Floats
    k: Floats
    source: str
    trust: str


@dataclass(frozen=True)
class BareColour:
    """CIELAB of a bare polished metal against a perfect white, D65, CIE 1931 2 degrees."""

    id: str
    lightness: float
    a: float
    b: float
    source: str
    trust: str


@dataclass(frozen=True)
class Form:
    """One row of forms.csv. `likely` holds weights of at most 20; a material not named weighs 1."""

    id: str
    looks: str
    likely: Mapping[str, float]
    category: str  # where the form alone decides the pile, else ''
    always: tuple[str, ...]  # checks that a part of this form always owes, however sure it looks
    source: str
    trust: str


@dataclass(frozen=True)
class Category:
    """One row of categories.csv: a pile at the yard. The row applies where every filled condition holds."""

    id: str
    name: str
    also: str  # the trade specification's code word or number
    belongs: str
    downgrades: str
    materials: tuple[str, ...]
    forms: tuple[str, ...]
    thickness_from: float
    thickness_below: float
    source: str
    trust: str


@dataclass(frozen=True)
class Pile:
    """Where one part goes, and why. `state` is clean, dirty or unknown."""

    category: Category
    state: str
    reason: str


@dataclass(frozen=True)
class Caution:
    """One row of cautions.csv: shown where one of its materials, forms, words or checks is met."""

    id: str
    message: str
    materials: tuple[str, ...]
    forms: tuple[str, ...]
    words: tuple[str, ...]
    checks: tuple[str, ...]
    source: str
    trust: str


@dataclass(frozen=True)
class Danger:
    """One row of do-not.csv: what is left closed, whole or dry where one of its words or forms is met.

    None of its `forbids` (of ACTS) is ever proposed then; `who` takes the thing. A word of `unless` lifts the row.
    """

    id: str
    message: str
    who: str
    words: tuple[str, ...]
    forms: tuple[str, ...]
    unless: tuple[str, ...]
    forbids: tuple[str, ...]
    source: str
    trust: str


@dataclass(frozen=True)
class CheckPiece:
    """One row of check-pieces.csv: a thing of published mass in kg, with the standard uncertainty of one as found."""

    id: str
    words: tuple[str, ...]
    name: str
    mass: float
    tolerance: float
    source: str
    trust: str


@dataclass(frozen=True)
class Origin:
    """One row of objects.csv: a part of some object. `likely` holds weights of at most 20; one not named weighs 1."""

    id: str
    objects: tuple[str, ...]  # words for the object: ceiling fan
    parts: tuple[str, ...]  # words for the part of it; empty where any part is meant
    likely: Mapping[str, float]
    cautions: tuple[str, ...]  # ids of cautions.csv
    source: str
    trust: str


@dataclass(frozen=True)
class Mark:
    """One row of marks.csv: a way of marking a part, as a regular expression over tidied capitals."""

    id: str
    pattern: str
    means: str
    materials: tuple[str, ...]
    standard: str
    source: str
    trust: str


# What a person answers ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Amount:
    """An amount as typed, in SI, with the size of its last digit (a scale's step, as far as the digits tell)."""

    value: float
    step: float
    typed: str


@dataclass(frozen=True)
class Answer:
    """One answer. `value` is the outcome's name, or a number in `unit` with its standard uncertainty."""

    check: str
    value: str | float
    unit: str = ""
    uncertainty: float = 0.0
    typed: str = ""


Answers = Mapping[str, Answer]


@dataclass(frozen=True)
class Bench:
    """What stands on a user's bench: scales by name with their step in kg, tools, the magnet, whose words (uk, us)."""

    scales: Mapping[str, float] = field(default_factory=dict)
    tools: tuple[str, ...] = ()
    magnet: str = ""
    words: str = "uk"


@dataclass(frozen=True)
class Outcome:
    """One possible answer to a check. `width` is 1 for a named outcome, the width of the bin for a number."""

    answer: Answer
    width: float = 1.0


@dataclass(frozen=True)
class Check:
    """One thing a person can find out at a bench.

    `likelihood(material, answer, others)` is the chance (for a named outcome) or the density in `unit` (for a number)
    of that answer from a part of that material, given the other answers; never 0 or 1. `outcomes(others)` are the
    answers to reckon with beforehand, empty where the check can't be made; likelihood x width over them sums to 1.
    `slip` is the chance of a wrong answer where the truth is plain, NaN for what is only noted.
    `choices` are what one key answers: what it stands for, as it would be typed, and the words beside the key.
    """

    name: str
    question: str
    parse: Callable[[str], Answer]
    outcomes: Callable[[Answers], tuple[Outcome, ...]]
    likelihood: Callable[[Material, Answer, Answers], float]
    minutes: float
    how: str
    limits: str
    source: str
    trust: str
    cautions: tuple[str, ...] = ()
    asked: bool = True  # False for context that a person states but the program does not ask for
    slip: float = float("nan")
    acts: tuple[str, ...] = ()  # of ACTS: what is done to the part
    tool: str = ""  # what not every bench has; such a check is proposed only where it is owned, and last
    choices: tuple[tuple[str, str], ...] = ()
    by: tuple[str, ...] = ()  # checks that are typed one after the other to answer this one
    reads: tuple[str, ...] = ()  # other answers that its outcomes and likelihoods hang on, and no others
    replaces: tuple[str, ...] = ()  # checks of the same sense that say nothing more once this one is answered


# What is concluded ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class PhotoEvidence:
    """What one or several photos of one part say: log of photo(m) by material, and chances of the colour families."""

    log_photo: Mapping[str, float]
    families: Mapping[str, float]
    unlike: bool
    simulated: bool
    trusted_colour: bool  # white in view and nothing wrong with the light


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
    """The check that settles most a minute. `settles` is the chance that the pile is sure after it."""

    check: str
    settles: float
    how: str
    limits: str = ""


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


# What is kept ---------------------------------------------------------------------------------------------------------

ORIGINS = ("identify", "tag", "page", "added", "imported")
BY = ("analyser", "yard", "self")
"""Who may say what a part is, the surest first."""


@dataclass(frozen=True)
class KeptPhoto:
    """One photo of a kept part. `thumbnail` is a small JPEG without metadata, `likeness` its 32 bytes to know it by.

    `cues` holds every number that was measured, NaN where it could not be; `white` what was taken for neutral (`kind`,
    `red_green`, `blue_green`, `uncertainty`, `grid`); `log_photo` what the model made of it, empty where that was
    nothing.
    """

    file: str
    sha256: str
    cues: Mapping[str, float]
    white: Mapping[str, Any]
    log_photo: Mapping[str, float]
    likeness: bytes
    thumbnail: bytes = b""
    original: bytes | None = None  # the photo as it came, where that is kept too


@dataclass(frozen=True)
class Entry:
    """One part as it is handed over to be kept: what the machine said, and all it rests on.

    `pile` is the likeliest, settled or not; `document` is the part as `identify --json` gives it.
    """

    part: str
    origin: str  # of ORIGINS
    surface: str
    answers: Answers
    chances: Mapping[str, float]  # by material, largest first
    pile: str
    sure: bool
    model: tuple[str, str]  # name and digest
    document: Mapping[str, Any]
    photos: tuple[KeptPhoto, ...]


@dataclass(frozen=True)
class Label:
    """What a person said a part is: one material, or a set of them where only the pile was named."""

    record: int
    said_at: str  # UTC, ISO 8601
    by: str  # of BY
    yard: str
    materials: tuple[str, ...]
    pile: str
    note: str = ""
    withdrawn: bool = False  # it takes back what the same voice said before
    id: int = 0  # its number in the store


@dataclass(frozen=True)
class Kept:
    """One record as a list shows it: what the machine said, and beside it what a person said, where one did."""

    record: int
    kept_at: str
    part: str
    origin: str
    surface: str
    material: str
    chance: float
    pile: str
    sure: bool
    label: Label | None
    removed: bool
    package: str = ""  # that it was imported with


@dataclass(frozen=True)
class Page:
    """Some rows of a list, the newest first; `before` asks for the next ones, None where there are no more."""

    rows: tuple[Kept, ...]
    before: int | None


@dataclass(frozen=True)
class Whole:
    """One record with everything that was kept of it; `labels` in the order they were said."""

    kept: Kept
    answers: Answers
    chances: Mapping[str, float]
    model: tuple[str, str]
    document: Mapping[str, Any]
    photos: tuple[KeptPhoto, ...]
    labels: tuple[Label, ...]
    same: tuple[int, ...]  # other records of the same photo, or of one alike


@dataclass(frozen=True)
class Sample:
    """One confirmed part, as learning and reports take it.

    `materials` and `weight` are of the label that counts; `labels` are all that stand, one a voice. Where `materials`
    is empty, only the pile is known. Parts of one `group` share a photo, or one alike, and belong on one side of any
    split.
    """

    record: int
    group: int
    kept_at: str
    part: str
    surface: str
    answers: Answers
    chances: Mapping[str, float]  # as the machine gave them before anybody said
    pile: str  # the machine's
    sure: bool
    model: tuple[str, str]
    photos: tuple[KeptPhoto, ...]
    label: Label
    labels: tuple[Label, ...]
    materials: tuple[str, ...]
    weight: float  # what the label is worth, times what its package is
    tests: bool  # whether it may stand in a test split: never on one's own word
    at_random: bool  # picked at random for confirming
    package: str
