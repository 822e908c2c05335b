"""Operations: each thing that a person can do or ask, declared once.

An area's file declares its operations; `operation.py` says what one is. From the declaration come the subcommand with
its options, help and JSON (`command.py`), the key, the palette's entry, the form and the message on the screen
(`tui/screens/operating.py`). Nothing here imports `models` before an operation is done.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.operations import asked_ring as asked_ring
    from tui.operations import at_machine as at_machine
    from tui.operations import backup as backup
    from tui.operations import bin as bin
    from tui.operations import box_load as box_load
    from tui.operations import buy as buy
    from tui.operations import check as check
    from tui.operations import command as command
    from tui.operations import completion as completion
    from tui.operations import fill as fill
    from tui.operations import filter as filter
    from tui.operations import filter_files as filter_files
    from tui.operations import find as find
    from tui.operations import fits as fits
    from tui.operations import fluid as fluid
    from tui.operations import groove as groove
    from tui.operations import item as item
    from tui.operations import job as job
    from tui.operations import jobs as jobs
    from tui.operations import keeping as keeping
    from tui.operations import kit as kit
    from tui.operations import list as list
    from tui.operations import machine as machine
    from tui.operations import measured_need as measured_need
    from tui.operations import noting as noting
    from tui.operations import operation as operation
    from tui.operations import own_book as own_book
    from tui.operations import own_grooves as own_grooves
    from tui.operations import own_rows as own_rows
    from tui.operations import picture as picture
    from tui.operations import port as port
    from tui.operations import receive as receive
    from tui.operations import registry as registry
    from tui.operations import restore as restore
    from tui.operations import ring as ring
    from tui.operations import ring_batch as ring_batch
    from tui.operations import ring_box as ring_box
    from tui.operations import ring_list as ring_list
    from tui.operations import ring_photo as ring_photo
    from tui.operations import ring_picture as ring_picture
    from tui.operations import rubber as rubber
    from tui.operations import seal_readings as seal_readings
    from tui.operations import serve as serve
    from tui.operations import shaft_seal as shaft_seal
    from tui.operations import sheet as sheet
    from tui.operations import shelf as shelf
    from tui.operations import sizes as sizes
    from tui.operations import stock_booked as stock_booked
    from tui.operations import supplier as supplier
    from tui.operations import thread as thread
    from tui.operations import thread_readings as thread_readings
    from tui.operations import torque as torque
    from tui.operations import undo as undo
    from tui.operations import units as units
    from tui.operations import upkeep as upkeep
    from tui.operations import viscosity as viscosity
    from tui.operations import washer as washer
else:
    from catalog.door import door

    __getattr__ = door(__name__)
