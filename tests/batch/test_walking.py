"""Every photo once, whatever lies around it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from idkit.batch import made
from idkit.batch.walking import walk
from idkit.errors import CallError

HOSTILE = [
    "two words.jpg",
    'it\'s "quoted".jpg',
    "new\nline.jpg",
    "=1+1.jpg",
    "-rf.jpg",
    "ключ.jpg",
    "扳手.jpg",
    "🔩.jpg",
]
posix = pytest.mark.skipif(os.name != "posix", reason="needs symbolic links and names made of bytes")


def test_names_of_any_script_and_with_any_sign_are_found(tmp_path: Path) -> None:
    for name in HOSTILE:
        (tmp_path / name).write_bytes(b"\xff\xd8\xff")
    assert sorted(walk(tmp_path).photos) == sorted(HOSTILE)


@posix
def test_a_name_that_is_no_text_is_found(tmp_path: Path) -> None:
    with open(os.fsencode(tmp_path) + b"/caf\xe9.jpg", "wb") as file:  # noqa: PTH123
        file.write(b"\xff\xd8\xff")
    assert walk(tmp_path).photos == ("caf\udce9.jpg",)


@posix
def test_loops_and_links_are_followed_once_and_real_files_come_first(tmp_path: Path) -> None:
    deep = tmp_path.joinpath("z", *"abcdefghi")
    deep.mkdir(parents=True)
    (deep / "tap.jpg").write_bytes(b"\xff\xd8\xff")
    (tmp_path / "a-loop").symlink_to(tmp_path)
    (deep / "up").symlink_to(tmp_path / "z")
    (tmp_path / "again").symlink_to(deep)
    (tmp_path / "tap-again.jpg").symlink_to(deep / "tap.jpg")
    (tmp_path / "itself.jpg").symlink_to(tmp_path / "itself.jpg")
    (tmp_path / "nowhere.jpg").symlink_to(tmp_path / "gone.jpg")
    found = walk(tmp_path)
    assert found.photos == ("z/a/b/c/d/e/f/g/h/i/tap.jpg",)
    assert [name for name, _ in found.unread] == ["itself.jpg", "nowhere.jpg"]


@posix
def test_a_folder_elsewhere_is_followed_by_one_of_two_links(tmp_path: Path) -> None:
    shed, phone = tmp_path / "shed", tmp_path / "phone"
    shed.mkdir()
    phone.mkdir()
    (phone / "tap.jpg").write_bytes(b"\xff\xd8\xff")
    for name in ("first", "second"):
        (shed / name).symlink_to(phone)
    assert walk(shed).photos == ("first/tap.jpg",)


@posix
def test_what_is_no_file_is_left_alone(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    os.mkfifo(tmp_path / "pipe")
    found = walk(tmp_path)
    assert found.photos == ()
    assert found.others == 2


def test_many_files_that_are_no_photos_are_counted_and_not_opened(tmp_path: Path) -> None:
    for number in range(500):
        (tmp_path / f"note-{number}.txt").touch()
    (tmp_path / "photo").write_bytes(b"\xff\xd8\xff\xe0")  # without an ending: told by how it starts
    (tmp_path / "list").write_text("a shopping list")
    (tmp_path / ".hidden.jpg").write_bytes(b"\xff\xd8\xff")
    found = walk(tmp_path)
    assert found.photos == ("photo",)
    assert found.others == 501


def test_a_folder_that_idkit_made_is_not_looked_into(tmp_path: Path) -> None:
    folder = tmp_path / "sorted"
    made.make(folder, "--sort", made.COPIES)
    (folder / "tap.jpg").write_bytes(b"\xff\xd8\xff")
    found = walk(tmp_path)
    assert found.photos == ()
    assert found.made == ("sorted",)  # which is said


def test_a_photo_that_was_put_among_results_is_said(tmp_path: Path) -> None:
    made.make(tmp_path / "idkit-tags", "--out", made.RESULTS)
    (tmp_path / "idkit-tags" / "tap.jpg").write_bytes(b"\xff\xd8\xff")
    ((name, why),) = walk(tmp_path).unread
    assert name == "idkit-tags/tap.jpg"
    assert "put it elsewhere" in why


def test_a_file_of_that_name_that_idkit_did_not_write_hides_no_photo(tmp_path: Path) -> None:
    (tmp_path / made.MARK).write_text("the folder that my nephew made with idkit")
    (tmp_path / "tap.jfif").write_bytes(b"\xff\xd8\xff")
    assert walk(tmp_path).photos == ("tap.jfif",)


def test_no_folder_is_one_line(tmp_path: Path) -> None:
    with pytest.raises(CallError, match="no such folder"):
        walk(tmp_path / "gone")


@posix
def test_what_can_not_be_reached_is_said(tmp_path: Path) -> None:
    """A path longer than the system takes, as one grows by moving folders into folders."""
    deep, here = tmp_path, os.getcwd()  # noqa: PTH109
    try:
        for _ in range(20):
            os.chdir(deep if deep == tmp_path else "x" * 250)
            Path("x" * 250).mkdir()
            deep = deep / ("x" * 250)
    finally:
        os.chdir(here)
    assert walk(tmp_path).unread
