"""Bytes to an upright image in linear light: every format, and every file that is none."""

from __future__ import annotations

import hashlib
import struct
import sys
import zlib
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image, ImageOps

from idkit.errors import MissingExtra, PhotoError
from idkit.see import photo as reading
from idkit.see.photo import read
from idkit.see.srgb import light_in, linear, made_smaller
from idkit.vocabulary import Photo

# Four fields of 32 x 24 pixels, one in each corner, so that a turn or a mirror shows.
CORNERS = np.array([[(200, 40, 30), (40, 180, 60)], [(50, 60, 200), (220, 210, 200)]], np.uint8)
PICTURE = np.repeat(np.repeat(CORNERS, 24, axis=0), 32, axis=1)
PALE = np.repeat(
    np.repeat(np.uint8([[(184, 115, 80), (181, 166, 90)], [(90, 140, 160), (200, 200, 200)]]), 24, 0), 32, 1
)
LOSSLESS = ("png", "tif", "bmp")
LOSSY = ("jpg", "webp", "avif", "heic")
ORIENTATION = 0x0112  # EXIF 2.32, tag 274


def save(path: Path, picture: np.ndarray = PICTURE, mode: str | None = None, **options: object) -> Path:
    if path.suffix == ".heic":
        pytest.importorskip("pillow_heif").register_heif_opener()
    image = Image.fromarray(picture)
    (image.convert(mode) if mode else image).save(path, **options)
    return path


def fields(picture: np.ndarray) -> np.ndarray:
    """Median of the four fields, clear of the seams where a lossy format smears colour."""
    height, width = (side // 2 for side in picture.shape[:2])
    return np.array(
        [
            [np.median(picture[y + 8 : y + height - 8, x + 8 : x + width - 8], axis=(0, 1)) for x in (0, width)]
            for y in (0, height)
        ]
    )


# Formats --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", LOSSLESS)
def test_lossless_formats_come_back_as_they_were(tmp_path: Path, kind: str) -> None:
    photo = read(save(tmp_path / f"part.{kind}"))
    assert photo.encoded.dtype == np.uint8
    assert np.array_equal(photo.encoded, PICTURE)
    assert photo.coloured
    assert photo.problems == ()


@pytest.mark.parametrize("kind", LOSSY)
def test_lossy_formats_come_back_within_three_codes(tmp_path: Path, kind: str) -> None:
    photo = read(save(tmp_path / f"part.{kind}", quality=95))
    assert photo.encoded.shape == PICTURE.shape
    assert fields(photo.encoded) == pytest.approx(CORNERS.astype(float), abs=3)


def test_the_name_says_nothing_about_the_format(tmp_path: Path) -> None:
    path = save(tmp_path / "part.png").rename(tmp_path / "part.jpg")
    assert np.array_equal(read(path).encoded, PICTURE)


def test_heic_without_its_reader_names_the_extra(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = save(tmp_path / "part.heic")
    monkeypatch.setitem(sys.modules, "pillow_heif", None)  # import then fails as if it were not installed
    with pytest.raises(MissingExtra, match=r"part\.heic.*HEIC.*pip install '\.\[heic\]'"):
        read(path)


@pytest.mark.parametrize("kind", ["png", "tif"])
def test_sixteen_bits_are_kept(tmp_path: Path, kind: str) -> None:
    """PNG (ISO 15948) of colour type 2 by hand, TIFF by tifffile: Pillow writes 16 bits in grey only."""
    picture = np.arange(16 * 16 * 3, dtype=np.uint16).reshape(16, 16, 3) * 85
    path = tmp_path / f"deep.{kind}"
    if kind == "png":
        rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in picture)
        path.write_bytes(png((16, 16), zlib.compress(rows), depth=16))
    else:
        pytest.importorskip("tifffile").imwrite(path, picture, photometric="rgb")
    photo = read(path)
    assert photo.encoded.dtype == np.uint16
    assert np.array_equal(photo.encoded, picture)
    assert photo.linear.dtype == np.float32


def png(size: tuple[int, int], data: bytes, depth: int = 8) -> bytes:
    """A PNG of colour type 2 with that image data, whatever its header claims."""
    header = struct.pack(">IIBBBBB", *size, depth, 2, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", data), (b"IEND", b""))
    written = (
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body)) for name, body in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(written)


# Upright --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["jpg", "png", "webp", "tif", "avif", "heic"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_turned_upright_as_pillow_does(tmp_path: Path, kind: str, orientation: int) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    path = save(tmp_path / f"turned.{kind}", exif=exif.tobytes())
    plain = Image.fromarray(PICTURE)
    plain.getexif()[ORIENTATION] = orientation
    upright = np.asarray(ImageOps.exif_transpose(plain))
    photo = read(path)
    assert photo.encoded.shape == upright.shape
    assert fields(photo.encoded) == pytest.approx(fields(upright), abs=12)
    assert photo.linear.shape == upright.shape


@pytest.mark.parametrize("orientation", [0, 9, 60000])
def test_an_orientation_that_does_not_exist_turns_nothing(tmp_path: Path, orientation: int) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    assert read(save(tmp_path / "odd.png", exif=exif.tobytes())).encoded.shape == PICTURE.shape


@pytest.mark.parametrize(
    "entry",
    [
        pytest.param(struct.pack("<HHI4s", ORIENTATION, 2, 2, b"x"), id="text"),
        pytest.param(struct.pack("<HHII", ORIENTATION, 5, 1, 26) + bytes(12), id="a fraction over nothing"),
        pytest.param(struct.pack("<HHII", 0x010F, 2, 500, 9000), id="an entry outside the file"),
    ],
)
def test_damaged_exif_does_not_lose_the_photo(tmp_path: Path, entry: bytes) -> None:
    exif = b"Exif\0\0II*\0\x08\0\0\0" + struct.pack("<H", 1) + entry.ljust(24, b"\0")
    assert read(save(tmp_path / "odd.jpg", exif=exif)).encoded.shape == PICTURE.shape


# Colour ---------------------------------------------------------------------------------------------------------------


def display_profile(name: str = "Display P3", called: bytes = b"Display P3", *, linear: bool = False) -> bytes:
    """A version 2 display profile (ICC.1:2001-04, laid out from memory): P3 primaries (SMPTE RP 431-2), or others, on
    D65, brought to D50 by Bradford, and the curve of sRGB or none."""
    science = pytest.importorskip("colour")
    space = science.RGB_COLOURSPACES[name]
    white = science.xy_to_XYZ(space.whitepoint)
    d50 = np.array([0.9642, 1.0, 0.8249])  # white of the profile connection space; from memory
    adapt = science.adaptation.matrix_chromatic_adaptation_VonKries(white, d50, transform="Bradford")
    columns = (adapt @ space.matrix_RGB_to_XYZ).T
    codes = np.linspace(0, 1, 1024)
    curve = np.round((codes if linear else science.models.eotf_sRGB(codes)) * 65535).astype(">u2")
    tags = {
        b"desc": b"desc\0\0\0\0" + struct.pack(">I", len(called) + 1) + called + bytes(79),
        b"cprt": b"text\0\0\0\0none\0",
        b"wtpt": xyz(d50),
        **{name: xyz(column) for name, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), columns, strict=True)},
        **dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), b"curv\0\0\0\0" + struct.pack(">I", 1024) + curve.tobytes()),
    }
    table, body, start = b"", b"", 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        table += struct.pack(">4sII", name, start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    header = struct.pack(">I4sI4s4s4s", start + len(body), bytes(4), 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    header += bytes(12) + b"acsp" + bytes(28) + xyz(d50)[8:]
    return header.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def xyz(values: np.ndarray) -> bytes:
    return b"XYZ \0\0\0\0" + struct.pack(">3i", *np.round(values * 65536).astype(int))


@pytest.mark.parametrize("kind", ["png", "tif", "jpg", "webp", "heic", "avif"])
def test_display_p3_becomes_srgb(tmp_path: Path, kind: str) -> None:
    """Colours inside both gamuts, converted by colour-science; copper reads too grey where P3 is ignored."""
    science = pytest.importorskip("colour")
    options = {} if kind in LOSSLESS else {"quality": 98}
    photo = read(save(tmp_path / f"wide.{kind}", PALE, icc_profile=display_profile(), **options))
    spaces = science.RGB_COLOURSPACES["Display P3"], science.RGB_COLOURSPACES["sRGB"]
    wanted = 255 * science.RGB_to_RGB(fields(PALE) / 255, *spaces, apply_cctf_decoding=True, apply_cctf_encoding=True)
    assert np.abs(wanted - fields(PALE)).max() > 8
    assert fields(photo.encoded) == pytest.approx(wanted, abs=2 if kind in LOSSLESS else 4)


def test_a_profile_is_known_by_what_it_does_not_by_its_name(tmp_path: Path) -> None:
    """Codes in proportion to light, converted by IEC 61966-2-1 as colour-science has it."""
    science = pytest.importorskip("colour")
    plain = display_profile("sRGB", b"plain sRGB")
    assert np.array_equal(read(save(tmp_path / "plain.png", icc_profile=plain)).encoded, PICTURE)
    profile = display_profile("sRGB", b"linear sRGB", linear=True)
    photo = read(save(tmp_path / "linear.png", icc_profile=profile))
    wanted = 255 * science.models.eotf_inverse_sRGB(fields(PICTURE) / 255)
    assert fields(photo.encoded) == pytest.approx(wanted, abs=2)


def test_a_broken_profile_is_passed_over(tmp_path: Path) -> None:
    photo = read(save(tmp_path / "odd.png", icc_profile=b"no profile" * 20))
    assert np.array_equal(photo.encoded, PICTURE)


def test_what_is_seen_through_lies_on_black_and_is_said(tmp_path: Path) -> None:
    alpha = np.full(PICTURE.shape[:2], 255, np.uint8)
    alpha[:24] = 0
    alpha[24:, :32] = 128
    photo = read(save(tmp_path / "cut-out.png", np.dstack([PICTURE, alpha])))
    assert not photo.encoded[:24].any()
    assert photo.encoded[40, 10] == pytest.approx(CORNERS[1, 0] * (128 / 255), abs=1)
    assert np.array_equal(photo.encoded[24:, 32:], PICTURE[24:, 32:])
    assert photo.problems == ("transparent ground: no white in view",)


def test_alpha_that_hides_nothing_is_not_a_fault(tmp_path: Path) -> None:
    photo = read(save(tmp_path / "whole.png", mode="RGBA"))
    assert np.array_equal(photo.encoded, PICTURE)
    assert photo.problems == ()


@pytest.mark.parametrize(
    ("name", "mode"), [("grey.jpg", "L"), ("grey.png", "L"), ("grey.png", "LA"), ("bits.png", "1"), ("grey.tif", "L")]
)
def test_greyscale_is_said(tmp_path: Path, name: str, mode: str) -> None:
    photo = read(save(tmp_path / name, mode=mode))
    assert photo.encoded.shape == PICTURE.shape
    assert not photo.coloured
    assert "greyscale" in " ".join(photo.problems)


def test_grey_saved_in_three_channels_is_said(tmp_path: Path) -> None:
    grey = np.asarray(Image.fromarray(PICTURE).convert("L").convert("RGB"))
    photo = read(save(tmp_path / "grey.jpg", grey))
    assert not photo.coloured
    assert "greyscale" in " ".join(photo.problems)


def test_palette_and_ink_are_colour(tmp_path: Path) -> None:
    for photo in (read(save(tmp_path / "few.png", mode="P")), read(save(tmp_path / "ink.jpg", mode="CMYK"))):
        assert photo.coloured
        assert photo.encoded.shape == PICTURE.shape


# Linear light ---------------------------------------------------------------------------------------------------------


def test_light_is_averaged_not_codes() -> None:
    """Black and white side by side send half the light, which as a code is 188, not 128 (IEC 61966-2-1)."""
    row, column = np.indices((2048, 2048))
    board = np.repeat((255 * ((row + column) % 2)).astype(np.uint8)[..., None], 3, axis=2)
    light = linear(board, 1024)
    assert light.shape == (1024, 1024, 3)
    assert np.abs(light - 0.5).max() < 1e-4


def test_the_working_image_keeps_the_shape_and_is_not_enlarged() -> None:
    assert linear(np.zeros((1500, 3000, 3), np.uint8), 1024).shape == (512, 1024, 3)
    assert linear(np.zeros((30, 40, 3), np.uint8), 1024).shape == (30, 40, 3)
    assert linear(np.zeros((3, 4000, 3), np.uint8), 1024).shape == (1, 1024, 3)


def test_sha256_is_that_of_the_file(tmp_path: Path) -> None:
    path = save(tmp_path / "part.png")
    assert read(path).sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


# What is no photo -----------------------------------------------------------------------------------------------------


def refusal(path: Path) -> str:
    with pytest.raises(PhotoError) as caught:
        read(path)
    line = str(caught.value)
    assert path.name in line
    assert "\n" not in line
    return line


def test_a_missing_file(tmp_path: Path) -> None:
    assert "no such file" in refusal(tmp_path / "none.jpg")


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder" in refusal(tmp_path)


def test_an_empty_file(tmp_path: Path) -> None:
    path = tmp_path / "empty.jpg"
    path.touch()
    assert "0 bytes" in refusal(path)


@pytest.mark.parametrize("kind", [*LOSSLESS, *LOSSY])
@pytest.mark.parametrize("share", [0.02, 0.5, 0.9])
def test_a_file_cut_short(tmp_path: Path, kind: str, share: float) -> None:
    noise = np.random.default_rng(1).integers(0, 255, (200, 300, 3), dtype=np.uint8)
    path = save(tmp_path / f"cut.{kind}", noise)
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    assert "JPEG, PNG, WebP, TIFF, BMP, AVIF or HEIC" in refusal(path)


@pytest.mark.parametrize("kind", ["tif", "bmp"])
def test_a_refusal_is_all_that_is_said(tmp_path: Path, kind: str, capfd: pytest.CaptureFixture[str]) -> None:
    path = save(tmp_path / f"cut.{kind}")
    path.write_bytes(path.read_bytes()[:3000])
    refusal(path)
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    "content",
    [b"weights: 1.2 kg\n" * 40, bytes(5000), b"\xff\xd8\xff", b"%PDF-1.7\n", b"\0\0\0\x18ftypheic" + bytes(40)],
    ids=["text", "zeros", "three bytes", "pdf", "heic brand"],
)
def test_something_else_renamed(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "part.jpg"
    path.write_bytes(content)
    assert "JPEG, PNG, WebP, TIFF, BMP, AVIF or HEIC" in refusal(path)


@pytest.mark.parametrize("size", [(20_000, 10_001), (100_000, 100_000), (1, 200_000_001)])
def test_a_picture_too_large_is_refused_unread(
    tmp_path: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "huge.png"
    path.write_bytes(png(size, zlib.compress(bytes(1000))))

    def decode(*_: object) -> None:
        raise AssertionError("decoded before its size was checked")

    monkeypatch.setattr("idkit.see.photo.cv2.imdecode", decode)
    line = refusal(path)
    assert f"{size[0]} x {size[1]}" in line
    assert "at most 200" in line


def test_full_size_photographs(real_photos: Path) -> None:
    photo = read(next((real_photos / "full-size").glob("*.jpg")))
    assert max(photo.linear.shape) in (1008, 1024)  # a whole part of the photo, or what it is at most
    assert photo.coloured


def test_a_piece_of_the_working_picture_is_that_of_the_photo() -> None:
    """Area averages of area averages: the same light within a hundredth, and the same size."""
    random = np.random.default_rng(2)
    encoded = cv2.GaussianBlur(random.integers(0, 256, (1500, 2000, 3)).astype(np.float32), (0, 0), 9)
    encoded = np.clip(128 + 12 * (encoded - encoded.mean()), 0, 255).astype(np.uint8)
    photo = Photo("photo", "", encoded, linear(encoded, 1000), coloured=True)
    x, y, width, height = box = (300, 200, 1200, 900)
    piece, whole = light_in(photo, box, 256), linear(encoded[y : y + height, x : x + width], 256)
    assert piece.shape == whole.shape
    assert np.abs(piece - whole).mean() < 0.01 * whole.mean()
    small = light_in(photo, (300, 200, 120, 90), 256)  # not enough pixels there: from the photo itself
    np.testing.assert_array_equal(small, linear(encoded[200:290, 300:420], 256))


@pytest.mark.parametrize("orientation", range(2, 9))
def test_a_photo_higher_than_a_strip_is_turned_whole(orientation: int) -> None:
    """Turning goes by strips of rows: here two whole ones and a rest, checked against NumPy's own turns."""
    picture = np.random.default_rng(1).integers(0, 256, (2 * reading.TURNED + 37, 51, 3), np.uint8)
    by_numpy = {
        2: picture[:, ::-1],
        3: picture[::-1, ::-1],
        4: picture[::-1],
        5: picture.swapaxes(0, 1),
        6: np.rot90(picture, -1),
        7: picture[::-1, ::-1].swapaxes(0, 1),
        8: np.rot90(picture, 1),
    }
    np.testing.assert_array_equal(reading._upright(picture, orientation), by_numpy[orientation])


@pytest.mark.parametrize("shape", [(600, 800), (601, 799), (3, 900), (1, 700), (20, 10)])
@pytest.mark.parametrize("kind", [np.uint8, np.uint16])
def test_a_picture_made_smaller_keeps_its_shape_and_its_light(shape: tuple[int, int], kind: type) -> None:
    down, across = (np.linspace(0, 1, side) for side in shape)
    codes = 40 + 120 * (down[:, None] + across[None]) / 2
    picture = np.repeat(codes[..., None], 3, axis=2)
    small = made_smaller(picture.astype(kind) if kind is np.uint8 else (257 * picture).astype(kind), 100)
    assert small.dtype == np.uint8
    assert max(small.shape[:2]) == min(100, max(shape))
    assert small.shape[0] == pytest.approx(shape[0] * max(small.shape[:2]) / max(shape), abs=1)
    assert small.mean() == pytest.approx(picture.mean(), abs=1.5)


@pytest.mark.parametrize("seen", [254, 255], ids=["nearly opaque", "one pixel"])
def test_alpha_that_hides_hardly_anything_is_not_a_fault(tmp_path: Path, seen: int) -> None:
    alpha = np.full(PICTURE.shape[:2], seen, np.uint8)
    alpha[0, 0] = 0
    assert read(save(tmp_path / "nearly.png", np.dstack([PICTURE, alpha]))).problems == ()
