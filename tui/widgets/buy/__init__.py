"""What only the Buy area shows."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.widgets.buy import trade_off as trade_off
else:
    from catalog.door import door

    __getattr__ = door(__name__)
