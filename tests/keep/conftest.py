"""A home of its own for every test, and made-up records."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable
from pathlib import Path

import pytest

from idkit.vocabulary import Entry, KeptPhoto

MakeEntry = Callable[..., Entry]


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    return tmp_path / "idkit"


@pytest.fixture
def make_entry() -> MakeEntry:
    """An entry whose photos are made from `seeds`: the same seed is the same photo."""

    def make(*seeds: int, material: str = "yellow-brass", pile: str = "yellow-brass", **more: object) -> Entry:
        photos = tuple(
            KeptPhoto(
                file=f"/bench/{seed}.jpg",
                sha256=hashlib.sha256(b"%d" % seed).hexdigest(),
                cues={"redness": 1.25, "hollows": float("nan")},
                white={"kind": "paper", "red_green": 0.0, "blue_green": 0.0, "uncertainty": 0.1, "grid": [[0, 0, 1]]},
                log_photo={"yellow-brass": 0.5},
                likeness=random.Random(seed).randbytes(32),
                thumbnail=b"small %d" % seed,
            )
            for seed in seeds
        )
        fields: dict[str, object] = {
            "part": "tap",
            "origin": "identify",
            "surface": "as-found",
            "answers": {},
            "chances": {material: 0.75, "lead": 0.25},
            "pile": pile,
            "sure": False,
            "model": ("starter", "abc"),
            "document": {"part": "tap"},
            "photos": photos,
        }
        return Entry(**{**fields, **more})  # type: ignore[arg-type]

    return make
