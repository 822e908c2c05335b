from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.ring_list import listed as listed
    from tui.screens.ring_list import screen as screen
else:
    from catalog.door import door

    __getattr__ = door(__name__)
