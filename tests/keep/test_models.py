"""Models of one's own: kept whole or not at all, switched at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from idkit import keep
from idkit.errors import StoreError


def write(folder: Path, name: str) -> None:
    (folder / f"{name}.json").write_text("{}", encoding="utf-8")


def test_each_gets_the_next_name_and_none_is_in_use_before_it_is_said() -> None:
    assert keep.models() == ()
    assert keep.model_in_use() == ""
    assert [keep.new_model(write) for _ in range(3)] == ["own-1", "own-2", "own-3"]
    assert keep.models() == ("own-1", "own-2", "own-3")
    assert keep.model_in_use() == ""
    keep.use_model("own-2")
    assert keep.model_in_use() == "own-2"
    keep.use_model("")
    assert keep.model_in_use() == ""


def test_one_that_could_not_be_written_leaves_nothing_and_the_one_in_use_stays() -> None:
    keep.use_model(keep.new_model(write))

    def fail(folder: Path, name: str) -> None:
        write(folder, name)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        keep.new_model(fail)
    assert keep.models() == ("own-1",)
    assert keep.model_in_use() == "own-1"
    assert sorted(path.name for path in keep.models_folder().iterdir()) == ["in-use.txt", "own-1"]


@pytest.mark.parametrize("said", ["../../etc", "own-1/../..", "own-0", "x" * 500, "\x00"])
def test_a_line_that_names_no_model_is_refused_with_the_way_back(said: str) -> None:
    keep.models_folder().mkdir(parents=True)
    (keep.models_folder() / "in-use.txt").write_text(said, encoding="utf-8")
    with pytest.raises(StoreError, match="idkit models use starter"):
        keep.model_in_use()
    keep.use_model("")
    assert keep.model_in_use() == ""


def test_a_folder_that_can_not_be_written_is_one_line(own_home: Path) -> None:
    own_home.mkdir()
    (own_home / "models").write_text("a file", encoding="utf-8")
    with pytest.raises(StoreError, match="set IDKIT_HOME"):
        keep.new_model(write)


def test_two_that_are_made_at_once_both_get_a_name() -> None:
    def slow(folder: Path, name: str) -> None:
        if len(keep.models()) == 0:
            keep.new_model(write)  # another process is quicker
        write(folder, name)

    assert keep.new_model(slow) == "own-2"
    assert [sorted(path.name for path in (keep.models_folder() / f"own-{n}").iterdir()) for n in (1, 2)] == [
        ["own-1.json"],
        ["own-2.json"],
    ]
