"""What idkit knows, for the shells to list, name and show."""

from __future__ import annotations

from importlib import resources

from idkit import ask, facts, see
from idkit.vocabulary import Category, Check, Danger, Mark, Material, Origin


def known_materials() -> tuple[Material, ...]:
    """Every material, in the table's order."""
    return tuple(facts.materials().values())


def known_checks() -> tuple[Check, ...]:
    """Every check, the quickest first."""
    return tuple(ask.checks().values())


def named_answers(check: Check) -> tuple[str, ...]:
    """The answers of a check that are names, not numbers; none for a number."""
    if check.name == "form":
        return tuple(facts.forms())
    if check.choices:
        return tuple(typed for typed, _ in check.choices)
    return tuple(value for each in check.outcomes({}) if isinstance(value := each.answer.value, str))


def not_told_apart(check: Check) -> tuple[tuple[str, str], ...]:
    """Pairs of look-alikes that a check can't split, by id."""
    return ask.cannot_split(check)


def known_categories() -> tuple[Category, ...]:
    """Every pile, in the table's order."""
    return tuple(facts.categories().values())


def known_dangers() -> tuple[Danger, ...]:
    """Every danger, the gravest first."""
    return tuple(facts.dangers().values())


def known_origins() -> tuple[Origin, ...]:
    """Every object and part that came-out-of knows."""
    return tuple(facts.origins().values())


def known_marks() -> tuple[Mark, ...]:
    """Every way of marking a part."""
    return tuple(facts.marks().values())


def name_of(material: str) -> str:
    """A material's name in words."""
    return facts.material(material).name


def category_name(category: str) -> str:
    """A pile's name in words."""
    return facts.categories()[category].name


def card_pdf(paper: str) -> bytes:
    """The reference card as a PDF page; CallError for a paper there is no card for."""
    return see.card_pdf(paper)


def samples_folder() -> resources.abc.Traversable:
    """The sample parts that came with idkit: index.csv and their pictures."""
    return beside("sample_images")


def beside(name: str) -> resources.abc.Traversable:
    """A folder that travels inside the wheel, and lies next to the package in a checkout."""
    inside = resources.files("idkit").joinpath(name)
    return inside if inside.is_dir() else resources.files("idkit").joinpath("..", name)
