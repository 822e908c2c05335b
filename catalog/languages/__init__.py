from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.languages import tongue as tongue
else:
    from catalog.door import door

    __getattr__ = door(__name__)
