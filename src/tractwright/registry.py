"""Plug-ins are files in a folder: this finds them, in name order, so that adding a part is adding one file."""

import importlib
import pkgutil
from types import ModuleType


def modules_in(package: ModuleType) -> tuple[ModuleType, ...]:
    """Every module of a package whose name does not start with an underscore, in name order."""
    names = sorted(found.name for found in pkgutil.iter_modules(package.__path__) if not found.name.startswith("_"))
    return tuple(importlib.import_module(f"{package.__name__}.{name}") for name in names)
