from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.groove import answer as answer
    from tui.screens.groove import draft as draft
    from tui.screens.groove import fields as fields
    from tui.screens.groove import lists as lists
    from tui.screens.groove import reading as reading
    from tui.screens.groove import screen as screen
    from tui.screens.groove import standard as standard
else:
    from catalog.door import door

    __getattr__ = door(__name__)
