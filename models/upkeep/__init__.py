"""Putting names right: rename, retire and merge items, bins, machines and suppliers. Undo takes each of them back."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.upkeep import merge as merge
    from models.upkeep import merge_noted as merge_noted
    from models.upkeep import merge_stock as merge_stock
    from models.upkeep import merge_work as merge_work
    from models.upkeep import named as named
    from models.upkeep import rename as rename
    from models.upkeep import retire as retire
else:
    from catalog.door import door

    __getattr__ = door(__name__)
