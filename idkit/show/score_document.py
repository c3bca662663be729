"""A score as the JSON document that other programs read."""

from __future__ import annotations

import json
import math
from typing import Any

from idkit import flows
from idkit.flows import Labels, Score, Scored, Share, Told

SCHEMA = 1
DIGITS = 12


def document(scored: Scored, known: Labels, table: str) -> str:
    """The score as one JSON document: shares, intervals and losses as numbers, what could not be had as null."""
    found = {
        "schema": SCHEMA,
        "labels": table,
        "parts": len(scored.told),
        "unread": list(scored.unread),
        "columns_not_read": list(known.not_read),
        "rows_without_answer": known.without,
        "scores": {name: _score(score) for name, score in scored.scores.items()},
        "likely_sets": [
            {"pattern": each.pattern, "held": _share(each.held), "size": each.size} for each in scored.covers
        ],
        "sure": {
            "count": scored.sure.count,
            "of": scored.sure.of,
            "wrong": list(scored.sure.wrong),
            "wrong_at_most": scored.sure.at_most,
        },
        "unlike_known": _share(scored.unlike),
        "each": [_told(each) for each in scored.told],
        "model": {"name": scored.model[0], "digest": scored.model[1]},
        "simulated": scored.simulated,
    }
    return json.dumps(_finite(found), indent=1, ensure_ascii=False)


def _score(score: Score) -> dict[str, Any]:
    return {
        "right": _share(score.right),
        "intervals_by_group": score.grouped,
        "log_loss": vars(score.log_loss),
        "brier": vars(score.brier),
        "expected_calibration_error": score.calibration_error,
        "reliability": [vars(each) for each in score.bins],
        "selective": [
            {"least": each.least, **_share(flows.share_of(each.right, each.count))} for each in score.selective
        ],
        "by_name": {name: _share(share) for name, share in score.by_name.items()},
        "confusion": {"names": list(score.names), "true_by_said": score.confusion.tolist()},
    }


def _share(share: Share) -> dict[str, Any]:
    return {"right": share.right, "count": share.count, "share": share.value, "low": share.low, "high": share.high}


def _told(told: Told) -> dict[str, Any]:
    """One part: the truth as far as it is known, and the first answer to each question with its chance."""
    first = {name: max(row, key=row.__getitem__) for name, row in told.chances.items() if row}
    return {
        "part": told.part,
        "truth": {name: true or None for name, true in told.truth.items()},
        "first": {name: {"name": said, "chance": told.chances[name][said]} for name, said in first.items()},
        "chance_of_truth": {
            name: told.chances[name].get(true, 0.0) for name, true in told.truth.items() if true and told.chances[name]
        },
        "likely": list(told.likely),
        "pattern": told.pattern,
        "sure": told.sure,
        "unlike_known": told.unlike,
    }


def _finite(value: Any) -> Any:
    """The same with null for every number that is none, and DIGITS significant digits of the others."""
    if isinstance(value, dict):
        return {name: _finite(each) for name, each in value.items()}
    if isinstance(value, list):
        return [_finite(each) for each in value]
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None
    return value
