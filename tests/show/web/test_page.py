"""A part on the page: from photo to verdict to kept to confirmed, by plain forms as a browser without script sends."""

from __future__ import annotations

import errno
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from idkit import flows
from idkit.show import cli
from idkit.show.web import parts

SAMPLES = Path(__file__).resolve().parents[3] / "sample_images"
VALVE = "angle-valve.jpg"


def sample(name: str) -> tuple[str, bytes]:
    return name, (SAMPLES / name).read_bytes()


def by_command(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, object]:
    """A part as the command line gives it."""
    assert cli.run(["identify", *arguments, "--json"]) == 0
    part: dict[str, object] = json.loads(capsys.readouterr().out)["parts"][0]
    return part


def test_photo_to_verdict_to_kept_to_confirmed_as_the_command_line_says_it(
    opened: Callable[..., Any], capsys: pytest.CaptureFixture[str]
) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(sample(VALVE))
        first = phone.shown(at)
        assert "Does a magnet pull on it?" in first
        assert "<polygon" in first
        assert "--" not in _text(first)
        assert phone.get(f"{at}/photo/0").content[:2] == b"\xff\xd8"

        tapped = phone.say(at, "scratch", photo="0", wide="288", high="216", **{"tap.x": "130", "tap.y": "67"})
        assert 'class="box"' in tapped
        x, y, wide, high = (
            re.search(rf'<rect class="box".*? {name}="(\d+)"', tapped)[1]  # type: ignore[index]
            for name in ("x", "y", "width", "height")
        )
        answered = phone.say(at, "answer", check="magnet", say="none")
        assert "no pull" not in re.findall(r"<button[^>]*>([^<]*)", answered)
        kept = phone.say(at, "keep", whole="yes")
        assert "Kept as record 1." in kept

        box = f"{x},{y},{wide},{high}"
        mine = by_command(capsys, str(SAMPLES / VALVE), "--magnet", "none", "--scratch", box)
        whole = flows.record_of("1")
        for name in ("materials", "likely", "sure", "surface", "answers", "categories", "reasons", "next_check"):
            assert whole.document[name] == mine[name], name
        assert whole.kept.origin == "page"
        assert whole.photos[0].file == VALVE
        assert whole.document["photos"][0]["file"] == VALVE
        assert whole.photos[0].original == (SAMPLES / VALVE).read_bytes()

        again = phone.say(at, "keep")
        assert "Kept as record 1." in again
        page = phone.get("/records/1/say?material=yellow-brass").text
        assert "Who says so?" in page
        fields = {"token": phone.token, "material": "yellow-brass", "by": "yard"}
        assert "the yard says yellow brass" in phone.post("/records/1/confirm", data=fields).text
        assert len(flows.records(flows.listing()).rows) == 1
        assert "the yard says yellow brass" in phone.get("/records?said=yes").text
        assert "Nothing to list" in phone.get("/records?said=no").text
        assert phone.get("/records/1/photo").content[:2] == b"\xff\xd8"
        assert "Closed" not in phone.get("/").text


def test_answers_alone_are_enough_and_one_that_is_wrong_changes_nothing(
    opened: Callable[..., Any], capsys: pytest.CaptureFixture[str]
) -> None:
    with opened(workers=1) as phone:
        at = phone.snap()
        assert "Does a magnet pull on it?" in phone.shown(at)
        phone.say(at, "answer", check="form", say="casting")
        phone.say(at, "answer", **{"check": "weight-in-water", "line-weight": "540 g", "line-jar": "200 g"})
        wrong = phone.say(at, "answer", **{"check": "thickness", "line-thickness": "thick"})
        assert "thickness: got" in wrong
        assert "<b>thickness</b>" not in wrong
        page = phone.say(at, "answer", check="magnet", skip="yes")
        assert "<b>weight</b> 540 g" in page
        phone.say(at, "keep")
        mine = by_command(capsys, "--form", "casting", "--weight", "540 g", "--jar", "200 g")
        assert flows.record_of("1").document["materials"] == mine["materials"]


def test_an_answer_taken_back_leaves_the_verdict_as_it_was(opened: Callable[..., Any]) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(sample(VALVE))
        before = _chances(phone.shown(at))
        assert _chances(phone.say(at, "answer", check="magnet", say="strong")) != before
        assert _chances(phone.say(at, "answer", forget="magnet")) == before
        box = {"photo": "0", "wide": "768", "high": "576", "tap.x": "480", "tap.y": "260"}
        assert _chances(phone.say(at, "scratch", **box)) != before
        assert _chances(phone.say(at, "scratch", clear="yes")) == before


def test_every_check_is_asked_without_options_of_the_command_line(opened: Callable[..., Any]) -> None:
    with opened(workers=1) as phone:
        at = phone.snap()
        phone.shown(at)
        for check in flows.known_checks():
            page = phone.get(f"{at}?ask={check.name}").text
            assert f'name="check" value="{check.name}"' in page
            assert "--" not in _text(page)
            assert "{" not in _text(page)


FORMS = [
    {},
    {"say": "none"},
    {"check": "nope", "say": "x"},
    {"check": "magnet", "say": "\0<b>"},
    {"check": "magnet", "skip": "yes", "say": "none"},
    {"check": "weight-in-water", "line-weight": "540 g", "line-jar": "900 g"},
    {"check": "form", "line-form": "a" * 3000},
    {"forget": "nothing"},
    {"size": "larger"},
    {"bare": "9"},
    {"bare": "x"},
    {"photo": "7", "tap.x": "1", "tap.y": "2", "wide": "3", "high": "3"},
    {"photo": "0", "tap.x": "99999", "tap.y": "2", "wide": "3", "high": "3"},
    {"photo": "0", "tap.x": "1", "tap.y": "1", "wide": "0", "high": "0"},
    {"photo": "-1", "tap.x": "٣", "tap.y": "1e9", "wide": "3", "high": "3"},
]


def test_forms_that_no_page_of_ours_sends_break_nothing(opened: Callable[..., Any]) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(sample("hinge.jpg"))
        for form in FORMS:
            for act in ("answer", "scratch"):
                assert "Could be" in phone.say(at, act, **form), form


def test_a_danger_that_is_noted_comes_first(opened: Callable[..., Any]) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(sample("pump-body.jpg"))
        page = phone.say(at, "answer", note="sealed fridge compressor")
        assert page.index("Leave it closed") < page.index("Pile")


def test_a_hostile_name_stays_text_and_no_folder_is_told(opened: Callable[..., Any], tmp_path: Path) -> None:
    hostile = '"><script>alert(1)</script>../../x.jpg'
    with opened(workers=1) as phone:
        page = phone.shown(phone.snap((hostile, b"not a photo at all")))
        assert "is not a photo that can be read" in page
        assert "<script>alert" not in page
        assert str(tmp_path) not in page
        good = phone.shown(phone.snap(("<img src=x onerror=alert(1)>.jpg", sample(VALVE)[1])))
        assert "<img src=x" not in good
        assert "Could be" in good
        assert not [path for path in tmp_path.rglob("*") if "<" in path.name]


def test_after_a_photo_that_can_not_be_read_another_is_asked_for_and_judged(opened: Callable[..., Any]) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(("broken.jpg", b"not a photo"))
        assert "is not a photo that can be read" in phone.shown(at)
        assert "Take another photo" in phone.shown(at)  # still there once the reason was read
        answer = phone.post(f"{at}/photos", data={"token": phone.token}, files=[("photo", sample(VALVE))])
        assert answer.status_code == 200, answer.text
        page = phone.shown(at)
        assert "Could be" in page
        assert "not a photo" not in page
        assert "Take another photo" not in page


def test_a_tap_counts_on_the_photo_it_was_on_where_another_can_not_be_read(
    opened: Callable[..., Any], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(("gone.jpg", b"not a photo"), sample("hinge.jpg"), sample(VALVE))
        page = phone.shown(at)
        assert "gone.jpg: is not a photo that can be read" in page
        assert str(tmp_path) not in page
        assert page.count('class="photo"') == 2
        tapped = phone.say(at, "scratch", photo="1", wide="768", high="576", **{"tap.x": "353", "tap.y": "178"})
        first, second = tapped.split('class="photo"')[1:]
        assert 'class="box"' not in first
        assert 'class="box"' in second
        phone.say(at, "keep")
        surfaces = [photo["bare"] for photo in flows.record_of("1").document["photos"]]
        assert surfaces[1] is None  # where a box was named, bare metal is not looked for


def test_another_phone_does_not_see_my_parts(opened: Callable[..., Any]) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(sample(VALVE))
        phone.shown(at)
        phone.cookies.clear()
        phone.get("/")
        assert phone.get(at).status_code == 404
        assert phone.get(f"{at}/photo/0").status_code == 404


def test_a_part_put_aside_is_gone_with_its_photos(opened: Callable[..., Any], tmp_path: Path) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(sample(VALVE))
        phone.shown(at)
        assert list((tmp_path / "photos").rglob("*.jpg"))
        phone.post(f"{at}/aside", data={"token": phone.token})
        assert not list((tmp_path / "photos").rglob("*"))
        assert phone.get(at).status_code == 404


def test_a_store_that_can_not_be_used_is_a_clear_page_and_the_part_stays(
    opened: Callable[..., Any], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "a-file").write_text("no folder")
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "a-file"))
    with opened(workers=1) as phone:
        at = phone.snap(sample(VALVE))
        assert "Could be" in phone.shown(at)
        answer = phone.post(f"{at}/keep", data={"token": phone.token})
        assert answer.status_code == 507
        assert "could not be kept" in answer.text
        assert "Traceback" not in answer.text
        assert "Could be" in phone.shown(at)


def test_a_full_disk_is_said_and_nothing_is_left_lying(
    opened: Callable[..., Any], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def full(path: Path, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    with opened(workers=1) as phone:
        token = phone.token
        monkeypatch.setattr(Path, "write_bytes", full)
        answer = phone.post("/part", data={"token": token}, files={"photo": sample(VALVE)})
        assert answer.status_code == 507
        assert "The disk is full." in answer.text
        assert "On the bench" not in phone.get("/").text
        assert not list((tmp_path / "photos").iterdir())


def test_a_folder_that_is_gone_is_said_without_a_trace(opened: Callable[..., Any], tmp_path: Path) -> None:
    with opened(workers=1) as phone:
        (tmp_path / "photos").rmdir()
        answer = phone.post("/part", data={"token": phone.token}, files={"photo": sample(VALVE)})
        assert answer.status_code == 500
        assert "can&#39;t be written" in answer.text
        assert "Traceback" not in answer.text


def test_who_comes_second_is_told_how_many_are_before(
    opened: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parts, "PATIENCE", 0.0)
    with opened(workers=1) as phone:
        sent = [phone.snap(sample(VALVE)) for _ in range(3)]
        waiting = phone.get(sent[2]).text
        assert "<h1>In line</h1>" in waiting
        assert "2 before it." in waiting
        assert all("Could be" in phone.shown(at) for at in sent)


def test_a_yard_may_name_the_pile_alone(opened: Callable[..., Any]) -> None:
    with opened(workers=1) as phone:
        at = phone.snap(sample(VALVE))
        phone.shown(at)
        phone.say(at, "keep")
        assert "is yellow brass. Who says so?" in phone.get("/records/1/say?pile=yellow-brass").text
        fields = {"token": phone.token, "material": "", "pile": "yellow-brass", "by": "yard"}
        assert "the yard took it for yellow brass" in phone.post("/records/1/confirm", data=fields).text
        assert phone.get("/records/1/say?material=unobtainium").status_code == 400
        flows.describe("dzr brass", "yellow-brass")
        own = "yellow-brass/dzr-brass"
        assert f'value="{own}"' in phone.get("/records/1").text
        assert "is dzr brass. Who says so?" in phone.get(f"/records/1/say?material={own}").text
        told = phone.post("/records/1/confirm", data={**fields, "pile": "", "material": own}).text
        assert "dzr brass" in told


def test_a_record_that_is_not_there_is_said_to_be_so(opened: Callable[..., Any]) -> None:
    with opened() as phone:
        phone.get("/")
        for page in ("/records/99", "/records?before=x", "/records?since=never", "/records?material=unobtainium"):
            answer = phone.get(page)
            assert answer.status_code == 400
            assert "That was not done." in answer.text


def _chances(page: str) -> list[str]:
    found = re.search(r'<table class="chances">(.*?)</table>', page, re.DOTALL)
    assert found is not None
    return re.findall(r'<rect width="([\d.]+)" height="4"/>', found[1])


def _text(page: str) -> str:
    """What a person reads of a page."""
    return re.sub(r"<[^>]*>", "", page.partition("<body>")[2])
