"""Finds the kinds that live one to a file: sorted discovery that refuses duplicates."""

from __future__ import annotations

import importlib
import pkgutil
from typing import Any


def discover(package: str, attribute: str = "KIND") -> dict[str, Any]:
    """Every `attribute` of the modules of a package, by its `name`, sorted. Raises ValueError for a name twice."""
    found: dict[str, Any] = {}
    module = importlib.import_module(package)
    for info in sorted(pkgutil.iter_modules(module.__path__), key=lambda i: i.name):
        item = getattr(importlib.import_module(f"{package}.{info.name}"), attribute, None)
        if item is None:
            continue
        if item.name in found:
            raise ValueError(f"{package} declares {item.name!r} twice")
        found[item.name] = item
    return dict(sorted(found.items()))
