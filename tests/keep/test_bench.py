"""The bench: saved whole, read back, never lost, and refused in one line where it can't be."""

from __future__ import annotations

from pathlib import Path

import pytest

from idkit import flows, keep
from idkit.errors import CallError, StoreError
from idkit.keep.home import home


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    return tmp_path / "idkit"


def test_a_plain_bench_where_nothing_was_saved(own_home: Path) -> None:
    assert home() == own_home
    assert flows.bench() == keep.read_bench()
    assert not flows.bench().scales
    assert not own_home.exists()  # reading makes nothing


def test_what_is_saved_is_read_back_and_the_rest_stays() -> None:
    flows.save_scale("Kitchen", "1 g")
    flows.save_scale("luggage", "10 g")
    flows.set_words("us")
    flows.set_magnet("fridge magnet")
    flows.save_scale("kitchen", "0.1 g")
    bench = flows.bench()
    assert bench.scales == {"kitchen": pytest.approx(0.0001), "luggage": pytest.approx(0.01)}
    assert (bench.words, bench.magnet) == ("us", "ferrite")


@pytest.mark.parametrize("name", ["", "1 g", "a:b"])
def test_a_name_that_could_be_a_weight_is_refused(name: str) -> None:
    with pytest.raises(CallError, match="scale: got the name"):
        flows.save_scale(name, "1 g")


def test_a_tool_that_no_check_needs_is_refused_by_the_list_of_those_that_do() -> None:
    with pytest.raises(CallError, match="tool: got 'spoon'"):
        flows.own("spoon")


@pytest.mark.parametrize(
    "text", ["", "{", '{"scales": 3}', '{"scales": {"k": "x"}, "tools": [], "magnet": "", "words": ""}']
)
def test_a_broken_file_is_said_and_left_alone(own_home: Path, text: str) -> None:
    own_home.mkdir(parents=True)
    (own_home / "bench.json").write_text(text, "utf-8")
    with pytest.raises(StoreError, match="bench.json"):
        flows.save_scale("kitchen", "1 g")
    assert (own_home / "bench.json").read_text("utf-8") == text


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("mine", "utf-8")
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "file" / "under"))
    with pytest.raises(StoreError, match="can't be written"):
        flows.set_words("us")
    assert (tmp_path / "file").read_text("utf-8") == "mine"


def test_no_half_written_file_is_left(own_home: Path) -> None:
    flows.save_scale("kitchen", "1 g")
    assert [path.name for path in own_home.iterdir()] == ["bench.json"]


def test_a_saved_scale_goes_by_its_name_and_a_step_by_itself() -> None:
    flows.save_scale("floor", "100 g")
    known = flows.bench()
    assert flows.on_this_bench("floor", {}, known)["scale"] == "floor: 100 g"
    assert flows.on_this_bench("1 g", {}, known)["scale"] == "1 g"
    with pytest.raises(CallError, match="--scale: got 'truck'.*floor"):
        flows.on_this_bench("truck", {}, known)


def test_the_magnet_of_the_bench_is_noted_where_one_was_held() -> None:
    flows.set_magnet("neodymium")
    known = flows.bench()
    assert flows.on_this_bench("", {"magnet": "weak"}, known)["magnet-kind"] == "neodymium"
    assert "magnet-kind" not in flows.on_this_bench("", {"magnet": ""}, known)
