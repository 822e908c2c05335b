from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.measure import answer as answer
    from tui.screens.measure import picture as picture
    from tui.screens.measure import result as result
    from tui.screens.measure import screen as screen
    from tui.screens.measure import why as why
else:
    from catalog.door import door

    __getattr__ = door(__name__)
