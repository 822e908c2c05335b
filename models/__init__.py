"""What Kitwright remembers: the workshop's tables and the rules that keep them true."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models import actions as actions
    from models import acts as acts
    from models import alike as alike
    from models import collecting as collecting
    from models import csv_cells as csv_cells
    from models import database as database
    from models import days as days
    from models import demo as demo
    from models import elements as elements
    from models import errors as errors
    from models import filled as filled
    from models import fits as fits
    from models import fluid_rules as fluid_rules
    from models import glance as glance
    from models import hour_meter as hour_meter
    from models import hours as hours
    from models import inventory as inventory
    from models import job_history as job_history
    from models import job_rows as job_rows
    from models import jobs as jobs
    from models import kits as kits
    from models import kitting as kitting
    from models import machines as machines
    from models import migrations as migrations
    from models import moments as moments
    from models import notes as notes
    from models import noticing as noticing
    from models import orders as orders
    from models import outside as outside
    from models import own_grooves as own_grooves
    from models import own_ports as own_ports
    from models import own_rows as own_rows
    from models import own_sizes as own_sizes
    from models import pictures as pictures
    from models import purchasing as purchasing
    from models import qualify as qualify
    from models import row_snapshots as row_snapshots
    from models import rows as rows
    from models import search as search
    from models import shelf as shelf
    from models import stock_rows as stock_rows
    from models import stocking as stocking
    from models import storage as storage
    from models import stored_picture as stored_picture
    from models import stored_text as stored_text
    from models import supplier_lists as supplier_lists
    from models import tables as tables
    from models import templates as templates
    from models import text as text
    from models import undoing as undoing
    from models import upkeep as upkeep
    from models import volume as volume
    from models import watching as watching
    from models import words as words
else:
    from catalog.door import door

    __getattr__ = door(__name__)
