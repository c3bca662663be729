"""Every part of a folder kept as a record, from what its journal holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from idkit import flows
from idkit.batch import Journal, Plan
from idkit.errors import PhotoError, StoreError

Lines = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Kept:
    """The record of each part, what is said of them, and whether any could not be kept."""

    records: Mapping[str, int] = field(default_factory=dict)
    said: Lines = ()
    failed: bool = False


NONE = Kept()


def keep(plan: Plan, journal: Journal, folder: Path, *, with_photo: bool) -> Kept:
    """Keep what is done of the plan; a part that was kept as it is keeps its record. The rest is done all the same."""
    records: dict[str, int] = {}
    new = 0
    try:
        for job in plan.jobs:
            for tag in journal.outcome(job.part).tags if job.part in journal.entries else ():
                number, fresh = flows.keep_waiting(tag["kept"], tag["part"], folder, with_photo=with_photo)
                records[tag["part"]["part"]] = number
                new += fresh
    except (StoreError, PhotoError) as error:
        return Kept(records, (("warn", f"not kept: {error}"),), failed=True)
    before = f", {len(records) - new} were kept before" if len(records) > new else ""
    return Kept(records, (("", f"Records: {new} kept{before}. When the yard has spoken: idkit confirm"),))
