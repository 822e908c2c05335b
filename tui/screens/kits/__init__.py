from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.kits import about as about
    from tui.screens.kits import close_job as close_job
    from tui.screens.kits import closed as closed
    from tui.screens.kits import fitted as fitted
    from tui.screens.kits import lines as lines
    from tui.screens.kits import new_job as new_job
    from tui.screens.kits import new_need as new_need
    from tui.screens.kits import offers as offers
    from tui.screens.kits import operations as operations
    from tui.screens.kits import screen as screen
    from tui.screens.kits import sealed as sealed
    from tui.screens.kits import sheet as sheet
    from tui.screens.kits import tally as tally
    from tui.screens.kits import tally_words as tally_words
    from tui.screens.kits import where_sat as where_sat
else:
    from catalog.door import door

    __getattr__ = door(__name__)
