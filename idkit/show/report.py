"""What yards said against what the machine had said, in words and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from idkit import flows
from idkit.flows import Agreement, Mistake, Outcomes, Report
from idkit.show import kept
from idkit.show.words import counted
from idkit.vocabulary import Sample

FEW = 10  # parts under which a share says little
Lines = Iterator[tuple[str, str]]


def lines(report: Report) -> Lines:
    """The report as (style, line) pairs."""
    own = f" ({report.own_word} more on your own word only)" if report.own_word else ""
    yield "title", f"{counted(report.parts, 'part')} confirmed by a yard or an analyser{own}."
    if not report.parts:
        yield "", "Nothing to compare yet: idkit confirm RECORD MATERIAL --by yard"
        return
    right = report.parts - report.wrong
    yield "", f"The pile was right for {right} of them; sure and wrong: {report.sure_and_wrong}."
    yield "", ""
    yield from _agreements(report.agreements)
    yield from _outcomes("Chances against outcomes, parts picked at random:", report.at_random)
    if not report.at_random:
        yield "doubt", "No part picked at random is confirmed yet: what follows is mostly of doubtful parts."
        yield "dim", "  idkit samples pick proposes some."
    yield from _outcomes("Chances against outcomes, all confirmed parts:", report.outcomes)
    yield from _mistakes(report.mistakes)
    for sample in report.disputed:
        said = "; ".join(kept.said(label) for label in sample.labels if label.by == "yard")
        yield "warn", f"Yards disagree on record {sample.record} ({sample.part}): {said}."
    for line in report.downgrades:
        because = f", because of record {line.culprit}" if line.culprit is not None else ""
        sold, paid = flows.category_name(line.claimed), flows.category_name(line.paid)
        count = f"{counted(len(line.records), 'part')} sold as {sold}"
        yield "warn", f"{line.said_at[:10]} {_yard(line.yard)} paid {count} as {paid}{because}:"
        yield "", f"  {line.reason}"


def _agreements(rows: tuple[Agreement, ...]) -> Lines:
    yard = None
    for row in rows:
        if row.yard != yard:
            yard = row.yard
            yield "title", f"{_yard(yard)[0].upper()}{_yard(yard)[1:]}:"
            yield "dim", f"  {'said':30} {'month':8} {'same pile':>12} {'same metal':>12}"
        metal = f"{row.materials} of {row.named}" if row.named else "-"
        yield "", f"  {_named(row.what):30} {row.month:8} {f'{row.piles} of {row.parts}':>12} {metal:>12}"
    if rows:
        yield "", ""


def _yard(name: str) -> str:
    return f"the yard {name}" if name else "the yard"


def _named(what: str) -> str:
    known = {material.id: material.name for material in flows.nameable_materials()}
    return known.get(what) or flows.category_name(what)


def _outcomes(title: str, rows: tuple[Outcomes, ...]) -> Lines:
    if not rows:
        return
    yield "title", title
    yield "dim", f"  {'chance of the pile':22} {'said, mean':>12} {'right':>12}"
    for row in rows:
        few = "  few parts: says little" if row.parts < FEW else ""
        span = f"{100 * row.low:.0f} to {100 * row.high:.0f} %"
        yield "", f"  {span:22} {f'{100 * row.said:.0f} %':>12} {f'{row.right} of {row.parts}':>12}{few}"
    yield "", ""


def _mistakes(rows: tuple[Mistake, ...]) -> Lines:
    if rows:
        yield "title", "The dearest mistakes, by the chance given to wrong piles:"
    for row in rows:
        sample = row.sample
        sure = "sure" if sample.sure else "not sure"
        put = f"put on {flows.category_name(sample.pile)}, {sure}"
        yield "warn", f"  record {sample.record} ({sample.part}): {put}; {kept.said(sample.label)}"
        for photo in sample.photos[:1]:
            yield "dim", f"    {photo.file or f'idkit samples show {sample.record} --picture OUT.jpg'}"
        if row.check is None:
            yield "", "    No single check would have caught it more often than not."
        else:
            name = row.check.name.replace("-", " ")
            yield "", f"    {name} would have caught it ({flows.tenths(row.catches)}): {row.check.how}"
    if rows:
        yield "", ""


def row(report: Report) -> dict[str, Any]:
    """The report as JSON."""
    return {
        "parts": report.parts,
        "own_word": report.own_word,
        "wrong": report.wrong,
        "sure_and_wrong": report.sure_and_wrong,
        "agreements": [asdict(each) for each in report.agreements],
        "outcomes": [asdict(each) for each in report.outcomes],
        "at_random": [asdict(each) for each in report.at_random],
        "mistakes": [
            {
                "record": each.sample.record,
                "part": each.sample.part,
                "files": [photo.file for photo in each.sample.photos],
                "category": each.sample.pile,
                "sure": each.sample.sure,
                "label": kept.label_row(each.sample.label),
                "lost": each.lost,
                "check": each.check.name if each.check else None,
                "catches": each.catches,
            }
            for each in report.mistakes
        ],
        "disputed": [_disputed(sample) for sample in report.disputed],
        "downgrades": [asdict(each) for each in report.downgrades],
    }


def _disputed(sample: Sample) -> dict[str, Any]:
    return {"record": sample.record, "labels": [kept.label_row(label) for label in sample.labels]}
