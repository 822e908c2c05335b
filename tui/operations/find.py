"""What can be asked of all that the shop keeps and the suppliers list: the search."""

from __future__ import annotations

from typing import TYPE_CHECKING

from models import search
from tui.answers.found import Found, row_of
from tui.fields.orders import Supplier
from tui.fields.plain import Count, Sought
from tui.operations.operation import Operation, Then

if TYPE_CHECKING:
    from models.search.found import Page

HELP = "items and supplier lists, by number, words or size"
DESCRIPTION = """\
Find what the shop keeps and what suppliers list: by part number or a piece of
it, by words, or by a ring's dimensions.

examples:
  kitwright find HX-4626
  kitwright find "3.5 x 25 nbr" --json
  kitwright find hyd oil --supplier "First supplier (invented)"
"""
EPILOG = """\
A ring in a supplier's list was read out of free text; the line says how sure
that reading is.
exit codes: 0 found, 1 nothing found, 2 wrong options.
"""


def _found(then: Then) -> Found:
    page: Page = then.result
    return Found(page.total, page.more, tuple(map(row_of, page.rows)))


FIND = Operation(
    area="find",
    name="find",
    label="Find",
    help=HELP,
    fields=(
        Sought("text", "Search", "a number, words, or ID x width"),
        Supplier("supplier", "Supplier", "only this supplier's list", must=False),
        Count("limit", "At most", "at most so many rows (20 unless you say)", False, 20, most=1000),
        Count("offset", "Leave out", "leave out so many rows at the start", False, 0, least=0),
    ),
    question=lambda: search.searching.search,
    answer=_found,
    examples=("find 214", 'find hyd oil --supplier "First supplier (invented)"'),
)

OPERATIONS = (FIND,)
