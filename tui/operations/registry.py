"""Every operation by area. An area's declarations are loaded when its screen opens or its command is asked for."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from types import ModuleType

    from tui.operations.operation import Operation

AREAS = (
    "shelf",
    "item",
    "bin",
    "machine",
    "picture",
    "supplier",
    "undo",
    "job",
    "jobs",
    "kit",
    "find",
    "list",
    "buy",
    "sizes",
    "groove",
    "port",
    "thread",
    "torque",
    "ring",
    "fill",
    "washer",
    "shaft-seal",
    "fits",
    "sheet",
    "units",
    "check",
    "backup",
    "restore",
    "rubber",
    "fluid",
    "filter",
    "completion",
    "serve",
)
"""The areas whose operations are declared, each in `tui.operations.<area>` as `OPERATIONS`.

What a screen alone has may stand apart, in the modules that `BY_KEYS` names. Beside them stands what `--help` says of
the area's command: `HELP`, `DESCRIPTION` with examples, `EPILOG`; where there are any, `GROUPS` of subcommands;
`NUMBER_MEANS`, the subcommand that a bare number stands for, and `BARE_MEANS`, the one that is meant where none is
named.
"""


def area_module(area: str) -> ModuleType:
    """The module of an area's declarations; a hyphen is an underscore there."""
    return import_module(f"tui.operations.{area.replace('-', '_')}")


@cache
def operations(area: str) -> tuple[Operation, ...]:
    """The operations of one area, in the order of its help."""
    module = area_module(area)
    found: tuple[Operation, ...] = module.OPERATIONS
    apart: tuple[str, ...] = getattr(module, "BY_KEYS", ())
    return (*found, *(one for name in apart for one in area_module(name).OPERATIONS))


def commands_of(area: str) -> tuple[Operation, ...]:
    """Those of them that are subcommands, or the command itself."""
    found: tuple[Operation, ...] = area_module(area).OPERATIONS
    return tuple(one for one in found if one.command)


def operation(area: str, name: str) -> Operation:
    """One operation by its area and name. Raises KeyError."""
    for one in operations(area):
        if one.name == name:
            return one
    raise KeyError(f"{area} {name}")
