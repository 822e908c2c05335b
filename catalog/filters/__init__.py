"""Filters: does this element fit this housing, and what does its medium hold back."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.filters import cleanliness as cleanliness
    from catalog.filters import describe as describe
    from catalog.filters import element as element
    from catalog.filters import ends as ends
    from catalog.filters import fit as fit
    from catalog.filters import grade as grade
    from catalog.filters import holding as holding
    from catalog.filters import housing as housing
    from catalog.filters import length as length
    from catalog.filters import media as media
    from catalog.filters import screwed as screwed
    from catalog.filters import search as search
else:
    from catalog.door import door

    __getattr__ = door(__name__)
