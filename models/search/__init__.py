"""Search as you type over the shop's items and the suppliers' lists: the same answer from either database.

`searching.search` is the way in. This package imports nothing itself: the tables' own start needs `index` alone.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.search import asking as asking
    from models.search import found as found
    from models.search import hits as hits
    from models.search import index as index
    from models.search import item_queries as item_queries
    from models.search import list_queries as list_queries
    from models.search import many_terms as many_terms
    from models.search import searching as searching
    from models.search import sizes as sizes
    from models.search import terms as terms
else:
    from catalog.door import door

    __getattr__ = door(__name__)
