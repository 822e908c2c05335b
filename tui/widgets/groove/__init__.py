from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.widgets.groove import figure_bars as figure_bars
    from tui.widgets.groove import groove_picture as groove_picture
else:
    from catalog.door import door

    __getattr__ = door(__name__)
