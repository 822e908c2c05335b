from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.find import about as about
    from tui.screens.find import chosen_ring as chosen_ring
    from tui.screens.find import columns as columns
    from tui.screens.find import import_screen as import_screen
    from tui.screens.find import lines as lines
    from tui.screens.find import load as load
    from tui.screens.find import running as running
    from tui.screens.find import screen as screen
    from tui.screens.find import steps as steps
    from tui.screens.find import window as window
else:
    from catalog.door import door

    __getattr__ = door(__name__)
