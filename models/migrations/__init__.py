"""The schema's history, one step a file, shipped with the program."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.migrations import env as env
    from models.migrations import first_tables as first_tables
    from models.migrations import sqlite_schema as sqlite_schema
    from models.migrations import versions as versions
else:
    from catalog.door import door

    __getattr__ = door(__name__)
