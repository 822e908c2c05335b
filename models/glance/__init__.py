"""A glance into the workshop: a few things read by the database's own driver, without SQLAlchemy and its tables.

Those take half a second to load; a glance takes some hundredths. It only reads, and only a database of exactly the
schema that this program knows: in every other case (none there yet, another revision, busy, no driver) it says nothing
(None), and the ordinary way is taken, which mends, upgrades or says in words what is wrong.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.glance import asking as asking
    from models.glance import first_rows as first_rows
    from models.glance import fits as fits
    from models.glance import found as found
    from models.glance import jobs as jobs
    from models.glance import machines as machines
    from models.glance import newness as newness
    from models.glance import on_hand as on_hand
    from models.glance import own_grooves as own_grooves
    from models.glance import own_ports as own_ports
    from models.glance import own_sizes as own_sizes
    from models.glance import shelf_rings as shelf_rings
    from models.glance import shorts as shorts
    from models.glance import sizes as sizes
else:
    from catalog.door import door

    __getattr__ = door(__name__)
