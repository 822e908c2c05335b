"""What others book in a workshop, told as it is booked; without SQLAlchemy, but for what changed by it."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.watching import heard as heard
    from models.watching import in_file as in_file
    from models.watching import moved as moved
    from models.watching import on_server as on_server
    from models.watching import watch as watch
else:
    from catalog.door import door

    __getattr__ = door(__name__)
