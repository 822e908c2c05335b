"""The demo workshop: an invented orchard co-op."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.demo import orchard as orchard
    from models.demo import orders as orders
    from models.demo import service as service
    from models.demo import stock as stock
    from models.demo import suppliers as suppliers
else:
    from catalog.door import door

    __getattr__ = door(__name__)
