"""Suppliers' lists: read a file, propose its columns, show what would change, take it over whole or not at all."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.supplier_lists import batches as batches
    from models.supplier_lists import bulk as bulk
    from models.supplier_lists import cells as cells
    from models.supplier_lists import changes as changes
    from models.supplier_lists import delimited as delimited
    from models.supplier_lists import entries as entries
    from models.supplier_lists import export as export
    from models.supplier_lists import figures as figures
    from models.supplier_lists import headings as headings
    from models.supplier_lists import layout as layout
    from models.supplier_lists import line as line
    from models.supplier_lists import listing as listing
    from models.supplier_lists import loading as loading
    from models.supplier_lists import many_lines as many_lines
    from models.supplier_lists import merge_walk as merge_walk
    from models.supplier_lists import parts as parts
    from models.supplier_lists import progress as progress
    from models.supplier_lists import proposal as proposal
    from models.supplier_lists import read_element as read_element
    from models.supplier_lists import read_fluid as read_fluid
    from models.supplier_lists import read_ring as read_ring
    from models.supplier_lists import read_thread as read_thread
    from models.supplier_lists import read_volume as read_volume
    from models.supplier_lists import recognise as recognise
    from models.supplier_lists import says_nothing as says_nothing
    from models.supplier_lists import scratch as scratch
    from models.supplier_lists import source as source
    from models.supplier_lists import staging as staging
    from models.supplier_lists import suppliers as suppliers
    from models.supplier_lists import words as words
    from models.supplier_lists import workbook as workbook
else:
    from catalog.door import door

    __getattr__ = door(__name__)
