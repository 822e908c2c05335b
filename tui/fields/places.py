"""Where a workshop or its backup stands: a file, or a database on a server."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

import models
from models import storage
from tui.fields.field import Asked, Field, FieldError
from tui.fields.words import shown

if TYPE_CHECKING:
    from pathlib import Path


class DataFile(Field[Any]):
    """A database's file, by its path; every letter of it counts. `hint` says what to type."""

    METAVAR: ClassVar[str] = "FILE"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "a file, as friday.sqlite3"

    def from_text(self, text: str, asked: Asked) -> Path | str:
        """The file's path. Raises `FieldError`."""
        if not text.strip() or "\0" in text:
            raise FieldError("that is not a file name; type one, as friday.sqlite3")
        return self.read(text, asked)

    def read(self, text: str, asked: Asked) -> Path | str:
        """The file's path. Raises `FieldError`."""
        try:
            file = storage.address.file(text)
            file.exists()
        except models.errors.WorkshopError as problem:
            raise FieldError(str(problem)) from problem
        except OSError as fault:
            why = fault.strerror or str(fault)
            raise FieldError(f"{shown(text)} can't be used ({why.lower()}); name another file") from fault
        return file


class DataPlace(DataFile):
    """A database's file by its path, or its address on a server, as it is typed."""

    METAVAR: ClassVar[str] = "PATH|URL"

    def read(self, text: str, asked: Asked) -> Path | str:
        """The path, or the address. Raises `FieldError`."""
        return text if storage.address.is_address(text) else super().read(text, asked)
