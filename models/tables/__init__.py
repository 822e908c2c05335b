"""The tables. Importing this package registers all of them with `Table.metadata`."""

from models.filled import Filled
from models.tables.actions import Action, RowSnapshot
from models.tables.base import Table
from models.tables.filling import FillEntry, ItemGtin
from models.tables.fits import FitOutcome, FitReading, FitRecord
from models.tables.fluid_rules import ShopFluidClass, ShopFluidRule
from models.tables.kits import KitLine, Need, NeedAsk, NeedReading, NeedRubber, NeedSize
from models.tables.machines import Job, Machine, Position
from models.tables.orders import Order, OrderLine, OrderReceipt, OrderShare, OrderStep, RowItem
from models.tables.own_grooves import OwnGroove
from models.tables.own_ports import OwnPort
from models.tables.own_sizes import OwnSize
from models.tables.pictures import Picture
from models.tables.sealing import SealNote
from models.tables.shelf import AssortmentModel, Bin, Item, ItemClaim, Lot, Movement, Stock
from models.tables.suppliers import ListRow, OldPrice, Supplier, SupplierList
from models.tables.templates import JobTemplate, TemplateNeed, TemplateVersion

__all__ = [
    "Action",
    "AssortmentModel",
    "Bin",
    "FillEntry",
    "Filled",
    "FitOutcome",
    "FitReading",
    "FitRecord",
    "Item",
    "ItemClaim",
    "ItemGtin",
    "Job",
    "JobTemplate",
    "KitLine",
    "ListRow",
    "Lot",
    "Machine",
    "Movement",
    "Need",
    "NeedAsk",
    "NeedReading",
    "NeedRubber",
    "NeedSize",
    "OldPrice",
    "Order",
    "OrderLine",
    "OrderReceipt",
    "OrderShare",
    "OrderStep",
    "OwnGroove",
    "OwnPort",
    "OwnSize",
    "Picture",
    "Position",
    "RowItem",
    "RowSnapshot",
    "SealNote",
    "ShopFluidClass",
    "ShopFluidRule",
    "Stock",
    "Supplier",
    "SupplierList",
    "Table",
    "TemplateNeed",
    "TemplateVersion",
]
