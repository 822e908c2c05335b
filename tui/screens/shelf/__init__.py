from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.shelf import boxes as boxes
    from tui.screens.shelf import lines as lines
    from tui.screens.shelf import operations as operations
    from tui.screens.shelf import receive as receive
    from tui.screens.shelf import round as round
    from tui.screens.shelf import screen as screen
    from tui.screens.shelf import to_order as to_order
else:
    from catalog.door import door

    __getattr__ = door(__name__)
