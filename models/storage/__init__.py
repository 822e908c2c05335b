"""Where it is kept: SQLite and PostgreSQL, the schema's revision, backup and restore, the check of what is stored."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.storage import address as address
    from models.storage import append_only as append_only
    from models.storage import check as check
    from models.storage import daily as daily
    from models.storage import finding as finding
    from models.storage import leftovers as leftovers
    from models.storage import locations as locations
    from models.storage import permissions as permissions
    from models.storage import postgresql as postgresql
    from models.storage import restore as restore
    from models.storage import schema as schema
    from models.storage import shares as shares
    from models.storage import sqlite as sqlite
    from models.storage import turns as turns
    from models.storage import upgrade as upgrade
    from models.storage import values as values
else:
    from catalog.door import door

    __getattr__ = door(__name__)
