from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.pictures import at_work as at_work
    from models.pictures import keeping as keeping
    from models.pictures import pixels as pixels
    from models.pictures import taking_in as taking_in
else:
    from catalog.door import door

    __getattr__ = door(__name__)
