"""The Buy area: what is short, the plan, the orders, which sizes to keep."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.buy import entries as entries
    from tui.screens.buy import order_text as order_text
    from tui.screens.buy import screen as screen
    from tui.screens.buy import views as views
else:
    from catalog.door import door

    __getattr__ = door(__name__)
