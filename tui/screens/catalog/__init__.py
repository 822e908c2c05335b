from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.catalog import detail as detail
    from tui.screens.catalog import entries as entries
    from tui.screens.catalog import filters as filters
    from tui.screens.catalog import fluids as fluids
    from tui.screens.catalog import full as full
    from tui.screens.catalog import joints as joints
    from tui.screens.catalog import reference as reference
    from tui.screens.catalog import screen as screen
    from tui.screens.catalog import tables as tables
    from tui.screens.catalog import threads as threads
else:
    from catalog.door import door

    __getattr__ = door(__name__)
