from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.measure import answer as answer
    from tui.screens.measure import by_picture as by_picture
    from tui.screens.measure import chosen as chosen
    from tui.screens.measure import form as form
    from tui.screens.measure import meets as meets
    from tui.screens.measure import names as names
    from tui.screens.measure import picture as picture
    from tui.screens.measure import pictures_of as pictures_of
    from tui.screens.measure import result as result
    from tui.screens.measure import screen as screen
    from tui.screens.measure import typed as typed
    from tui.screens.measure import why as why
else:
    from catalog.door import door

    __getattr__ = door(__name__)
