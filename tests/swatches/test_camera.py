"""The phone that photographs simulated parts: white stays white, order stays, the mask lies on the part."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import cv2
import numpy as np
import pytest

from idkit.see import luminance
from idkit.swatches.camera import PAPER, Camera, camera, developed, finished, photograph
from idkit.swatches.fields import SIDE
from idkit.vocabulary import Floats, Image, Mask, Part, Photo, White

STEADY = Camera(
    exposure=1.0,
    stray=0.0,
    saturation=1.0,
    gamut=0.0,
    contrast=1.0,
    shoulder=1e6,
    balance=np.zeros(3),
    sharpness=0.3,
    crispness=0.0,
    smoothness=0.3,
    noise=0.0,
    quality=95,
    size=1.0,
)
LEVELS = np.linspace(0.001, 1, 60)
of_many_phones = pytest.mark.parametrize("seed", range(25))


def grey(levels: Floats) -> Image:
    return (levels[:, None, None] * np.ones(3)).astype(np.float32)


def disc() -> Mask:
    y, x = np.mgrid[:SIDE, :SIDE]
    return np.asarray(np.hypot(x - 70, y - 80) < 45)


Taken = tuple[Photo, Part, White]


@pytest.fixture
def taken() -> Callable[..., Taken]:
    """A copper-coloured disc on paper as that phone takes it."""

    def make(phone: Camera, seed: int = 1, colour: tuple[float, float, float] = (0.4, 0.2, 0.12)) -> Taken:
        scene = np.where(disc()[..., None], np.array(colour, np.float32), np.float32(PAPER))
        return photograph(phone, scene, disc(), np.random.default_rng(seed))

    return make


# Development ----------------------------------------------------------------------------------------------------------


def test_a_plain_phone_changes_nothing() -> None:
    """Exposure, contrast and saturation 1, and no shoulder: light as it came."""
    light = np.random.default_rng(1).uniform(0.01, 1, (20, 20, 3)).astype(np.float32)
    assert developed(STEADY, light) == pytest.approx(light, rel=1e-4)


@of_many_phones
def test_white_stays_white_whatever_the_curve(seed: int) -> None:
    """At exposure 1 and without stray light, white comes out at the gains of the balance alone."""
    phone = replace(camera(np.random.default_rng(seed)), exposure=1.0, stray=0.0)
    assert developed(phone, grey(np.ones(1)))[0, 0] == pytest.approx(np.exp(phone.balance), rel=1e-4)


@of_many_phones
def test_neutral_stays_neutral_within_the_balance(seed: int) -> None:
    phone = camera(np.random.default_rng(seed))
    found = np.log(developed(phone, grey(LEVELS)))[:, 0]
    assert found[:, 0] - found[:, 1] == pytest.approx(phone.balance[0] - phone.balance[1], abs=1e-3)
    assert found[:, 2] - found[:, 1] == pytest.approx(phone.balance[2] - phone.balance[1], abs=1e-3)
    assert np.abs(phone.balance).max() < 0.2


@of_many_phones
def test_what_was_lighter_stays_lighter(seed: int) -> None:
    phone = camera(np.random.default_rng(seed))
    assert (np.diff(developed(phone, grey(LEVELS))[:, 0], axis=0) > 0).all()


def test_saturation_moves_colours_from_grey_and_leaves_their_light() -> None:
    copper = np.array([[[0.4, 0.2, 0.12]]], np.float32)
    plain, strong = (developed(replace(STEADY, saturation=times), copper) for times in (1.0, 1.3))
    level = luminance(copper)[..., None]
    assert strong - level == pytest.approx(1.3 * (plain - level), rel=1e-3)
    assert luminance(strong) == pytest.approx(luminance(plain), rel=1e-4)


def test_no_channel_falls_out_of_what_a_screen_can_show() -> None:
    red = np.array([[[0.5, 0.02, 0.02]]], np.float32)
    phone = replace(STEADY, saturation=1.6, gamut=0.2)
    assert (developed(phone, red) > 0.01).all()


def test_contrast_deepens_shadows_and_their_colours() -> None:
    copper = 0.1 * np.array([[[1.0, 0.5, 0.3]]], np.float32)
    soft, hard = (developed(replace(STEADY, contrast=power), copper)[0, 0] for power in (1.0, 1.5))
    assert luminance(hard) < luminance(soft)
    assert np.log(hard[0] / hard[2]) == pytest.approx(1.5 * np.log(soft[0] / soft[2]), rel=0.01)


# The photo ------------------------------------------------------------------------------------------------------------


@of_many_phones
def test_mask_and_box_agree_and_lie_on_the_part(taken, monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    """The outline is off by at most 4 pixels either way, where it has not gone astray."""
    monkeypatch.setattr("idkit.swatches.camera.ASTRAY", 0.0)
    phone = camera(np.random.default_rng(seed))
    photo, part, _ = taken(phone, seed)
    side = round(SIDE * phone.size)
    assert photo.encoded.shape == photo.linear.shape == (side, side, 3)
    assert part.mask.shape == (side, side)
    x, y, width, height = part.box
    cut = part.mask[y : y + height, x : x + width]
    assert cut.sum() == part.mask.sum()
    assert cut[0].any()
    assert cut[-1].any()
    assert cut[:, 0].any()
    assert cut[:, -1].any()
    truth = cv2.resize(disc().astype(np.uint8), (side, side), interpolation=cv2.INTER_NEAREST)
    kernel = np.ones((9, 9), np.uint8)
    assert not (part.mask & (cv2.dilate(truth, kernel) == 0)).any()
    assert not (~part.mask & (cv2.erode(truth, kernel) > 0)).any()


@of_many_phones
def test_an_outline_gone_astray_still_holds_much_of_the_part_and_little_else(
    taken, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    """A quarter of the part or more, and nothing farther from it than 20 pixels."""
    monkeypatch.setattr("idkit.swatches.camera.ASTRAY", 1.0)
    mask = taken(STEADY, seed)[1].mask
    assert (mask & disc()).sum() > 0.25 * disc().sum()
    assert not (mask & (cv2.dilate(disc().astype(np.uint8), np.ones((41, 41), np.uint8)) == 0)).any()


@of_many_phones
def test_white_is_what_paper_looks_like_in_the_photo(taken, seed: int) -> None:
    """Read off the paper's corner: ratios within 0.04 (8 bits, JPEG and noise), light within a twentieth."""
    phone = camera(np.random.default_rng(seed))
    photo, _, white = taken(phone, seed)
    corner = photo.linear[:12, -12:].reshape(-1, 3).astype(float)
    if corner.max() > 0.98:
        corner = corner[corner.max(axis=1) < 0.98]
    red, green, blue = np.median(corner, axis=0)
    assert np.log(red / green) == pytest.approx(white.red_green, abs=0.04)
    assert np.log(blue / green) == pytest.approx(white.blue_green, abs=0.04)
    assert float(luminance(np.array([red, green, blue]))) == pytest.approx(white.luminance, rel=0.05)
    assert white.kind == "paper"


def test_a_plain_phone_gives_back_the_part(taken) -> None:
    photo, part, white = taken(STEADY)
    inside = cv2.erode(part.mask.astype(np.uint8), np.ones((15, 15), np.uint8)) > 0
    assert np.median(photo.linear[inside], axis=0) == pytest.approx([0.4, 0.2, 0.12], abs=0.005)
    assert white.luminance == pytest.approx(PAPER, rel=1e-3)


def test_noise_and_quality_show_in_the_photo(taken) -> None:
    def grain(phone: Camera) -> float:
        return float(taken(phone)[0].linear[60:100, 50:90].std(axis=(0, 1)).mean())

    assert grain(replace(STEADY, noise=0.02)) > 2 * grain(STEADY)
    sharp, soft = (
        float(np.abs(np.diff(taken(replace(STEADY, sharpness=blur))[0].linear, axis=1)).max()) for blur in (0.3, 2.0)
    )
    assert soft < 0.6 * sharp


def test_the_same_seed_gives_the_same_photo(taken) -> None:
    phone = camera(np.random.default_rng(3))
    one, again, other = (taken(phone, seed)[0].encoded for seed in (1, 1, 2))
    assert np.array_equal(one, again)
    assert not np.array_equal(one, other)


def test_phones_differ_and_the_same_seed_gives_the_same() -> None:
    one, again, other = (camera(np.random.default_rng(seed)) for seed in (1, 1, 2))
    assert one.exposure == again.exposure
    assert one.exposure != other.exposure


def test_sharpening_widens_steps_of_light_and_smoothing_those_of_colour() -> None:
    """At an edge between two greys the step grows; at one between two colours of the same luma it is spread out."""
    greys, colours = np.full((40, 40, 3), 0.4, np.float32), np.full((40, 40, 3), 0.4, np.float32)
    greys[:, 20:] = 0.6
    colours[:, 20:, 0] += 0.2  # what red adds to luma (0.299) blue and green take away
    colours[:, 20:, 1:] -= 0.2 * 0.299 / (0.587 + 0.114)
    crisp = finished(replace(STEADY, crispness=1.0), greys)
    assert crisp[20, 20, 1] - crisp[20, 19, 1] > 0.25
    assert finished(STEADY, greys)[20, 20, 1] - finished(STEADY, greys)[20, 19, 1] == pytest.approx(0.2, abs=0.01)
    smooth = finished(replace(STEADY, smoothness=4.0), colours)
    assert smooth[20, 20, 0] - smooth[20, 19, 0] < 0.04
    assert finished(STEADY, colours)[20, 20, 0] - finished(STEADY, colours)[20, 19, 0] > 0.15
