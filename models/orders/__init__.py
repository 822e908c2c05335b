"""Orders: what is short becomes a plan, the plan becomes orders, what comes in goes on the shelf and into its kits."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.orders import booking as booking
    from models.orders import checking as checking
    from models.orders import costs as costs
    from models.orders import keeping as keeping
    from models.orders import listing as listing
    from models.orders import near_rows as near_rows
    from models.orders import offered as offered
    from models.orders import planning as planning
    from models.orders import progress as progress
    from models.orders import receiving as receiving
    from models.orders import short_rows as short_rows
    from models.orders import shorts as shorts
    from models.orders import texts as texts
    from models.orders import to_come as to_come
    from models.orders import undoing as undoing
    from models.orders import what_it_is as what_it_is
    from models.orders import words as words
else:
    from catalog.door import door

    __getattr__ = door(__name__)
