"""The tables. Importing this package registers all of them with `Table.metadata`."""

from models.tables.actions import Action
from models.tables.base import Table
from models.tables.fits import FitReading, FitRecord
from models.tables.kits import KitLine, Need, NeedReading, NeedRubber, NeedTwin
from models.tables.machines import Job, Machine, Position
from models.tables.shelf import Bin, Item, Lot, Movement, Stock
from models.tables.suppliers import ListRow, OldPrice, Supplier, SupplierColumns, SupplierList

__all__ = [
    "Action",
    "Bin",
    "FitReading",
    "FitRecord",
    "Item",
    "Job",
    "KitLine",
    "ListRow",
    "Lot",
    "Machine",
    "Movement",
    "Need",
    "NeedReading",
    "NeedRubber",
    "NeedTwin",
    "OldPrice",
    "Position",
    "Stock",
    "Supplier",
    "SupplierColumns",
    "SupplierList",
    "Table",
]
