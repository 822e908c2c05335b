"""The only place that knows folders: where the workshop's data, the demo and the program's state live."""

from __future__ import annotations

import os
from pathlib import Path

from models.errors import WorkshopUnavailableError
from models.storage import address, permissions
from models.storage.address import Server

DATA_VARIABLE = "KITWRIGHT_DATA"
"""Environment variable that names another data folder (a USB stick, a test). Never a file or an address: that is
what `--data` is for."""


def data_folder() -> Path:
    """The folder that holds the workshop's database: `KITWRIGHT_DATA`, or the platform's data folder.

    Raises `WorkshopUnavailableError` where the variable names an address or a file.
    """
    named = os.environ.get(DATA_VARIABLE, "").strip()
    if named:
        return _as_folder(named)
    import platformdirs  # 0.03 s, not needed when the variable is set

    return Path(platformdirs.user_data_dir("kitwright", appauthor=False))


def _as_folder(named: str) -> Path:
    if address.is_address(named) or address.is_misplaced(named):
        raise WorkshopUnavailableError(
            f"{DATA_VARIABLE} names a folder, and an address stands there.",
            "Unset it and give the address with --data.",
        )
    folder = address.file(named)
    if folder.is_file():
        raise WorkshopUnavailableError(
            f"{DATA_VARIABLE} names a folder, and {folder} is a file.", "Name its folder, or give the file with --data."
        )
    return folder


def workshop_file() -> Path:
    """The workshop's own database file."""
    return data_folder() / "workshop.sqlite3"


def demo_file() -> Path:
    """The demo workshop's database file: a folder of its own, never the workshop's."""
    return data_folder() / "demo" / "demo.sqlite3"


def own_folder_of(file: Path) -> Path | None:
    """Kitwright's data folder, where the file lies in it or in the demo's; None for a file elsewhere."""
    try:
        own = data_folder()
    except (OSError, WorkshopUnavailableError):
        return None
    here = Path(os.path.realpath(file.parent))
    return own if here in {Path(os.path.realpath(one)) for one in (own, demo_file().parent)} else None


def place(data: str | None, demo: bool) -> Path | Server:
    """Where the workshop lies that was asked for: what `--data` named, the demo's own file, or the workshop's.

    Raises `WorkshopUnavailableError` or `InvalidInputError`.
    """
    if demo:
        return Path(data) if data else demo_file()
    return workshop_file() if data is None else address.named(data)


def state_folder() -> Path:
    """Where the program keeps its reports of faults: beside the data of `KITWRIGHT_DATA`, or the platform's place."""
    if os.environ.get(DATA_VARIABLE, "").strip():
        return data_folder() / "state"
    import platformdirs  # 0.03 s, not needed when the variable is set

    return Path(platformdirs.user_state_dir("kitwright", appauthor=False))


def make_folder(folder: Path) -> Path:
    """Create a folder of ours, for its owner only. Raises `WorkshopUnavailableError` where that is not allowed."""
    own = data_folder()
    try:
        # The platform's folders above ours are made as any program makes them.
        if folder != own and own in folder.parents:
            permissions.make_folder(own)
        permissions.make_folder(folder)
    except OSError as refused:
        raise WorkshopUnavailableError(
            f"The folder {folder} can't be made ({refused.strerror or refused}).",
            f"Make it yourself, or set {DATA_VARIABLE} to a folder you may write to.",
        ) from refused
    return folder
