"""The machines of the shop and their positions."""

from __future__ import annotations

from pathlib import Path
from typing import Final, NamedTuple

from catalog.orings.prior import Built
from models.glance.asking import Look, ask
from models.storage.address import Server
from models.words import Kind

_MACHINES: Final = """
SELECT machines.id, machines.name, machines.built, positions.name, positions.takes, positions.critical
FROM machines
LEFT JOIN positions ON positions.machine_id = machines.id AND positions.withdrawn_at IS NULL
WHERE machines.withdrawn_at IS NULL AND machines.retired_at IS NULL
ORDER BY machines.name, machines.id, positions.name
"""


class KnownPlace(NamedTuple):
    """A position: its name, what it takes, and whether somebody may be hurt where it fails."""

    name: str
    takes: Kind
    critical: bool


class KnownMachine(NamedTuple):
    """A machine with its positions by name."""

    name: str
    built: Built
    places: tuple[KnownPlace, ...]


def machines_known(place: Path | Server) -> tuple[KnownMachine, ...] | None:
    """Every machine with its positions, by name; those taken back left out. None where a glance can't tell."""
    return ask(place, _machines)


def _machines(look: Look) -> tuple[KnownMachine, ...]:
    found: dict[int, KnownMachine] = {}
    for number, name, built, position, takes, critical in look(_MACHINES):
        one = found.setdefault(number, KnownMachine(name, Built(built or Built.ANYWHERE), ()))
        if position is not None:
            found[number] = one._replace(places=(*one.places, KnownPlace(position, Kind(takes), bool(critical))))
    return tuple(found.values())
