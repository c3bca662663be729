"""Every part of a folder kept as a record, from what its journal holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from idkit import flows
from idkit.batch import Journal, Plan
from idkit.errors import PhotoError, StoreError
from idkit.show.beside import Lines, shortened


@dataclass(frozen=True)
class Kept:
    """The record of each part, what is said of them, and whether any could not be kept."""

    records: Mapping[str, int] = field(default_factory=dict)
    said: Lines = ()
    failed: bool = False


NONE = Kept()
FEW = 12  # records that are named


def keep(plan: Plan, journal: Journal, folder: Path, *, with_photo: bool) -> Kept:
    """Keep what is done of the plan; a part that was kept as it is keeps its record. The rest is done all the same."""
    records: dict[str, int] = {}
    failed: list[str] = []
    added: list[int] = []
    new = 0
    for job in plan.jobs:
        for tag in journal.outcome(job.part).tags if job.part in journal.entries else ():
            name = tag["part"]["part"]
            try:
                records[name], fresh = flows.keep_waiting(tag["kept"], tag["part"], folder, with_photo=with_photo)
                added += [records[name]] if fresh and not job.each else []
            except PhotoError as error:
                failed.append(f"{name} is not kept: {error}")
                continue
            except StoreError as error:  # nor could any other be kept
                return Kept(records, (("warn", f"Records: {len(records)} kept, no more: {error}"),), failed=True)
            new += fresh
    before = f", {len(records) - new} were kept before" if len(records) > new else ""
    missing = f", {len(failed)} could not be" if failed else ""
    done = f"Records: {new} kept{before}{missing}. When the yard has spoken: idkit confirm"
    twice = [each for each, same in flows.same_photos(added).items() if set(same) - set(records.values())]
    again = [("warn", _twice(twice))] if twice else []
    return Kept(records, (*shortened(failed), ("", done), *again), failed=bool(failed))


def _twice(records: list[int]) -> str:
    named = ",".join(map(str, records[:FEW])) + (" ..." if len(records) > FEW else "")
    which = f"The photo of record {named} is in another record too"
    if len(records) > 1:
        which = f"{len(records)} of them hold photos that other records hold already: {named}"
    return f"{which}. Where it is the same part, idkit samples remove keeps it from counting twice."
