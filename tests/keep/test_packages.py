"""Packages: what is shared holds nothing private, and one made to harm is refused whole."""

from __future__ import annotations

import json
import pickle
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from idkit import flows, keep
from idkit.errors import CallError
from idkit.keep import store
from idkit.show import document
from idkit.vocabulary import Label

ROOT = Path(__file__).resolve().parents[2]
TAP = ROOT / "sample_images" / "tap.jpg"
Change = Callable[[dict[str, Any]], None]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A package with one real sample: a photo with a place in its EXIF, a note, a yard's name, an origin."""
    folder = tmp_path_factory.mktemp("package")
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("IDKIT_HOME", str(folder / "home"))
        photo = folder / "grandmas-attic.jpg"
        with Image.open(TAP) as image:
            exif = Image.Exif()
            exif.get_ifd(0x8825)[2] = (52.0, 30.0, 12.3456)  # GPSLatitude (EXIF 2.32, 4.6.6)
            exif[0x010F] = "SECRETPHONE"
            image.save(photo, exif=exif)
        typed = {"magnet": "none", "came-out-of": "grandma's kitchen tap", "thickness": "3 mm"}
        found = flows.identify([photo], typed, note="behind the secret door")
        kept = flows.keep_record(found, document.part, with_photo=True).record.kept
        flows.confirm(str(kept), "red brass", "", flows.Voice("yard", "Secret yard", "secret note"))
        keep.pick(1)
        assert flows.export_samples(folder / "shared.zip") == 1
        assert flows.export_samples(folder / "wordy.zip", words=True) == 1
    return folder / "shared.zip"


@pytest.fixture(autouse=True)
def another_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "another"))
    return tmp_path / "another"


def test_a_package_is_open_and_holds_nothing_private(written: Path) -> None:
    with zipfile.ZipFile(written) as package:
        names = package.namelist()
        everything = b"".join(package.read(name) for name in names)
        (thumbnail,) = (package.read(name) for name in names if name.startswith("thumbnails/"))
        (line,) = package.read("samples.jsonl").decode().splitlines()
    assert names[:3] == ["readme.txt", "package.json", "samples.jsonl"]
    for secret in (b"ecret", b"SECRET", b"randma", b"GPS", b"Exif", b"pickle", str(written.parent).encode()):
        assert secret not in everything
    assert set(json.loads(line)["answers"]) == {"magnet", "thickness", "form"} & set(json.loads(line)["answers"])
    assert json.loads(line)["labels"][0]["materials"] == ["red-brass"]
    picture = cv2.imdecode(np.frombuffer(thumbnail, np.uint8), cv2.IMREAD_COLOR)
    assert max(picture.shape[:2]) == 256
    with zipfile.ZipFile(written.with_name("wordy.zip")) as package:
        assert b"Secret yard" in package.read("samples.jsonl")


def test_a_package_comes_in_once_and_can_be_weighed_less(written: Path) -> None:
    done = flows.import_samples(written, 0.5)
    assert (done.new, done.known, done.again) == (1, 0, False)
    (sample,) = keep.samples()
    assert (sample.materials, sample.package, sample.at_random) == (("red-brass",), "shared.zip", True)
    assert sample.weight == pytest.approx(0.9 * 0.5)
    assert sample.photos[0].cues.keys() >= {"redness", "yellowness"}
    assert sample.answers["thickness"].value == pytest.approx(0.003)
    assert flows.import_samples(written, 0.0).again
    assert keep.samples()[0].weight == 0.0
    with pytest.raises(CallError, match="nobody has confirmed"):  # what came from others is not passed on as one's own
        flows.export_samples(written.with_name("again.zip"))
    assert flows.import_samples(written.with_name("wordy.zip")).known == 1
    assert keep.pick(5) == ()
    assert keep.show(1).kept.package == "shared.zip"


def test_a_photo_that_both_have_is_in_one_group(written: Path) -> None:
    found = flows.identify([TAP], {})
    flows.keep_record(found, document.part, label=Label(0, "", "yard", "", ("red-brass",), "red-brass"))
    flows.import_samples(written)
    mine, theirs = keep.samples()
    assert mine.photos[0].sha256 != theirs.photos[0].sha256
    assert mine.group == theirs.group


def rewritten(written: Path, target: Path, change: Change) -> Path:
    """The package with its one line changed."""
    with zipfile.ZipFile(written) as package:
        files = {name: package.read(name) for name in package.namelist()}
    row = json.loads(files["samples.jsonl"])
    change(row)
    files["samples.jsonl"] = (json.dumps(row) + "\n").encode()
    return zipped(target, files)


def zipped(target: Path, files: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in files.items():
            package.writestr(name, data)
    return target


def setting(path: str, value: object) -> Change:
    """A change of one field, named by its way: photos.0.sha256."""

    def change(row: dict[str, Any]) -> None:
        *way, last = path.split(".")
        inner: Any = row
        for step in way:
            inner = inner[int(step)] if step.isdigit() else inner[step]
        inner[last.strip()] = value

    return change


WRONG_FIELDS = {
    "uid": "../../etc",
    "day": "2026-13-01",
    "surface": "painted",
    "chances": {"yellow-brass": float("nan")},
    "chances.unobtainium": 0.5,
    "category": "a/../b",
    "sure": "yes",
    "at_random": 1,
    "model": ["x" * 1000, "y"],
    "labels": [],
    "labels.0.by": "boss",
    "labels.0.materials": ["unobtainium"],
    "labels.0.note": "bell \x07",
    "photos": [{}],
    "photos.0.sha256": "../" * 21 + "x",
    "photos.0.cues": {"redness": float("inf")},
    "photos.0.cues.hollows": [1, 2],
    "photos.0.cues.__class__": {"a": 1},
    "photos.0.white": {"kind": "paper", "red_green": 0, "blue_green": 0, "uncertainty": 0, "grid": [[1, 2]]},
    "photos.0.log_photo": {"lead": 1e300},
    "answers": {"rm": {"value": 1}},
    "answers.magnet.value": {"deep": []},
    "answers.magnet.value ": 7,
    "answers.magnet": {"value": "sticky"},
    "answers.form": {"value": "nonsense"},
    "answers.thickness.value": -5,
    "answers.attached": {"value": 5},
    "answers.heft": {"value": 3},
    "answers.weight-in-water": {"value": 0},
    "chances.yellow-brass": 0.0,
}


@pytest.mark.parametrize("field", WRONG_FIELDS)
def test_a_field_that_is_not_what_it_should_be_is_refused(written: Path, tmp_path: Path, field: str) -> None:
    path = rewritten(written, tmp_path / "bad.zip", setting(field, WRONG_FIELDS[field]))
    with pytest.raises(CallError, match=r"bad\.zip: samples\.jsonl, line 1: .*nothing of it was taken"):
        flows.import_samples(path)
    assert not store.place().exists()


class Harm:
    def __reduce__(self) -> tuple[object, tuple[str]]:
        return (Path("harmed").touch, ())  # type: ignore[return-value]


def files_of(written: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(written) as package:
        return {name: package.read(name) for name in package.namelist()}


def huge_jpeg_header(thumbnail: bytes) -> bytes:
    """The same JPEG, its header claiming 65500 x 65500 pixels (ITU-T T.81, B.2.2)."""
    place = thumbnail.index(b"\xff\xc0")
    return thumbnail[: place + 5] + b"\xff\xdc\xff\xdc" + thumbnail[place + 9 :]


HARMFUL: dict[str, Callable[[dict[str, bytes], str], dict[str, bytes]]] = {
    "a name that leads out": lambda files, name: {**files, "../../out.txt": b"x"},
    "a name from the root": lambda files, name: {**files, "/tmp/out.txt": b"x"},
    "a folder of its own": lambda files, name: {**files, "more/": b""},
    "a pickle beside it": lambda files, name: {**files, "model.pkl": pickle.dumps(Harm())},
    "a pickle for a line": lambda files, name: {**files, "samples.jsonl": pickle.dumps(Harm())},
    "an array of objects for a thumbnail": lambda files, name: {**files, name: b"\x93NUMPY" + pickle.dumps(Harm())},
    "a bomb for a thumbnail": lambda files, name: {**files, name: bytes(50_000_000)},
    "a bomb for lines": lambda files, name: {**files, "samples.jsonl": bytes(5_000_000)},
    "brackets without end": lambda files, name: {**files, "samples.jsonl": b"[" * 90_000},
    "a number without end": lambda files, name: {**files, "samples.jsonl": b'{"uid": ' + b"9" * 90_000 + b"}"},
    "a huge picture": lambda files, name: {**files, name: huge_jpeg_header(files[name])},
    "half a picture's header": lambda files, name: {**files, name: files[name][:40]},
    "an empty picture": lambda files, name: {**files, name: b""},
    "no thumbnail": lambda files, name: {key: data for key, data in files.items() if key != name},
    "no lines": lambda files, name: {key: data for key, data in files.items() if key != "samples.jsonl"},
    "the same sample twice": lambda files, name: {**files, "samples.jsonl": files["samples.jsonl"] * 2},
    "another version": lambda files, name: {**files, "package.json": b'{"format": "idkit-samples", "version": 2}'},
    "another format": lambda files, name: {**files, "package.json": b"[]"},
}


@pytest.mark.parametrize("harm", HARMFUL)
def test_a_package_made_to_harm_is_refused_and_nothing_is_written(
    written: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, harm: str
) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    monkeypatch.chdir(inside)
    files = files_of(written)
    name = next(name for name in files if name.startswith("thumbnails/"))
    path = zipped(tmp_path / "bad.zip", HARMFUL[harm](files, name))
    with pytest.raises(CallError, match=r"bad\.zip.*nothing of it was taken") as refused:
        flows.import_samples(path)
    assert "\n" not in str(refused.value)
    assert not store.place().exists()
    assert list(inside.iterdir()) == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bad.zip", "inside"]


def test_a_list_of_contents_that_would_fill_the_memory_is_refused_before_it_is_read(
    written: Path, tmp_path: Path
) -> None:
    data = bytearray(written.read_bytes())
    place = data.rfind(b"PK\x05\x06")
    data[place + 12 : place + 16] = (900_000_000).to_bytes(4, "little")
    (tmp_path / "bad.zip").write_bytes(data)
    with pytest.raises(CallError, match="lists too many contents"):
        flows.import_samples(tmp_path / "bad.zip")


def test_what_is_no_package_is_refused(tmp_path: Path) -> None:
    (tmp_path / "text.zip").write_text("a shopping list", "utf-8")
    for path in (tmp_path / "text.zip", tmp_path / "missing.zip", tmp_path):
        with pytest.raises(CallError, match=path.name):
            flows.import_samples(path)


def test_a_half_written_package_is_never_left(written: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    flows.import_samples(written)
    monkeypatch.setattr("idkit.keep.packages._write", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left")))
    with pytest.raises(Exception, match="can't be written .No space left"):
        keep.write_package(tmp_path / "out.zip", keep.samples())
    assert [path.name for path in tmp_path.iterdir()] == ["another"]
