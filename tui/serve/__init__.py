"""The same app in a browser of the shop: who may in, whose app is kept, and the page around it.

Only the command `serve` comes here (the extra `serve`), and the app that it starts for `driver.py`.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.serve import browsers as browsers
    from tui.serve import callers as callers
    from tui.serve import certificate as certificate
    from tui.serve import connections as connections
    from tui.serve import driver as driver
    from tui.serve import guard as guard
    from tui.serve import kept as kept
    from tui.serve import listening as listening
    from tui.serve import pages as pages
    from tui.serve import pairing as pairing
    from tui.serve import qr_text as qr_text
    from tui.serve import shop as shop
else:
    from catalog.door import door

    __getattr__ = door(__name__)
