"""Finds the kinds that live one to a file: sorted discovery that refuses duplicates."""

from __future__ import annotations

import importlib
import pkgutil
from typing import Any


def members(package: str, attribute: str) -> list[Any]:
    """Every `attribute` of the modules of a package, in the order of the module names."""
    module = importlib.import_module(package)
    names = sorted(info.name for info in pkgutil.iter_modules(module.__path__))
    items = (getattr(importlib.import_module(f"{package}.{name}"), attribute, None) for name in names)
    return [item for item in items if item is not None]


def discover(package: str, attribute: str = "KIND") -> dict[str, Any]:
    """Every `attribute` of the modules of a package, by its `name`, sorted. Raises ValueError for a name twice."""
    found: dict[str, Any] = {}
    for item in members(package, attribute):
        if item.name in found:
            raise ValueError(f"{package} declares {item.name!r} twice")
        found[item.name] = item
    return dict(sorted(found.items()))
