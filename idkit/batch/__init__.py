"""Folders: which photos are one part, what was done before, and doing the rest on this machine or on many."""

from idkit.batch.cluster import on_cluster
from idkit.batch.grouping import RULES
from idkit.batch.jobs import Describe, Job, Manner, Outcome, Problem, Tag
from idkit.batch.journal import Journal
from idkit.batch.processes import on_this_machine
from idkit.batch.sheet import Rows, WrongCells, guarded, read_rows, write_rows
from idkit.batch.tagging import Plan, Ways, done, left, opened, plan
from idkit.batch.walking import MADE

__all__ = [
    "Describe",
    "Job",
    "Journal",
    "MADE",
    "Manner",
    "Outcome",
    "Plan",
    "Problem",
    "RULES",
    "Rows",
    "Tag",
    "Ways",
    "WrongCells",
    "done",
    "guarded",
    "left",
    "on_cluster",
    "on_this_machine",
    "opened",
    "plan",
    "read_rows",
    "write_rows",
]
