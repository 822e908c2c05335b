from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.catalog import detail as detail
    from tui.screens.catalog import elements as elements
    from tui.screens.catalog import entries as entries
    from tui.screens.catalog import fluids as fluids
    from tui.screens.catalog import full as full
    from tui.screens.catalog import grooves as grooves
    from tui.screens.catalog import joints as joints
    from tui.screens.catalog import media as media
    from tui.screens.catalog import on_shelf as on_shelf
    from tui.screens.catalog import picture as picture
    from tui.screens.catalog import reference as reference
    from tui.screens.catalog import screen as screen
    from tui.screens.catalog import tables as tables
    from tui.screens.catalog import threads as threads
else:
    from catalog.door import door

    __getattr__ = door(__name__)
