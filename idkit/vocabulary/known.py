"""What is known of materials, forms, piles, dangers and marks: one row of a table each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from idkit.vocabulary.arrays import Floats

ACTS = ("handle", "file", "grind", "cut", "open", "wet", "strike")
"""What a check does to a part; a danger forbids acts, and with them every check that needs one."""


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
    """One row of categories.csv: a pile at the yard. The row applies where every filled condition holds; one without
    any is only ever named. `buyer` is who takes it, of KINDS."""

    id: str
    name: str
    also: str  # the trade specification's code word or number
    belongs: str
    downgrades: str
    limits: str  # published ones, each with its source; '' where there are none
    materials: tuple[str, ...]
    forms: tuple[str, ...]
    words: tuple[str, ...]
    thickness_from: float
    thickness_below: float
    buyer: str
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

    None of its `forbids` (of ACTS) is ever proposed then; `who` takes the thing. What is `called` alike does not count,
    and a word of `unless` lifts the row.
    """

    id: str
    message: str
    who: str
    words: tuple[str, ...]
    forms: tuple[str, ...]
    called: tuple[str, ...]
    unless: tuple[str, ...]
    forbids: tuple[str, ...]
    source: str
    trust: str

    @property
    def leave_alone(self) -> bool:
        """Whether nobody should so much as carry it about."""
        return "handle" in self.forbids

    @property
    def leave_closed(self) -> bool:
        """Whether it is sold by no verdict of ours: it is left alone, or whole and closed."""
        return self.leave_alone or "open" in self.forbids


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
