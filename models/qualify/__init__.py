"""Whether what lies on the shelf may serve a need, and with which words: the catalog's judgements on stored items."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.qualify import age as age
    from models.qualify import elements as elements
    from models.qualify import fluids as fluids
    from models.qualify import others as others
    from models.qualify import rings as rings
    from models.qualify import wanted as wanted
else:
    from catalog.door import door

    __getattr__ = door(__name__)
