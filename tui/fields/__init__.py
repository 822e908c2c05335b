"""Fields: one reader a quantity, the same in every form and every option. Start with `field.py`."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.fields import amounts as amounts
    from tui.fields import became as became
    from tui.fields import bolts as bolts
    from tui.fields import box as box
    from tui.fields import field as field
    from tui.fields import file_names as file_names
    from tui.fields import fills as fills
    from tui.fields import filters as filters
    from tui.fields import fits as fits
    from tui.fields import fluids as fluids
    from tui.fields import grooves as grooves
    from tui.fields import hour_meter as hour_meter
    from tui.fields import kits as kits
    from tui.fields import met as met
    from tui.fields import money as money
    from tui.fields import named as named
    from tui.fields import orders as orders
    from tui.fields import pictured as pictured
    from tui.fields import places as places
    from tui.fields import plain as plain
    from tui.fields import ports as ports
    from tui.fields import quantities as quantities
    from tui.fields import rings as rings
    from tui.fields import rows as rows
    from tui.fields import rubber as rubber
    from tui.fields import sat as sat
    from tui.fields import seals as seals
    from tui.fields import serving as serving
    from tui.fields import sheets as sheets
    from tui.fields import threads as threads
    from tui.fields import trade as trade
    from tui.fields import units as units
    from tui.fields import words as words
else:
    from catalog.door import door

    __getattr__ = door(__name__)
