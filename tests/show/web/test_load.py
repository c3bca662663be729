"""The load list on the page: begun, filled, taken off, closed, as a browser without script does it."""

from __future__ import annotations

import html
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from idkit import flows
from idkit.show import cli
from idkit.vocabulary import Answer, Entry

Opened = Callable[..., Any]
# Invented prices.
PRICES = "category,state,price,unit,currency\ncopper,,7.00,kg,EUR\nyellow brass,,4.00,kg,EUR\n"


@pytest.fixture(autouse=True)
def sold(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    table = tmp_path / "prices.csv"
    table.write_text(PRICES, encoding="utf-8")
    assert cli.run(["yard", "new", "Old Quay Metals"]) == 0
    assert cli.run(["prices", "use", str(table)]) == 0


def send(phone: Any, act: str, **fields: str) -> str:
    """Send a form of the load; the page that it leads to."""
    answer = phone.post(f"/load/{act}", data={"token": phone.token, **fields}, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return html.unescape(phone.get(answer.headers["location"]).text)


def kept() -> int:
    from idkit import keep

    answers = {"weight": Answer("weight", 0.65, "kg", 0.001, "650 g")}
    document = {"part": "tap", "categories": [{"id": "yellow-brass", "chance": 1.0}]}
    chances = {"yellow-brass": 1.0}
    entry = Entry("tap", "page", "as-found", answers, chances, "yellow-brass", True, ("m", "d"), document, ())
    return keep.add(entry, None)


def test_a_record_and_a_weighed_line_go_on_and_show_what_they_fetch(opened: Opened) -> None:
    number = kept()
    with opened() as phone:
        assert "No load yet" in phone.get("/load").text
        assert "Put it on the load" in phone.get(f"/records/{number}").text
        on = send(phone, "add", record=str(number))
        assert "Load to Old Quay Metals" in on
        assert "About 2.60 EUR" in on  # 0.65 kg at 4.00
        fields = {"load": "Load", "category": "copper", "gross": "6 kg", "tare": "1 kg", "what": "pipe <b>"}
        on = send(phone, "add", **fields)
        assert "About 37.60 EUR" in on
        assert "pipe &lt;b&gt;" in phone.get("/load").text
        off = send(phone, "take-off", load="Load", line="1")
        assert "About 35.00 EUR" in off
        assert "Open it again" in send(phone, "close", load="Load")
        assert "Weigh something onto it" in send(phone, "close", load="Load", again="yes")


def test_two_loads_are_told_apart(opened: Opened) -> None:
    with opened() as phone:
        send(phone, "new", name="May", payload="100 kg")
        second = send(phone, "new", name="June")
        assert "<h1>June" in second
        assert "/load?load=May" in second
        assert "/load?load=June" not in second
        assert "100 kg (220.46 lb) more may go on" not in second
        assert "100 kg (220.46 lb) more may go on" in phone.get("/load?load=May").text


@pytest.mark.parametrize(
    ("act", "fields", "told"),
    [
        ("add", {"load": "May", "category": "copper"}, "neither a weight nor pieces"),
        ("add", {"load": "May", "category": "copper", "gross": "heavy"}, "got 'heavy'"),
        ("add", {"load": "May", "category": "copper", "pieces": "-3"}, "a number of pieces"),
        ("add", {"load": "nowhere", "category": "copper", "weight": "1 kg"}, "no load"),
        ("take-off", {"load": "May", "line": "4"}, "got 4"),
        ("new", {"name": "x" * 90}, "1 to 60 letters"),
    ],
)
def test_what_can_not_be_is_a_clear_page(opened: Opened, act: str, fields: dict[str, str], told: str) -> None:
    with opened() as phone:
        send(phone, "new", name="May")
        answer = phone.post(f"/load/{act}", data={"token": phone.token, **fields}, follow_redirects=False)
        assert answer.status_code == 400
        assert told in html.unescape(answer.text)
        assert flows.loads()["May"].lines == ()


def test_what_was_typed_stays_in_the_form_where_it_can_not_be(opened: Opened) -> None:
    with opened() as phone:
        send(phone, "new", name="May")
        typed = {"load": "May", "category": "copper", "state": "dirty", "gross": "14,5", "what": 'pipe "old"'}
        page = html.unescape(phone.post("/load/add", data={"token": phone.token, **typed}).text)
        assert "got '14,5'; right is a weight with its unit" in page
        assert 'value="copper" selected' in page
        assert "<option selected>dirty</option>" in page
        assert 'value="14,5"' in page
        assert 'value="pipe "old""' in page
        begun = html.unescape(
            phone.post("/load/new", data={"token": phone.token, "name": "June", "payload": "much"}).text
        )
        assert 'value="June"' in begun
        assert "got 'much'" in begun


def test_without_its_token_nothing_is_written(opened: Opened) -> None:
    with opened() as phone:
        answer = phone.post("/load/new", data={"token": "no", "name": "May"}, follow_redirects=False)
        assert answer.status_code == 403
        assert dict(flows.loads()) == {}
