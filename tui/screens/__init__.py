from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens import accept as accept
    from tui.screens import anywhere as anywhere
    from tui.screens import area as area
    from tui.screens import ask as ask
    from tui.screens import asking as asking
    from tui.screens import bands as bands
    from tui.screens import buy as buy
    from tui.screens import catalog as catalog
    from tui.screens import choose_job as choose_job
    from tui.screens import closing as closing
    from tui.screens import elsewhere as elsewhere
    from tui.screens import find as find
    from tui.screens import form as form
    from tui.screens import groove as groove
    from tui.screens import help as help
    from tui.screens import how_it_went as how_it_went
    from tui.screens import judge as judge
    from tui.screens import kits as kits
    from tui.screens import meanwhile as meanwhile
    from tui.screens import measure as measure
    from tui.screens import one_page as one_page
    from tui.screens import opening as opening
    from tui.screens import operating as operating
    from tui.screens import palette as palette
    from tui.screens import paper as paper
    from tui.screens import picture_page as picture_page
    from tui.screens import position as position
    from tui.screens import ring_list as ring_list
    from tui.screens import shelf as shelf
    from tui.screens import terms as terms
    from tui.screens import undo as undo
else:
    from catalog.door import door

    __getattr__ = door(__name__)
