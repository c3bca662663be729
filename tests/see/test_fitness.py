"""Each fault of a photo is said where it was painted, and not where it was not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit import see
from idkit.see.srgb import linear, linear_to_srgb, srgb_to_linear
from idkit.vocabulary import Fault, Part, Photo, Scene

SAMPLES = sorted((Path(__file__).parents[2] / "sample_images").glob("*.jpg"))
FAULTS = {fault.name: fault for fault in see.FAULTS}
WHITE, BRASS, COPPER = (np.array(colour) for colour in ((0.6, 0.6, 0.6), (0.45, 0.33, 0.12), (0.5, 0.22, 0.12)))
Spoil = Callable[[np.ndarray], np.ndarray]


def disc(part: np.ndarray = BRASS, ground: np.ndarray = WHITE, radius: int = 120, grain: float = 0.02) -> np.ndarray:
    """Linear light, 360 x 480: a disc lit from one side, as a lens draws its outline, with grain."""
    y, x = np.mgrid[:360, :480]
    inside = np.clip(radius + 0.5 - np.hypot(y - 180, x - 240), 0, 1)
    covered = cv2.GaussianBlur(inside.astype(np.float64), (0, 0), 0.7)[..., None]
    shade = (1 + 0.4 * (x - 240) / 480)[..., None]
    random = np.random.default_rng(3)
    light = np.where(covered > 0, covered * part * shade, 0) + (1 - covered) * ground
    return np.maximum(light * (1 + random.normal(0, grain, light.shape)), 0)


def the_part(radius: int = 120) -> Part:
    y, x = np.mgrid[:360, :480]
    mask = (y - 180) ** 2 + (x - 240) ** 2 < radius**2
    return Part(mask, (240 - radius, 180 - radius, 2 * radius, 2 * radius), 1.0, "painted")


def said(photo: Photo, part: Part | None) -> set[str]:
    """Names of the faults found."""
    found = see.judge(photo, part, see.white(photo, part) if part else None).problems
    return {name for name, fault in FAULTS.items() if fault.message in found}


def on_codes(spoil: Spoil) -> Spoil:
    """A change of encoded values, 0 to 255, made to linear light."""
    return lambda light: srgb_to_linear(np.clip(np.round(spoil(255 * linear_to_srgb(light))), 0, 255) / 255)


def luma(codes: np.ndarray) -> np.ndarray:
    return (codes @ np.array([0.299, 0.587, 0.114]))[..., None]


# The tint of a sepia filter: red, green and blue of the grey it is laid on; from memory.
SPOILT: dict[str, tuple[str, Spoil]] = {
    "three stops less": ("dark", lambda light: light / 8),
    "three stops more": ("blown-out", lambda light: light * 12),
    "paper blown out": ("blown-white", lambda light: light * 2),
    "out of focus": ("blurred", lambda light: cv2.GaussianBlur(light, (0, 0), 7)),
    "moved": ("blurred", lambda light: cv2.blur(light, (25, 1))),
    "sepia": ("one-tint", on_codes(lambda codes: luma(codes) * (0.98, 0.82, 0.6))),
    "too colourful": ("strong-colours", on_codes(lambda codes: luma(codes) + 3.5 * (codes - luma(codes)))),
    "eight levels": ("few-levels", on_codes(lambda codes: np.round(codes / 36) * 36)),
    "lamp and window": ("two-lights", lambda light: light * between((1.25, 1.0, 0.6), (0.9, 1.0, 1.15))),
    "white frame": ("border", lambda light: framed(light, 1.0)),
    "grey bars": ("border", lambda light: framed(light, 0.88)),
    "black bar on one side": ("border", lambda light: np.pad(light[:, 40:], ((0, 0), (40, 0), (0, 0)))),
}


def between(left: tuple[float, ...], right: tuple[float, ...]) -> np.ndarray:
    """A light that goes over into another across the picture; 1 x 480 x 3."""
    share = 1 / (1 + np.exp(-np.linspace(-4, 4, 480)))[None, :, None]
    return (1 - share) * np.array(left) + share * np.array(right)


def framed(light: np.ndarray, tone: float) -> np.ndarray:
    """The same with twenty pixels of one tone about it."""
    inside = light.copy()
    inside[:20], inside[-20:], inside[:, :20], inside[:, -20:] = tone, tone, tone, tone
    return inside


def test_a_good_photo_has_no_faults(paint) -> None:
    for part in (BRASS, COPPER, np.full(3, 0.3)):
        fitness = see.judge(paint(disc(part)), the_part(), see.white(paint(disc(part)), the_part()))
        assert fitness.problems == ()
        assert fitness.doubt == 0
        assert fitness.trusted_colour


def test_paper_that_is_blown_out_to_the_edges_is_no_border(paint) -> None:
    assert "border" not in said(paint(np.minimum(disc() * 2.5, 1.0)), the_part())


def test_a_smooth_part_is_not_called_blurred(paint) -> None:
    """No grain, no edge but the outline."""
    assert "blurred" not in said(paint(disc(grain=0.0)), the_part())


@pytest.mark.parametrize("how", SPOILT)
def test_each_fault_is_said_and_makes_the_photo_say_as_much_less_as_its_row_says(paint, how: str) -> None:
    name, spoil = SPOILT[how]
    light = spoil(disc())
    part = the_part()
    photo = paint(light)
    assert name in said(photo, part)
    fitness = see.judge(photo, part, see.white(photo, part))
    assert (fitness.doubt > 0) == (FAULTS[name].doubt > 0)
    assert not (FAULTS[name].colour and fitness.trusted_colour)


def test_a_small_part_is_said(paint) -> None:
    assert said(paint(disc(radius=15)), the_part(15)) == {"small"}
    assert "small" not in said(paint(disc(radius=40)), the_part(40))


def test_no_white_is_said_and_adds_no_doubt_of_its_own(paint) -> None:
    """The wide grid of possible whites carries that doubt already."""
    streaks = cv2.GaussianBlur(np.random.default_rng(6).normal(0, 1.5, (360, 480, 3)), (0, 0), 6)
    photo = paint(disc(ground=np.array((0.3, 0.17, 0.08)) * np.exp(streaks)))
    fitness = see.judge(photo, the_part(), see.white(photo, the_part()))
    assert fitness.problems == (FAULTS["no-white"].message,)
    assert fitness.doubt == 0
    assert not fitness.trusted_colour


def test_no_part_is_said_with_the_faults_of_the_file(paint) -> None:
    faulty = replace(paint(disc(part=WHITE)), problems=("transparent ground",))
    assert see.problems(faulty, None, None) == ("transparent ground", FAULTS["no-part"].message)


@pytest.mark.parametrize("fault", see.FAULTS, ids=[fault.name for fault in see.FAULTS])
def test_every_fault_says_what_to_do_and_doubts_the_more_the_worse_it_is(fault: Fault) -> None:
    assert ": " in fault.message
    assert fault.limit < fault.worst
    grows = [see.doubt_of(fault, value) for value in np.linspace(fault.limit, 2 * fault.worst, 9)]
    assert grows[0] == 0
    assert grows == sorted(grows)
    assert grows[-1] == fault.doubt
    assert see.doubt_of(fault, float("nan")) == 0


def test_doubts_of_several_faults_combine(paint) -> None:
    """1 - prod(1 - doubt), and no more than 1."""
    photo, part = paint(cv2.GaussianBlur(disc() / 8, (0, 0), 7)), the_part()
    white = see.white(photo, part)
    fitness = see.judge(photo, part, white)
    assert said(photo, part) >= {"dark", "blurred"}
    alone = [see.doubt_of(fault, fault.measure(Scene(photo, part, white))) for fault in see.FAULTS]
    assert fitness.doubt == pytest.approx(1 - np.prod([1 - doubt for doubt in alone]))
    assert fitness.doubt > max(alone)


# Filters, and what only looks like them -------------------------------------------------------------------------------

# Linear light: cream and coloured card, cloth, a bench; from memory.
GROUNDS = {
    "cream": (0.80, 0.70, 0.52),
    "yellow card": (0.75, 0.52, 0.10),
    "red cloth": (0.35, 0.05, 0.04),
    "blue card": (0.08, 0.16, 0.40),
    "brown board": (0.30, 0.17, 0.08),
}
PARTS = {"brass": BRASS, "copper": COPPER, "grey": np.full(3, 0.3), "dark": np.full(3, 0.03)}


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("grain", [0.004, 0.02])
def test_a_flat_coloured_ground_is_no_filter(tmp_path: Path, ground: str, part: str, grain: float) -> None:
    codes = np.round(255 * linear_to_srgb(np.clip(disc(PARTS[part], np.array(GROUNDS[ground]), grain=grain), 0, 1)))
    found = said(saved(tmp_path, codes.astype(np.uint8)), the_part())
    assert not found & {"one-tint", "few-levels"}


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("mired", [-40, 40])
def test_a_cast_that_the_camera_left_is_no_filter(tmp_path: Path, part: str, mired: float) -> None:
    cast = np.exp([mired * see.MIRED[0], 0, mired * see.MIRED[1]])
    codes = np.round(255 * linear_to_srgb(np.clip(disc(PARTS[part]) * cast, 0, 1))).astype(np.uint8)
    assert "one-tint" not in said(saved(tmp_path, codes), the_part())


@pytest.mark.parametrize("part", ["brass", "copper"])
@pytest.mark.parametrize("gain", [1.4, 1.7, 2.0])
def test_blown_out_warm_paper_beside_a_coloured_part_is_no_filter(tmp_path: Path, part: str, gain: float) -> None:
    """Red and green clip, blue does not quite: as if what is a tint on the part had been laid on the paper as well."""
    cast = gain * np.exp([10 * see.MIRED[0], 0, 10 * see.MIRED[1]])
    light = disc(PARTS[part], ground=np.array((0.75, 0.72, 0.55)), grain=0.004) * cast
    codes = np.round(255 * linear_to_srgb(np.clip(light, 0, 1))).astype(np.uint8)
    assert "one-tint" not in said(saved(tmp_path, codes), the_part())


def test_by_the_card_a_cast_is_read_and_no_filter(paint) -> None:
    """The same picture, of a grey part under a strong lamp, with and without the card's white."""
    photo = paint(disc(np.full(3, 0.3)) * (1.2, 0.85, 0.45))
    white = see.white(photo, the_part())
    fault = FAULTS["one-tint"]
    assert fault.measure(Scene(photo, the_part(), white)) > fault.limit
    assert fault.measure(Scene(photo, the_part(), replace(white, kind="card"))) == 0


@pytest.mark.parametrize("side", [150, 360])
@pytest.mark.parametrize("part", ["brass", "copper", "grey"])
def test_sepia_is_known_in_small_pictures_too(tmp_path: Path, part: str, side: int) -> None:
    tinted = luma(255 * linear_to_srgb(np.clip(disc(PARTS[part]), 0, 1))) * (1.351, 1.203, 0.937)
    codes = np.clip(np.round(tinted), 0, 255).astype(np.uint8)
    scale = side / codes.shape[0]
    small = cv2.resize(codes, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    photo = saved(tmp_path, small)
    mask = cv2.resize(the_part().mask.astype(np.uint8), small.shape[1::-1], interpolation=cv2.INTER_NEAREST) > 0
    assert "one-tint" in said(photo, replace(the_part(), mask=mask))


@pytest.mark.parametrize("count", [4, 6, 8, 10])
def test_few_levels_are_known(tmp_path: Path, count: int) -> None:
    """After a JPEG has blurred them; light falls off across the ground, as over any bench."""
    codes = 255 * linear_to_srgb(np.clip(disc(ground=WHITE * np.linspace(0.1, 1.2, 480)[:, None]), 0, 1))
    few = np.round(codes / 255 * (count - 1)) * 255 / (count - 1)
    assert "few-levels" in said(saved(tmp_path, np.round(few).astype(np.uint8)), the_part())
    assert "few-levels" not in said(saved(tmp_path, np.round(codes).astype(np.uint8)), the_part())


@pytest.mark.parametrize("path", SAMPLES[:3], ids=[path.stem for path in SAMPLES[:3]])
@pytest.mark.parametrize("side", [24, 40, 64])
def test_a_tiny_picture_is_small_and_not_of_few_levels(tmp_path: Path, path: Path, side: int) -> None:
    picture = cv2.cvtColor(cv2.imread(str(path)), cv2.COLOR_BGR2RGB)
    scale = side / max(picture.shape[:2])
    photo = saved(tmp_path, cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA))
    assert "few-levels" not in said(photo, see.find(photo))


# Greyscale ------------------------------------------------------------------------------------------------------------


def saved(folder: Path, codes: np.ndarray, quality: int = 90) -> Photo:
    path = folder / "part.jpg"
    assert cv2.imwrite(str(path), codes[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    return see.read(path)


@pytest.mark.parametrize("noise", [0.0, 1.5, 3.0])
def test_greyscale_is_known_under_noise_of_colour_and_says_nothing(tmp_path: Path, noise: float) -> None:
    grey = np.repeat(255 * luma(linear_to_srgb(disc())), 3, axis=2)
    noisy = grey + np.random.default_rng(5).normal(0, noise, grey.shape)
    photo = saved(tmp_path, np.clip(np.round(noisy), 0, 255).astype(np.uint8))
    fitness = see.judge(photo, the_part(), see.white(photo, the_part()))
    assert "greyscale" in " ".join(fitness.problems)
    assert fitness.doubt == 1
    assert not fitness.trusted_colour


@pytest.mark.parametrize("stops", [-4, -5])
def test_a_dark_photo_of_a_grey_part_is_dark_and_not_greyscale(tmp_path: Path, stops: float) -> None:
    cast = np.exp([8 * see.MIRED[0], 0, 8 * see.MIRED[1]])
    light = disc(np.full(3, 0.3), grain=0.004) * cast * 2.0**stops
    photo = saved(tmp_path, np.round(255 * linear_to_srgb(light)).astype(np.uint8))
    assert photo.coloured
    assert "dark" in said(photo, the_part())


def test_a_grey_part_on_white_paper_is_no_greyscale_photo(tmp_path: Path) -> None:
    """A camera's balance is never quite right: here by a mere 8 mired."""
    cast = np.exp([8 * see.MIRED[0], 0, 8 * see.MIRED[1]])
    codes = np.round(255 * linear_to_srgb(disc(np.full(3, 0.3)) * cast)).astype(np.uint8)
    assert saved(tmp_path, codes).coloured


# The samples, which are rendered --------------------------------------------------------------------------------------


def spoilt(photo: Photo, light: np.ndarray) -> Photo:
    codes = np.round(255 * linear_to_srgb(light.astype(np.float64))).astype(np.uint8)
    return replace(photo, encoded=codes, linear=linear(codes, 1024))


@pytest.mark.parametrize("path", SAMPLES, ids=[path.stem for path in SAMPLES])
def test_the_samples_are_faultless_and_blurred_or_darkened_are_not(path: Path) -> None:
    photo = see.read(path)
    part = see.find(photo)
    assert part is not None
    assert said(photo, part) <= {"no-white"}
    side = max(part.box[2:])
    assert "blurred" in said(spoilt(photo, cv2.GaussianBlur(photo.linear, (0, 0), 0.03 * side)), part)
    assert "dark" in said(spoilt(photo, photo.linear / 8), part)
