"""Fasteners: which thread, which wrench, which torque."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.fasteners import flank as flank
    from catalog.fasteners import limits as limits
    from catalog.fasteners import lookalikes as lookalikes
    from catalog.fasteners import sizes as sizes
    from catalog.fasteners import strength as strength
    from catalog.fasteners import thread as thread
    from catalog.fasteners import torque as torque
    from catalog.fasteners import wrench as wrench
else:
    from catalog.door import door

    __getattr__ = door(__name__)
