from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.sheets import bin_code as bin_code
    from tui.sheets import blocks as blocks
    from tui.sheets import fonts as fonts
    from tui.sheets import from_cost as from_cost
    from tui.sheets import from_kit as from_kit
    from tui.sheets import from_order as from_order
    from tui.sheets import job_sheet as job_sheet
    from tui.sheets import label_grids as label_grids
    from tui.sheets import labels as labels
    from tui.sheets import layout as layout
    from tui.sheets import letters as letters
    from tui.sheets import marks as marks
    from tui.sheets import order_list as order_list
    from tui.sheets import paper as paper
    from tui.sheets import pdf as pdf
    from tui.sheets import photo_sheet as photo_sheet
    from tui.sheets import pick_list as pick_list
    from tui.sheets import plain as plain
    from tui.sheets import qr as qr
    from tui.sheets import records as records
    from tui.sheets import ring_sheet as ring_sheet
    from tui.sheets import size_page as size_page
    from tui.sheets import walking as walking
    from tui.sheets import wrap as wrap
else:
    from catalog.door import door

    __getattr__ = door(__name__)
