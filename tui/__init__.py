"""What Kitwright shows: the app, the command line and the printed sheets."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui import answers as answers
    from tui import app as app
    from tui import bounce as bounce
    from tui import bound as bound
    from tui import buying as buying
    from tui import by_picture as by_picture
    from tui import caliper as caliper
    from tui import cli as cli
    from tui import commands as commands
    from tui import exit_codes as exit_codes
    from tui import fault_report as fault_report
    from tui import fields as fields
    from tui import guide as guide
    from tui import host as host
    from tui import in_turn as in_turn
    from tui import kept_styles as kept_styles
    from tui import keys as keys
    from tui import kitting as kitting
    from tui import needing as needing
    from tui import net as net
    from tui import operations as operations
    from tui import ring_words as ring_words
    from tui import saving as saving
    from tui import scanning as scanning
    from tui import screens as screens
    from tui import seal_sections as seal_sections
    from tui import serve as serve
    from tui import sheets as sheets
    from tui import signing as signing
    from tui import steady as steady
    from tui import surroundings as surroundings
    from tui import theme as theme
    from tui import touched as touched
    from tui import version as version
    from tui import watching as watching
    from tui import widgets as widgets
    from tui import workshop as workshop
else:
    from catalog.door import door

    __getattr__ = door(__name__)
