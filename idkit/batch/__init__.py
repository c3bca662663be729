"""Folders: which photos are one part, what was done before, and doing the rest on this machine or on many."""

from idkit.batch.cells import MARKS, decimal
from idkit.batch.cells import write as write_table
from idkit.batch.cluster import on_cluster
from idkit.batch.grouping import RULES
from idkit.batch.jobs import Describe, Job, Manner, Outcome, Problem, Tag
from idkit.batch.journal import Journal
from idkit.batch.made import COPIES, RESULTS, make, refuse
from idkit.batch.processes import on_this_machine
from idkit.batch.sheet import Sheet, ToFillIn, WrongCells, read_rows, write_rows
from idkit.batch.tagging import Plan, Ways, done, left, opened, plan, unmet

__all__ = [
    "COPIES",
    "Describe",
    "Job",
    "Journal",
    "MARKS",
    "Manner",
    "Outcome",
    "Plan",
    "Problem",
    "RESULTS",
    "RULES",
    "Sheet",
    "Tag",
    "ToFillIn",
    "Ways",
    "WrongCells",
    "decimal",
    "done",
    "left",
    "make",
    "on_cluster",
    "on_this_machine",
    "opened",
    "plan",
    "read_rows",
    "refuse",
    "unmet",
    "write_rows",
    "write_table",
]
