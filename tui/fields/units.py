"""What a bare number means: one setting a quantity, the same on every screen and in every command.

Lengths and pitches follow the session (`F6`, `--unit`), for a ring may be read in inches today and in millimetres
tomorrow. Torque, pressure, volume and temperature follow the bench's own kept setting, so that flipping to read a ring
in inches never changes a torque. It is kept in a small file in the data folder: a command reads it without a database.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, NamedTuple

import models
from models import storage

FILE: Final = "units.json"
CHOICES: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "length": ("mm", "in"),
        "torque": ("N·m", "lbf·ft"),
        "pressure": ("bar", "psi"),
        "volume": ("L", "US qt"),
        "temperature": ("°C", "°F"),
    }
)
"""Every quantity that has a setting, and what it may be set to; the first is the one before anybody chose."""
SPELLINGS: Final[Mapping[str, str]] = MappingProxyType(
    {"nm": "N·m", "n·m": "N·m", "lbf·ft": "lbf·ft", "lbf-ft": "lbf·ft", "ft-lb": "lbf·ft", "ftlb": "lbf·ft",
     "lb-ft": "lbf·ft", "bar": "bar", "psi": "psi", "l": "L", "us qt": "US qt", "qt": "US qt", "c": "°C", "°c": "°C",
     "f": "°F", "°f": "°F", "mm": "mm", "in": "in"}
)  # fmt: skip
"""How the units may be typed where a setting is chosen."""
_FIXED: Final[Mapping[str, str]] = MappingProxyType({"viscosity": "mm²/s", "force": "N", "speed": "m/s"})


class Units(NamedTuple):
    """The unit of a number typed without one, quantity by quantity."""

    length: str = "mm"
    torque: str = "N·m"
    pressure: str = "bar"
    volume: str = "L"
    temperature: str = "°C"

    def bare(self, kind: str) -> str:
        """The unit of a bare number of this kind (`catalog.quantity.Kind`, a word): the setting's, or the fixed one."""
        return str(getattr(self, kind)) if kind in CHOICES else _FIXED[kind]


def _file() -> Path:
    return storage.locations.data_folder() / FILE


def kept(length: str = "mm") -> Units:
    """The bench's kept units, with the session's unit of length. A file or a folder that can't be read counts as none.

    Where `--data` names the workshop nobody needs the data folder, so a wrong name for it is not refused here.
    """
    try:
        told = json.loads(_file().read_text(encoding="utf-8"))
    except (OSError, ValueError, models.errors.WorkshopError):
        told = {}
    known = {
        name: told[name]
        for name, choices in CHOICES.items()
        if isinstance(told, dict) and name != "length" and told.get(name) in choices
    }
    return Units(**{**known, "length": length})


def keep(units: Units) -> None:
    """Keep the units of this bench; the length is the session's and is not kept. Raises OSError."""
    file = _file()
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    told = {name: value for name, value in units._asdict().items() if name != "length"}
    draft = file.with_suffix(f".{os.getpid()}.part")
    draft.write_text(json.dumps(told, ensure_ascii=False) + "\n", encoding="utf-8")
    draft.replace(file)
