"""Visitors are few and for a time, and nothing that is not kept is dropped to make room."""

from __future__ import annotations

from pathlib import Path

import pytest

from idkit.show.web import visitors
from idkit.show.web.visitors import Visitors
from idkit.show.web.working import NotDone


def test_who_has_nothing_open_makes_room_and_who_has_does_not(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(visitors, "MOST", 2)
    known = Visitors(tmp_path)
    busy, idle = known.welcome(), known.welcome()
    known.lay(busy, 0)
    third = known.welcome()
    assert known.of(idle.cookie) is None
    assert known.of(busy.cookie) is busy
    known.lay(third, 0)
    with pytest.raises(NotDone, match="2 others have parts open"):
        known.welcome()


def test_who_does_nothing_for_a_day_is_forgotten_with_their_photos(tmp_path: Path) -> None:
    now = [0.0]
    known = Visitors(tmp_path, lambda: now[0])
    old = known.welcome()
    part = known.lay(old, 0)
    (part.folder / "tap.jpg").write_bytes(b"photo")
    now[0] = visitors.IDLE + 1
    known.welcome()
    assert known.of(old.cookie) is None
    assert not part.folder.exists()


def test_a_full_bench_drops_what_is_kept_and_refuses_before_it_drops_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(visitors, "OPEN", 3)
    known = Visitors(tmp_path)
    one = known.welcome()
    parts = [known.lay(one, 0) for _ in range(3)]
    with pytest.raises(NotDone, match="3 parts lie open"):
        known.lay(one, 0)
    parts[1].kept = 7
    known.lay(one, 0)
    assert parts[1].id not in one.parts
    assert parts[0].id in one.parts
    assert known.unkept == 3


def test_cookies_and_tokens_are_long_and_each_its_own(tmp_path: Path) -> None:
    """OWASP's advice on session ids asks for 64 random bits at the least (from memory); these have 256."""
    known = Visitors(tmp_path)
    secrets = [secret for each in (known.welcome(), known.welcome()) for secret in (each.cookie, each.token)]
    assert len(set(secrets)) == 4
    assert min(len(secret) for secret in secrets) >= 43
