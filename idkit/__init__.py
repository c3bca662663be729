"""Which metal a part is made of: photo cues and bench answers to chances, with the yard's word last."""

from __future__ import annotations

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_HOME = {
    "CallError": "idkit.errors",
    "Identified": "idkit.flows",
    "IdkitError": "idkit.errors",
    "PhotoError": "idkit.errors",
    "Record": "idkit.vocabulary",
    "Verdict": "idkit.vocabulary",
    "identify": "idkit.flows",
}
__all__ = ["CallError", "Identified", "IdkitError", "PhotoError", "Record", "Verdict", "__version__", "identify"]


def __getattr__(name: str) -> Any:
    """Public names are fetched when asked for, so that `idkit --help` need not load what reads photos."""
    if name not in _HOME:
        message = f"module 'idkit' has no attribute {name!r}"
        raise AttributeError(message)
    return getattr(import_module(_HOME[name]), name)
