from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.judge import bench as bench
    from tui.screens.judge import element as element
    from tui.screens.judge import element_fields as element_fields
    from tui.screens.judge import fill as fill
    from tui.screens.judge import fitting as fitting
    from tui.screens.judge import fluid as fluid
    from tui.screens.judge import own_rules as own_rules
    from tui.screens.judge import panel as panel
    from tui.screens.judge import port as port
    from tui.screens.judge import reading as reading
    from tui.screens.judge import rubber as rubber
    from tui.screens.judge import ruling as ruling
    from tui.screens.judge import screen as screen
    from tui.screens.judge import seal as seal
    from tui.screens.judge import tables as tables
    from tui.screens.judge import thread as thread
    from tui.screens.judge import torque as torque
    from tui.screens.judge import viscosity as viscosity
    from tui.screens.judge import why as why
else:
    from catalog.door import door

    __getattr__ = door(__name__)
