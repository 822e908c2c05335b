"""What to buy, in which packs, from whom: frozen records in, frozen records out. No tables, no screens, no clock."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.purchasing import baseline as baseline
    from models.purchasing import cheapest as cheapest
    from models.purchasing import demand as demand
    from models.purchasing import infeasible as infeasible
    from models.purchasing import minimum as minimum
    from models.purchasing import money as money
    from models.purchasing import offers as offers
    from models.purchasing import one_by_one as one_by_one
    from models.purchasing import order_text as order_text
    from models.purchasing import orders as orders
    from models.purchasing import pack_shares as pack_shares
    from models.purchasing import plan as plan
    from models.purchasing import programme as programme
    from models.purchasing import solver as solver
else:
    from catalog.door import door

    __getattr__ = door(__name__)
