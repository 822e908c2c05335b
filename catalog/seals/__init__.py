"""Seals that are no O-rings: sealing washers under plugs, lip seals on shafts."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.seals import evidence as evidence
    from catalog.seals import shaft_seals as shaft_seals
    from catalog.seals import washers as washers
else:
    from catalog.door import door

    __getattr__ = door(__name__)
