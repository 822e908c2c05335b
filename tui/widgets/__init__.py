from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.widgets import answer_band as answer_band
    from tui.widgets import buy as buy
    from tui.widgets import canvas as canvas
    from tui.widgets import cells as cells
    from tui.widgets import choice as choice
    from tui.widgets import filter_input as filter_input
    from tui.widgets import grey_ramp as grey_ramp
    from tui.widgets import groove as groove
    from tui.widgets import guide_line as guide_line
    from tui.widgets import half_blocks as half_blocks
    from tui.widgets import judge as judge
    from tui.widgets import key_line as key_line
    from tui.widgets import kit_strip as kit_strip
    from tui.widgets import letting_go as letting_go
    from tui.widgets import meets_field as meets_field
    from tui.widgets import next_line as next_line
    from tui.widgets import picture_view as picture_view
    from tui.widgets import pictures as pictures
    from tui.widgets import reading_field as reading_field
    from tui.widgets import ring_drawing as ring_drawing
    from tui.widgets import rows as rows
    from tui.widgets import sketch as sketch
    from tui.widgets import stock_bars as stock_bars
    from tui.widgets import taken as taken
    from tui.widgets import time_line as time_line
    from tui.widgets import topbar as topbar
    from tui.widgets import typed_rows as typed_rows
    from tui.widgets import watchers as watchers
else:
    from catalog.door import door

    __getattr__ = door(__name__)
