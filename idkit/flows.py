"""The whole paths, each one call: hands checks, cue tables and piles from room to room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from importlib import resources
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from idkit import ask, facts, see
from idkit.decide import classifier, mixture, modelfile, verdict
from idkit.decide.reasons import tenths as tenths
from idkit.errors import CallError, IdkitError
from idkit.vocabulary import (
    Answers,
    Category,
    Caution,
    Check,
    Cue,
    Evidence,
    Floats,
    Material,
    Part,
    Patch,
    Photo,
    PhotoEvidence,
    PhotoReport,
    Pile,
    Reading,
    Record,
    Scratch,
    Size,
    White,
)

STARTER = "starter"
JUDGED = tuple(cue for cue in see.CUES if cue.judged)
REASONED = ("hue", "chroma")  # cues that reasons speak of beside the judged ones
WORTH_SAYING = 0.3  # certainty of bare metal from which it is said and drawn
DOUBTED_BOX = 0.5  # chance that a box off the part is where the person meant it; from memory
Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class Seen:
    """What one photo gave: the photo, its part, and what was measured. `part` is None where none was found."""

    photo: Photo
    part: Part | None
    patch: Patch | None
    report: PhotoReport
    evidence: PhotoEvidence | None
    scratch: Box | None = None
    size: Size | None = None
    bare: Scratch | None = None
    spoken: tuple[Reading, ...] = ()  # cues of the bare metal that reasons speak of, where it outweighs the skin


@dataclass(frozen=True)
class Identified:
    """One identified part, what was seen in its photos, and the photos that could not be read."""

    record: Record
    seen: tuple[Seen, ...]
    unread: tuple[IdkitError, ...]


def identify(
    photos: Sequence[Path],
    typed: Mapping[str, str],
    *,
    surface: str | None = None,
    scratch: Box | None = None,
    came_out_of: str = "",
    marked: str = "",
    even: bool = False,
    every_cue: bool = True,
) -> Identified:
    """One part from its photos, what was measured, or both.

    `typed` holds answers as typed, by the names of the checks. Photos that can't be read are given back beside the
    verdict on the others; PhotoError where none can be. CallError where there is neither photo nor answer.
    Without `every_cue` only the cues that bear on the verdict and its reasons are measured, which is quicker.
    """
    answers = ask.read(typed)
    if not photos and not answers:
        raise CallError("identify", "got no photo and no answer", "a photo, --magnet or another answer, or both")
    model = starter()
    known_surface = surface or ("scratched" if scratch else "as-found")
    search = known_surface == "as-found" and "scratch-colour" not in answers  # what the eye saw bare counts once
    seen, unread = _look_at_all(photos, model, known_surface, scratch, _cues(every_cue=every_cue), search)
    evidence = _evidence(seen, answers, known_surface)
    form = _value(answers, "form")
    text = " ".join((came_out_of, marked))
    decided = verdict.decide(
        evidence,
        known_materials(),
        facts.form(form or "unknown"),
        ask.checks(),
        model,
        _pile_of,
        partial(_cautions, form=form, text=text),
        even=even,
        open_line=facts.thickness_is_open(form),
        forbidden=_forbidden(form, text),
    )
    record = Record(
        part=Path(photos[0]).stem if photos else "part",
        box=seen[0].part.box if len(seen) == 1 and seen[0].part else None,
        photos=tuple(each.report for each in seen),
        colour=_colour(seen),
        colour_uncertainty=_colour_uncertainty(seen),
        surface=known_surface,
        answers=answers,
        density=_density(answers),
        came_out_of=came_out_of,
        marked=marked,
        verdict=replace(decided, reasons=(*decided.reasons, *_bare_said(seen))),
        model=(model.name, model.digest),
        size=_size(seen),
    )
    return Identified(record, tuple(seen), tuple(unread))


def look(
    photo: Photo,
    model: classifier.Model,
    surface: str,
    scratch: Box | None,
    cues: Sequence[Cue],
    *,
    search: bool = True,
) -> Seen:
    """Measure one photo: find the part and white, read the cues, and what the classifier makes of them.

    With `search` bare metal is looked for on a part as found, and weighs as much as it is sure.
    """
    card = see.find_card(photo)
    found = see.find_on_card(photo, card) if card else see.find(photo)
    part = found or see.whole(photo)
    white = (see.card_white(photo, card, found) if card else None) or see.white(photo, part)
    patch, said = see.of_named_box(photo, scratch, found, white) if scratch else (see.of_part(photo, part, white), ())
    fitness = see.judge(photo, found, white)
    notes = (*(see.card_problems(photo, card) if card else ()), *said)
    judged = partial(_judged, photo, model, trusted=fitness.trusted_colour and not notes, doubt=fitness.doubt)
    evidence = judged(patch, surface) if found is not None or scratch else None
    bare: Scratch | None = None
    spoken: tuple[Reading, ...] = ()
    if scratch and evidence is not None and see.OFF_PART in said:
        evidence = mixture.mixed(DOUBTED_BOX, evidence, judged(see.of_part(photo, part, white), "as-found"))
    elif search and not scratch and surface == "as-found" and found is not None and evidence is not None:
        bare, spot = _bare(photo, found, white)
        if bare is not None and spot is not None:
            evidence = mixture.mixed(bare.certainty, judged(spot, "scratched"), evidence)
            spoken = tuple(cue.measure(spot) for cue in cues if cue.name in REASONED) if bare.certainty >= 0.5 else ()
    report = PhotoReport(
        photo.file,
        photo.sha256,
        white,
        (*fitness.problems, *notes),
        evidence.families if evidence else {},
        tuple(cue.measure(patch) for cue in cues),
        bare.box if bare else None,
        bare.certainty if bare else float("nan"),
    )
    size = see.size(photo, card, found) if card and found else None
    return Seen(photo, found, patch, report, evidence, scratch, size, bare, spoken)


def _judged(
    photo: Photo, model: classifier.Model, patch: Patch, surface: str, *, trusted: bool, doubt: float
) -> PhotoEvidence:
    return classifier.photo_evidence(
        model, _rows(patch), patch.white.grid[:, 2], surface, trusted=trusted, coloured=photo.coloured, doubt=doubt
    )


def _bare(photo: Photo, part: Part, white: White) -> tuple[Scratch | None, Patch | None]:
    """Bare metal on the part and its patch; the patch None where too little of it is fit to judge."""
    found = see.find_scratch(photo, part, white)
    if found is None:
        return None, None
    patch = see.of_mask(photo, found.mask, found.box, white)
    return found, patch if len(patch.colours) >= see.FEWEST else None


def _bare_said(seen: Sequence[Seen]) -> tuple[str, ...]:
    """One sentence for each photo in which bare metal seems to show."""
    said = []
    for each in seen:
        if each.bare is not None and each.bare.certainty >= WORTH_SAYING:
            where = f"in {Path(each.photo.file).name} " if len(seen) > 1 else ""
            box = ",".join(map(str, each.bare.box))
            said.append(
                f"{where}bare metal seems to show at {box}: read as a scratch with {tenths(each.bare.certainty)}; "
                "name the box with --scratch if it is one"
            )
    return tuple(said)


@cache
def starter() -> classifier.Model:
    """The model that came with idkit."""
    with resources.as_file(_beside("models")) as folder:
        return modelfile.load(folder, STARTER, [cue.name for cue in JUDGED], list(facts.materials()))


def train_starter(rows: Path, folder: Path, parts: int = 2000, seed: int = 1) -> Path:
    """Train the starter model on simulated rows and write it with its card; returns the card's path.

    Likely sets are calibrated on `parts` simulated parts for each evidence pattern, their photos held-out rows under a
    white that is known (7 in 10) or not.
    """
    from idkit.decide import bench, learn

    with np.load(rows, allow_pickle=False) as kept:
        table = {name: kept[name].tolist() for name in ("cues", "material", "surface", "family")}
        values = kept["values"].astype(float)
    trained, held, score = learn.train(
        table["cues"], values, table["material"], table["surface"], table["family"], STARTER, seed
    )
    material, surface = ([table[name][i] for i in held] for name in ("material", "surface"))
    farthest, unknown = learn.held_out_limits(trained, values[held], surface, material)
    model = replace(trained, farthest=farthest, unknown=unknown)
    photo_of = partial(_simulated_photo, model, values[held], np.array(material), np.array(surface))
    thresholds = bench.thresholds(known_materials(), facts.forms(), ask.checks(), photo_of, parts, seed)
    card = learn.card(values, table["material"], table["surface"], score, parts, seed)
    return modelfile.save(replace(model, thresholds=thresholds, card=card), folder)


def _simulated_photo(
    model: classifier.Model,
    values: Floats,
    materials: NDArray[np.str_],
    surfaces: NDArray[np.str_],
    material: str,
    surface: str,
    random: np.random.Generator,
) -> PhotoEvidence:
    """A held-out row of that material and surface, as seen under a white that is known only so well."""
    alike = np.flatnonzero((materials == material) & (surfaces == surface))
    pool = alike if len(alike) else np.arange(len(values))
    row = values[pool[int(random.integers(len(pool)))]]
    known = bool(random.random() < 0.7)
    spread = see.PAPER if known else see.CAMERA_LOST
    off = random.normal(0, spread) * see.MIRED
    grid = see.possible_whites(np.zeros(2), spread)
    rows = np.repeat(row[None], len(grid), axis=0)
    for axis, name in enumerate(("red_green", "blue_green")):
        rows[:, model.cues.index(name)] += off[axis] - grid[:, axis]
    return classifier.photo_evidence(model, rows, grid[:, 2], surface, trusted=known)


def _beside(name: str) -> resources.abc.Traversable:
    """A folder that travels inside the wheel, and lies next to the package in a checkout."""
    inside = resources.files("idkit").joinpath(name)
    return inside if inside.is_dir() else resources.files("idkit").joinpath("..", name)


def _look_at_all(
    photos: Sequence[Path],
    model: classifier.Model,
    surface: str,
    scratch: Box | None,
    cues: Sequence[Cue],
    search: bool,
) -> tuple[list[Seen], list[IdkitError]]:
    seen: list[Seen] = []
    unread: list[IdkitError] = []
    hashes: set[str] = set()
    for path in photos:
        try:
            photo = see.read(Path(path))
        except IdkitError as error:
            unread.append(error)
            continue
        if photo.sha256 not in hashes:  # the same photo twice says no more than once
            hashes.add(photo.sha256)
            seen.append(look(photo, model, surface, scratch, cues, search=search))
    if photos and not seen:
        raise unread[0]
    return seen, unread


def _cues(*, every_cue: bool) -> tuple[Cue, ...]:
    return tuple(cue for cue in see.CUES if every_cue or cue.judged or cue.name in REASONED)


def _rows(patch: Patch) -> Floats:
    """The judged cues under each possible white, whites x cues."""
    under = (replace(patch.white, red_green=r, blue_green=b) for r, b, _ in patch.white.grid.tolist())
    return np.array([[cue.measure(replace(patch, white=white)).value for cue in JUDGED] for white in under])


def _evidence(seen: Sequence[Seen], answers: Answers, surface: str) -> Evidence:
    of_photos = [each.evidence for each in seen if each.evidence is not None]
    problems = tuple(dict.fromkeys(problem for each in seen for problem in each.report.problems))
    readings: tuple[Reading, ...] = seen[0].spoken or seen[0].report.readings if seen else ()
    return Evidence(classifier.together(of_photos) if of_photos else None, answers, surface, problems, readings)


def _pile_of(material: str, answers: Answers) -> Pile:
    thickness = float(answers["thickness"].value) if "thickness" in answers else None
    return facts.category_of(material, _value(answers, "form"), thickness, _value(answers, "attached"))


def _forbidden(form: str | None, text: str) -> set[str]:
    """Checks never proposed for what this came out of, its marks or its form: it is left closed."""
    return {check for caution in facts.cautions_for((), form=form, text=text) for check in caution.forbids}


def _cautions(materials: Sequence[str], check: str | None, *, form: str | None, text: str) -> tuple[Caution, ...]:
    """The cautions that apply, the gravest first: of the likely materials, the form, the words and the next check."""
    return facts.cautions_for(materials, form=form, text=text, check=check)


def _value(answers: Answers, name: str) -> str | None:
    return str(answers[name].value) if name in answers else None


def _density(answers: Answers) -> tuple[float, float] | None:
    measured = answers.get("weight-in-water")
    return (float(measured.value), measured.uncertainty) if measured else None


def _colour(seen: Sequence[Seen]) -> tuple[float, float, float] | None:
    found = [see.lab(each.patch) for each in seen if each.patch is not None and each.part is not None]
    known = [lab for lab in found if lab is not None]
    if not known:
        return None
    lightness, a, b = np.mean(known, axis=0).tolist()
    return lightness, a, b


def _colour_uncertainty(seen: Sequence[Seen]) -> float:
    colour = _colour(seen)
    chroma = float(np.hypot(colour[1], colour[2])) if colour else 0.0
    return float(np.mean([b_star_uncertainty(each.report.white.uncertainty, chroma) for each in seen] or [np.nan]))


def b_star_uncertainty(of_white: float, chroma: float) -> float:
    """Standard uncertainty of b* in CIELAB units that the white (in ln ratio) and the phone's own colours leave.

    A neutral of L* 70 moves by about 45 units for one unit of ln(B/G): d(b*)/d(ln Z) is 200 f(Z)/3, f(Z) near 0.7.
    Phones make colours stronger by 5 to 15 per cent, each in its way: 8 per cent of the chroma, from memory.
    """
    return float(np.hypot(45.0 * of_white, 0.08 * chroma))


def _size(seen: Sequence[Seen]) -> Size | None:
    """The surest size by the card, of several photos."""
    return min((each.size for each in seen if each.size), key=lambda size: size.uncertainty, default=None)


def card_pdf(paper: str) -> bytes:
    """The reference card as a PDF page; CallError for a paper there is no card for."""
    return see.card_pdf(paper)


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
    return tuple(value for each in check.outcomes({}) if isinstance(value := each.answer.value, str))


def known_categories() -> tuple[Category, ...]:
    """Every pile, in the table's order."""
    return tuple(facts.categories().values())


def name_of(material: str) -> str:
    """A material's name in words."""
    return facts.material(material).name


def category_name(category: str) -> str:
    """A pile's name in words."""
    return facts.categories()[category].name


def samples_folder() -> resources.abc.Traversable:
    """The sample parts that came with idkit: index.csv and their pictures."""
    return _beside("sample_images")
