"""What stands behind the shelf: items, bins and lots, the ledger that moves them, counting, boxes, reorder points."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.inventory import arrivals as arrivals
    from models.inventory import assortments as assortments
    from models.inventory import bar_codes as bar_codes
    from models.inventory import bins as bins
    from models.inventory import box_load as box_load
    from models.inventory import box_rows as box_rows
    from models.inventory import count_round as count_round
    from models.inventory import count_sheet as count_sheet
    from models.inventory import expiry as expiry
    from models.inventory import history as history
    from models.inventory import item_figures as item_figures
    from models.inventory import item_names as item_names
    from models.inventory import items as items
    from models.inventory import ledger as ledger
    from models.inventory import lots as lots
    from models.inventory import made_with as made_with
    from models.inventory import moving as moving
    from models.inventory import reorder_rules as reorder_rules
    from models.inventory import waited_for as waited_for
else:
    from catalog.door import door

    __getattr__ = door(__name__)
