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
from idkit.decide import classifier, modelfile, verdict
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
    Size,
    White,
)

STARTER = "starter"
JUDGED = tuple(cue for cue in see.CUES if cue.judged)
REASONED = ("hue", "chroma")  # cues that reasons speak of beside the judged ones
MANY = 10  # parts in a picture from which their number is not said
CARD_AMONG_PARTS = "the printed card is in this picture: what is printed on it may be taken for parts; leave it out"
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
    seen, unread = _look_at_all(photos, model, known_surface, scratch, _cues(every_cue=every_cue))
    context = Context(known_surface, came_out_of, marked, even)
    part = Path(photos[0]).stem if photos else "part"
    return Identified(_record(part, seen, answers, context, model), tuple(seen), tuple(unread))


def identify_each(
    photos: Sequence[Path],
    typed: Mapping[str, str],
    *,
    surface: str = "as-found",
    came_out_of: str = "",
    marked: str = "",
    even: bool = False,
    every_cue: bool = True,
) -> Several:
    """Every part in every photo, named after its photo and numbered in reading order; the answers hold for all of them.

    PhotoError where no photo can be read; CallError where there is none.
    """
    answers = ask.read(typed)
    if not photos:
        raise CallError("--each", "got no photo", "a photo of several parts on a plain ground", "name one")
    model, context = starter(), Context(surface, came_out_of, marked, even)
    known, unread = _read_all(photos)
    found: list[tuple[Photo, tuple[Identified, ...]]] = []
    for photo in known:
        name = Path(photo.file).stem
        seen = look_at_each(photo, model, surface, _cues(every_cue=every_cue))
        records = (_record(f"{name}-{number}", [one], answers, context, model) for number, one in enumerate(seen, 1))
        found.append((photo, tuple(Identified(record, (one,), ()) for record, one in zip(records, seen, strict=True))))
    return Several(tuple(found), tuple(unread))


@dataclass(frozen=True)
class Context:
    """What holds for a part beside its photos and answers; `even` takes all materials to be equally common."""

    surface: str
    came_out_of: str
    marked: str
    even: bool


def _record(part: str, seen: Sequence[Seen], answers: Answers, context: Context, model: classifier.Model) -> Record:
    """The verdict on one part and all it rests on."""
    evidence = _evidence(seen, answers, context.surface)
    form = _value(answers, "form")
    text = " ".join((context.came_out_of, context.marked))
    decided = verdict.decide(
        evidence,
        known_materials(),
        facts.form(form or "unknown"),
        ask.checks(),
        model,
        _pile_of,
        partial(_cautions, form=form, text=text),
        even=context.even,
        open_line=facts.thickness_is_open(form),
        forbidden=_forbidden(form, text),
    )
    return Record(
        part=part,
        box=seen[0].part.box if len(seen) == 1 and seen[0].part else None,
        photos=tuple(each.report for each in seen),
        colour=_colour(seen),
        colour_uncertainty=_colour_uncertainty(seen),
        surface=context.surface,
        answers=answers,
        density=_density(answers),
        came_out_of=context.came_out_of,
        marked=context.marked,
        verdict=decided,
        model=(model.name, model.digest),
        size=_size(seen),
    )


def look(photo: Photo, model: classifier.Model, surface: str, scratch: Box | None, cues: Sequence[Cue]) -> Seen:
    """Measure one photo: find the part and white, read the cues, and what the classifier makes of them."""
    card = see.find_card(photo)
    found = see.find_on_card(photo, card) if card else see.find(photo)
    notes = see.card_problems(photo, card) if card else ()
    if found is not None and scratch is None and card is None:
        found, others = _meant(photo, found)
        notes = (*notes, *others)
    white = (see.card_white(photo, card, found) if card else None) or see.white(photo, found or see.whole(photo))
    seen = _measured(photo, found, white, model, surface, scratch, cues, notes)
    return replace(seen, size=see.size(photo, card, found)) if card and found else seen


def look_at_each(photo: Photo, model: classifier.Model, surface: str, cues: Sequence[Cue]) -> list[Seen]:
    """Measure each of several parts in one photo against the one white that is in it; empty where none is found."""
    parts = see.find_each(photo)
    if not parts:
        return []
    white = see.white(photo, see.together(parts))
    notes = (CARD_AMONG_PARTS,) if see.find_card(photo) else ()
    return [_measured(photo, part, white, model, surface, None, cues, notes) for part in parts]


def _meant(photo: Photo, part: Part) -> tuple[Part, tuple[str, ...]]:
    """The part to measure, and a line where it is plainly one of several."""
    taken, count = see.among(photo, part)
    if count < 2:
        return part, ()
    many = f"{count}" if count < MANY else f"{MANY} or more"
    return taken, (f"{many} parts in this picture: the one in the middle was taken; say --each for all",)


def _measured(
    photo: Photo,
    found: Part | None,
    white: White,
    model: classifier.Model,
    surface: str,
    scratch: Box | None,
    cues: Sequence[Cue],
    notes: tuple[str, ...],
) -> Seen:
    """The cues of one part under that white; `notes` are faults of the photo that were seen on the way to it."""
    part = found or see.whole(photo)
    patch = see.of_box(photo, scratch, white) if scratch else see.of_part(photo, part, white)
    fitness = see.judge(photo, found, white)
    evidence = None
    if found is not None or scratch:
        rows = _rows(patch)
        weights, trusted = white.grid[:, 2], fitness.trusted_colour and not notes
        evidence = classifier.photo_evidence(
            model, rows, weights, surface, trusted=trusted, coloured=photo.coloured, doubt=fitness.doubt
        )
    families = evidence.families if evidence else {}
    readings = tuple(cue.measure(patch) for cue in cues)
    report = PhotoReport(photo.file, photo.sha256, white, (*fitness.problems, *notes), families, readings)
    return Seen(photo, found, patch, report, evidence, scratch)


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
    photos: Sequence[Path], model: classifier.Model, surface: str, scratch: Box | None, cues: Sequence[Cue]
) -> tuple[list[Seen], list[IdkitError]]:
    known, unread = _read_all(photos)
    return [look(photo, model, surface, scratch, cues) for photo in known], unread


def _read_all(photos: Sequence[Path]) -> tuple[list[Photo], list[IdkitError]]:
    """The photos that can be read, each once; PhotoError where none can."""
    known: dict[str, Photo] = {}
    unread: list[IdkitError] = []
    for path in photos:
        try:
            photo = see.read(Path(path))
        except IdkitError as error:
            unread.append(error)
            continue
        known.setdefault(photo.sha256, photo)  # the same photo twice says no more than once
    if photos and not known:
        raise unread[0]
    return list(known.values()), unread


def _cues(*, every_cue: bool) -> tuple[Cue, ...]:
    return tuple(cue for cue in see.CUES if every_cue or cue.judged or cue.name in REASONED)


def _rows(patch: Patch) -> Floats:
    """The judged cues under each possible white, whites x cues."""
    under = (replace(patch.white, red_green=r, blue_green=b) for r, b, _ in patch.white.grid.tolist())
    return np.array([[cue.measure(replace(patch, white=white)).value for cue in JUDGED] for white in under])


def _evidence(seen: Sequence[Seen], answers: Answers, surface: str) -> Evidence:
    of_photos = [each.evidence for each in seen if each.evidence is not None]
    problems = tuple(dict.fromkeys(problem for each in seen for problem in each.report.problems))
    readings: tuple[Reading, ...] = seen[0].report.readings if seen else ()
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
