"""The documentation can't lie: its commands run, its lists are current, every command is in it."""

from __future__ import annotations

import importlib.util
import re
import shlex
from pathlib import Path

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


def test_lists_are_current() -> None:
    spec = importlib.util.spec_from_file_location("generate", ROOT / "docs" / "generate.py")
    assert spec is not None
    assert spec.loader is not None
    generate = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(generate)
    assert generate.main(["--check"]) == 0


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", page.read_text("utf-8")):
        assert "://" in target or (page.parent / target).exists(), target
