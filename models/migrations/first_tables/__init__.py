"""The tables as they are at the first release, a module a room of `models.tables`. The first step makes them.

They stay as they are: `models.tables`, `models.storage.append_only` and `models.search.index` move on by later steps.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.migrations.first_tables import actions as actions
    from models.migrations.first_tables import append_only as append_only
    from models.migrations.first_tables import fits as fits
    from models.migrations.first_tables import kits as kits
    from models.migrations.first_tables import ledger as ledger
    from models.migrations.first_tables import orders as orders
    from models.migrations.first_tables import own_grooves as own_grooves
    from models.migrations.first_tables import own_ports as own_ports
    from models.migrations.first_tables import own_words as own_words
    from models.migrations.first_tables import pictures as pictures
    from models.migrations.first_tables import readings as readings
    from models.migrations.first_tables import search as search
    from models.migrations.first_tables import shelf as shelf
    from models.migrations.first_tables import suppliers as suppliers
    from models.migrations.first_tables import templates as templates
    from models.migrations.first_tables import types as types
else:
    from catalog.door import door

    __getattr__ = door(__name__)
