"""The commands, one file each. What costs time is reached through doors, so that `--help` stays cheap."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.commands import app as app
    from tui.commands import completion as completion
    from tui.commands import output as output
    from tui.commands import parsing as parsing
    from tui.commands import workshop as workshop
else:
    from catalog.door import door

    __getattr__ = door(__name__)
