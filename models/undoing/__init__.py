"""Taking back: stock is moved back, what was written over is said again, what was added is withdrawn."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.undoing import additions as additions
    from models.undoing import checking as checking
    from models.undoing import declaring as declaring
    from models.undoing import kit_undo as kit_undo
    from models.undoing import last_change as last_change
    from models.undoing import snapshot as snapshot
    from models.undoing import template_undo as template_undo
    from models.undoing import undo as undo
    from models.undoing import undoable as undoable
else:
    from catalog.door import door

    __getattr__ = door(__name__)
