"""The daybook of what is sold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from idkit import keep
from idkit.errors import CallError
from idkit.vocabulary import Answer, Entry, Label


@pytest.fixture(autouse=True)
def own_home(tmp_path, monkeypatch):
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path))


def test_lines_come_back_in_order_with_what_was_written():
    keep.write_acts(lambda _: [("pile", "brass bucket", "new", {"tare": "1.2 kg"}), ("load", "May", "new", {})])
    keep.write_acts(lambda _: [("pile", "brass bucket", "add", {"record": 3})])
    assert [(line.kind, line.act, dict(line.body)) for line in keep.acts("pile")] == [
        ("pile", "new", {"tare": "1.2 kg"}),
        ("pile", "add", {"record": 3}),
    ]
    assert [line.number for line in keep.acts()] == [1, 2, 3]


def test_what_compose_refuses_is_not_written():
    def refuse(before):
        raise CallError("pile", "got nothing")

    with pytest.raises(CallError):
        keep.write_acts(refuse)
    assert keep.acts() == ()
    seen = []
    keep.write_acts(lambda _: [("yard", "Old Quay", "new", {})])
    keep.write_acts(lambda before: seen.extend(before) or [])
    assert [line.name for line in seen] == ["Old Quay"]


def test_an_unknown_kind_is_not_written():
    with pytest.raises(Exception, match="CHECK"):
        keep.write_acts(lambda _: [("song", "x", "new", {})])


def test_a_ticket_is_settled_whole_or_not_at_all():
    answers = {"weight": Answer("weight", 1.0, "kg", 0.001, "1 kg")}
    chances, document = {"lead": 1.0}, {"categories": []}
    entry = Entry("pipe", "identify", "as-found", answers, chances, "lead", True, ("m", "d"), document, ())
    record = keep.add(entry, None)
    label = Label(record, "", "yard", "Old Quay", ("lead",), "lead")
    down = keep.Downgrade("Old Quay", "lead", "tin", "tin in it", (record,))

    def refuse(before):
        raise CallError("load", "was confirmed already")

    with pytest.raises(CallError):
        keep.settle(refuse, [label], [down])
    with pytest.raises(CallError, match="99"):
        keep.settle(lambda _: [("load", "May", "confirm", {})], [label], [replace(down, records=(99,))])
    assert (keep.acts(), keep.show(record).labels, keep.downgrades()) == ((), (), ())
    keep.settle(lambda _: [("load", "May", "confirm", {})], [label], [down])
    assert len(keep.acts()) == len(keep.show(record).labels) == len(keep.downgrades()) == 1


def test_letters_that_are_no_text_are_refused_in_one_line():
    with pytest.raises(CallError, match="brass bucket: got letters that are no text"):
        keep.write_acts(lambda _: [("pile", "brass bucket", "new", {"place": "shelf \udcff"})])
    assert keep.acts() == ()
