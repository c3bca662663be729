"""The physical checks: one file each, each ending with its CHECK. A new file here is asked, listed and used."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType

from idkit.vocabulary import Check


def _collect() -> Mapping[str, Check]:
    """Every CHECK of this folder by name, the quickest first."""
    found: list[Check] = [import_module(f"{__name__}.{module.name}").CHECK for module in iter_modules(__path__)]
    return MappingProxyType({check.name: check for check in sorted(found, key=lambda check: check.minutes)})


CHECKS = _collect()
