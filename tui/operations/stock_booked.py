"""What an operation on stock answers: the rows it touched, with what has expired among them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from models import inventory
from tui.answers.stock import Booked, Stock, stock_of
from tui.operations.operation import Then

if TYPE_CHECKING:
    from collections.abc import Callable

    from models.stock_rows import StockRow


def stock_rows(then: Then, rows: tuple[StockRow, ...]) -> tuple[Stock, ...]:
    """The rows as answers tell them."""
    old = inventory.expiry.expired(then.session, then.today, [row.stock_id for row in rows])
    return tuple(stock_of(row, old.get(row.stock_id)) for row in rows)


def booked(done: str) -> Callable[[Then], Booked]:
    """The answer of an operation that moved the amount of the field `quantity` in one row."""

    def answer(then: Then) -> Booked:
        return Booked(done, stock_rows(then, (then.result,)), then.values["quantity"])

    return answer
