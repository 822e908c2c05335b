"""Answers: what a command prints, a screen says and `--json` gives, each one frozen dataclass with its words.

Every answer has a `SCHEMA` of its own, `words()` once, and is its own JSON. The JSON Schemas in `tui/schemas` are made
from the classes; a test holds them equal.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.answers import advice as advice
    from tui.answers import answer as answer
    from tui.answers import bins as bins
    from tui.answers import box_load as box_load
    from tui.answers import buying as buying
    from tui.answers import chances as chances
    from tui.answers import completion as completion
    from tui.answers import figures as figures
    from tui.answers import fill as fill
    from tui.answers import filters as filters
    from tui.answers import fits as fits
    from tui.answers import fluid as fluid
    from tui.answers import found as found
    from tui.answers import groove as groove
    from tui.answers import items as items
    from tui.answers import job_cost as job_cost
    from tui.answers import jobs as jobs
    from tui.answers import keeping as keeping
    from tui.answers import kits as kits
    from tui.answers import levels as levels
    from tui.answers import machines as machines
    from tui.answers import money as money
    from tui.answers import notes as notes
    from tui.answers import own_fluids as own_fluids
    from tui.answers import own_grooves as own_grooves
    from tui.answers import own_ports as own_ports
    from tui.answers import own_rows as own_rows
    from tui.answers import own_sizes as own_sizes
    from tui.answers import pictures as pictures
    from tui.answers import port as port
    from tui.answers import reasons as reasons
    from tui.answers import ring as ring
    from tui.answers import ring_batch as ring_batch
    from tui.answers import ring_photo as ring_photo
    from tui.answers import rubber as rubber
    from tui.answers import schema as schema
    from tui.answers import seals as seals
    from tui.answers import serve as serve
    from tui.answers import shaft_seal as shaft_seal
    from tui.answers import sheet as sheet
    from tui.answers import sizes as sizes
    from tui.answers import sizes_to_keep as sizes_to_keep
    from tui.answers import stock as stock
    from tui.answers import supplier_lists as supplier_lists
    from tui.answers import thread as thread
    from tui.answers import threads as threads
    from tui.answers import to_fit as to_fit
    from tui.answers import torque as torque
    from tui.answers import undone as undone
    from tui.answers import units as units
    from tui.answers import upkeep as upkeep
    from tui.answers import viscosity as viscosity
    from tui.answers import washer as washer
    from tui.answers import washers as washers
    from tui.answers import workshop as workshop
    from tui.answers import written_csv as written_csv
else:
    from catalog.door import door

    __getattr__ = door(__name__)
