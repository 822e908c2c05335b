"""A program one step ahead of ours: our own steps and an invented one, so that upgrades are seen to work."""

from __future__ import annotations

import shutil
from pathlib import Path

import models.migrations
from models.storage.upgrade import CURRENT, Schema

STEP = Path(__file__).with_name("next_step.py")


def one_step_ahead(folder: Path) -> Schema:
    """Its schema; the steps are put into the folder, which must not be there yet."""
    shutil.copytree(Path(models.migrations.__file__).parent, folder)
    shutil.copy(STEP, folder / "versions" / "9999_next.py")
    return Schema("9999", (*CURRENT.earlier, CURRENT.head), str(folder))
