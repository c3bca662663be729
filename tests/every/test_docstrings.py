"""Every public name says what it is. Read from the text, so that no extra needs to be installed."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2] / "idkit"
MODULES = sorted(path for path in ROOT.rglob("*.py") if path.read_text("utf-8").strip())
DEFINITIONS = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def public(body: list[ast.stmt], prefix: str = "") -> Iterator[tuple[str, DEFINITIONS]]:
    """The public functions and classes, and the public methods of those."""
    for node in body:
        if isinstance(node, DEFINITIONS) and not node.name.startswith("_"):
            yield prefix + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node.body, f"{node.name}.")


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_every_public_name_has_a_docstring(path: Path) -> None:
    module = ast.parse(path.read_text("utf-8"))
    assert ast.get_docstring(module), "the module itself"
    missing = [name for name, node in public(module.body) if not ast.get_docstring(node)]
    assert not missing


def test_there_is_something_to_read() -> None:
    assert len(MODULES) > 30
