"""Many rings at once: what `match` and `decide` say of one, worked out for a whole box as arrays.

The same answers to the last digits that matter; a ring that needs more than arrays (readings that clash, trade
fractions, a width alone) is asked about by itself. Needs numpy, which nothing else of the catalog does.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.orings.box import likelihood as likelihood
    from catalog.orings.box import names as names
    from catalog.orings.box import near as near
    from catalog.orings.box import next_steps as next_steps
    from catalog.orings.box import normal as normal
    from catalog.orings.box import pairs as pairs
    from catalog.orings.box import rankings as rankings
    from catalog.orings.box import readings as readings
    from catalog.orings.box import sizes as sizes
else:
    from catalog.door import door

    __getattr__ = door(__name__)
