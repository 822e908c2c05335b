"""The tables. Importing this package registers all of them with `Table.metadata`."""

from models.tables.actions import Action
from models.tables.base import Table
from models.tables.fits import FitReading, FitRecord
from models.tables.kits import KitLine, Need, NeedReading, NeedRubber, NeedTwin
from models.tables.machines import Job, Machine, Position
from models.tables.shelf import Bin, Item, Lot, Movement, Stock

__all__ = [
    "Action",
    "Bin",
    "FitReading",
    "FitRecord",
    "Item",
    "Job",
    "KitLine",
    "Lot",
    "Machine",
    "Movement",
    "Need",
    "NeedReading",
    "NeedRubber",
    "NeedTwin",
    "Position",
    "Stock",
    "Table",
]
