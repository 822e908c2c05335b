"""What Kitwright knows: published tables and pure functions over them."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog import because as because
    from catalog import cautions as cautions
    from catalog import chances as chances
    from catalog import compare as compare
    from catalog import door as door
    from catalog import fasteners as fasteners
    from catalog import filters as filters
    from catalog import fluids as fluids
    from catalog import gtin as gtin
    from catalog import languages as languages
    from catalog import orings as orings
    from catalog import photo as photo
    from catalog import publications as publications
    from catalog import quantity as quantity
    from catalog import seals as seals
    from catalog import standing as standing
    from catalog import uncertainty as uncertainty
else:
    from catalog.door import door

    __getattr__ = door(__name__)
