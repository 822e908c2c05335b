from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.position import measure_session as measure_session
    from tui.screens.position import note_fit as note_fit
    from tui.screens.position import records as records
    from tui.screens.position import screen as screen
    from tui.screens.position import words as words
else:
    from catalog.door import door

    __getattr__ = door(__name__)
