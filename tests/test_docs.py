"""The documentation can't lie: its commands run, its lists are current, every command is in it."""

from __future__ import annotations

import importlib.util
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import cv2
import pytest

from idkit.show import cli

ROOT = Path(__file__).resolve().parents[1]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
CALL = re.compile(r"^\.venv/bin/idkit (.+)$", re.MULTILINE)


def calls() -> list[str]:
    """Every idkit command that stands on a line of its own in the README."""
    return CALL.findall((ROOT / "README.md").read_text("utf-8"))


@pytest.mark.parametrize("call", calls())
def test_readme_commands_run(
    call: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "sample_images").symlink_to(ROOT / "sample_images")
    assert cli.run(shlex.split(call)) == 0
    out = capsys.readouterr()
    assert "Confirm at the yard" in out.out
    assert out.err == ""


def test_the_readme_has_commands_to_run() -> None:
    assert len(calls()) >= 4


@pytest.fixture(scope="module")
def generate() -> ModuleType:
    spec = importlib.util.spec_from_file_location("generate", ROOT / "docs" / "generate.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_lists_are_current(generate: ModuleType) -> None:
    assert generate.main(["--check"]) == 0


def test_every_cue_has_one_section(generate: ModuleType) -> None:
    text = (ROOT / "docs" / "cues.md").read_text("utf-8")
    assert generate.without_section(text) == []
    assert generate.without_section(text.replace("### `glints`, `hollows`", "### `glints`, `sparks`")) == [
        "no section on `hollows`",
        "`sparks` is no cue",
    ]
    assert generate.without_section(text + "\n### `hue`\n") == ["`hue` has two sections"]


def test_a_cue_without_section_fails_the_check(
    generate: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (ROOT / "docs" / "cues.md").read_text("utf-8")
    (tmp_path / "cues.md").write_text(text.replace("### `glare`", "### glare"), "utf-8")
    monkeypatch.setattr(generate, "FOLDER", tmp_path)
    assert generate.main(["--check"]) == 1
    assert "no section on `glare`" in capsys.readouterr().err


def test_pictures_of_cues_are_current(tmp_path: Path) -> None:
    """Drawn anew they look the same: within 3 of 255 levels at the mean, for other versions draw a little otherwise."""
    call = [sys.executable, str(ROOT / "docs" / "draw_cues.py"), str(tmp_path)]
    subprocess.run(call, check=True, capture_output=True, env={**os.environ, "PYTHONPATH": str(ROOT)})
    kept = sorted((ROOT / "docs" / "pictures").glob("*.jpg"))
    assert [path.name for path in kept] == sorted(path.name for path in tmp_path.glob("*.jpg"))
    for path in kept:
        old, new = (cv2.imread(str(folder / path.name)).astype(float) for folder in (path.parent, tmp_path))
        assert old.shape == new.shape, f"{path.name}: run python docs/draw_cues.py"
        assert abs(old - new).mean() < 3, f"{path.name}: run python docs/draw_cues.py"


def test_pictures_are_shown_and_small() -> None:
    text = (ROOT / "docs" / "cues.md").read_text("utf-8")
    for path in (ROOT / "docs" / "pictures").glob("*.jpg"):
        assert f"(pictures/{path.name})" in text
        assert path.stat().st_size < 120_000


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", page.read_text("utf-8")):
        assert "://" in target or (page.parent / target).exists(), target


def test_the_load_from_photos_to_ticket_says_what_its_page_has(tmp_path: Path) -> None:
    """Every command of docs/a-load.md, run one after another with a store of its own."""
    spec = importlib.util.spec_from_file_location("a_load", ROOT / "docs" / "a_load.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    text = (ROOT / "docs" / "a-load.md").read_text("utf-8")
    assert len(module.CALL.findall(text)) >= 20
    assert module.run_anew(text, tmp_path) == text
