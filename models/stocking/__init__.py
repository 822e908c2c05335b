"""What to keep on the shelf, and when to order more: frozen records in, frozen records out."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.stocking import keep_sizes as keep_sizes
    from models.stocking import reorder as reorder
else:
    from catalog.door import door

    __getattr__ = door(__name__)
