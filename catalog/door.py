"""A package's door: its modules are loaded at their first use, not when the package is imported.

Every package's `__init__` has one. `from catalog import orings` loads nothing more than that file; `orings.match.rank`,
where it is used, loads `catalog.orings.match`. So whoever needs a module only now and then imports its package at the
top of the file and names the module at the place of use, and no function holds an import.
"""

from collections.abc import Callable
from importlib import import_module
from types import ModuleType


def door(package: str) -> Callable[[str], ModuleType]:
    """The package's `__getattr__` (PEP 562): a module by its name. Any thread may call it: Python's import locks hold.

    Python keeps what was loaded as an attribute of the package, so each module passes here once.
    """

    def load(name: str) -> ModuleType:
        wanted = f"{package}.{name}"
        if not name.startswith("__"):  # what Python itself asks for is no module
            try:
                return import_module(wanted)
            except ModuleNotFoundError as missing:
                if missing.name != wanted:
                    raise
        raise AttributeError(f"module {package!r} has no attribute {name!r}", name=name)

    return load
