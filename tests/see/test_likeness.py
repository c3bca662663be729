"""What a photo is known by: against another library's cosine transform, and laid and saved in other ways."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np
import pytest
from scipy.fft import dctn

from idkit import keep, see
from idkit.errors import PhotoError

ROOT = Path(__file__).resolve().parents[2]
TAP = ROOT / "sample_images" / "tap.jpg"
COINS = ROOT.parent / "shared" / "photos" / "coins"


def likeness(path: Path) -> bytes:
    return see.likeness(see.thumbnail(see.read(path)))


def test_the_bits_are_signs_of_the_cosine_transform_as_scipy_makes_it() -> None:
    """scipy.fft.dctn, type II: coefficients near nothing may fall on either side, so 3 bits in 256 may differ."""
    thumbnail = see.thumbnail(see.read(TAP))
    grey = cv2.imdecode(np.frombuffer(thumbnail, np.uint8), cv2.IMREAD_GRAYSCALE)
    small = cv2.resize(grey, (64, 64), interpolation=cv2.INTER_AREA).astype(float)
    signs = dctn(small, type=2)[:16, :16] > 0
    bits = np.unpackbits(np.frombuffer(see.likeness(thumbnail), np.uint8)).reshape(16, 16)
    assert (bits != signs).sum() <= 3


def test_a_thumbnail_is_small_and_bare() -> None:
    thumbnail = see.thumbnail(see.read(TAP))
    assert max(cv2.imdecode(np.frombuffer(thumbnail, np.uint8), cv2.IMREAD_COLOR).shape) == 256
    assert b"Exif" not in thumbnail
    assert len(thumbnail) < 20_000
    before, after = (cv2.imdecode(np.frombuffer(one, np.uint8), cv2.IMREAD_COLOR).astype(float) for one in
                     (thumbnail, see.cleaned(thumbnail)))  # fmt: skip
    assert abs(before - after).mean() < 3


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("mirrored", [False, True])
def test_it_is_known_laid_and_saved_another_way(tmp_path: Path, turns: int, mirrored: bool) -> None:
    picture = np.rot90(cv2.imread(str(TAP)), turns)
    picture = np.ascontiguousarray(picture[:, ::-1] if mirrored else picture)
    smaller = cv2.resize(picture, None, fx=0.4, fy=0.4, interpolation=cv2.INTER_AREA)
    assert cv2.imwrite(str(tmp_path / "again.jpg"), smaller, [cv2.IMWRITE_JPEG_QUALITY, 50])
    assert keep.apart(likeness(TAP), likeness(tmp_path / "again.jpg")) <= 19


def test_other_parts_are_others() -> None:
    every = [likeness(path) for path in sorted((ROOT / "sample_images").glob("*.jpg"))]
    assert min(keep.apart(one, other) for one, other in pairwise(every)) > 60


def test_coins_photographed_one_after_the_other_are_others() -> None:
    """Coins of one kind from one photograph are as alike as real photographs get (kaa/coins-dataset, MIT)."""
    if not COINS.is_dir():
        pytest.skip("no photographs beside the checkout")
    with (COINS / "labels.csv").open(encoding="utf-8", newline="") as file:
        names = [row["file"] for row in csv.DictReader(file) if row["denomination"] == "1c"][:60]
    every = [likeness(COINS / name) for name in names]
    assert min(keep.apart(one, other) for place, one in enumerate(every) for other in every[:place]) > 19


def test_a_strange_thumbnail_is_refused_before_it_is_decoded() -> None:
    for data in (b"", b"\xff\xd8", b"\xff\xd8\xff\xc0\x00\x11\x08\xff\xdc\xff\xdc", b"GIF89a" * 50):
        with pytest.raises(PhotoError, match="thumbnail"):
            see.cleaned(data)


def test_a_photo_that_changed_meanwhile_is_not_kept(tmp_path: Path) -> None:
    path = tmp_path / "tap.jpg"
    path.write_bytes(TAP.read_bytes())
    photo = see.read(path)
    assert see.original(path, photo.sha256) == TAP.read_bytes()
    path.write_bytes(b"another")
    with pytest.raises(PhotoError, match="has changed"):
        see.original(path, photo.sha256)
    path.unlink()
    with pytest.raises(PhotoError, match="can't be read again"):
        see.original(path, photo.sha256)
