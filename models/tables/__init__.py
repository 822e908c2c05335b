"""The tables. Importing this package registers all of them with `Table.metadata`."""

from models.tables.actions import Action, FormerRow
from models.tables.base import Table
from models.tables.filling import Filled, FillEntry, ItemGtin
from models.tables.fits import FitReading, FitRecord
from models.tables.fluid_rules import ShopFluidClass, ShopFluidRule
from models.tables.judged import (
    FitGroove,
    FitOrigin,
    ItemClaim,
    ItemContainer,
    ItemElement,
    LinePin,
    LotCure,
    NeedAsk,
    NeedGroove,
    NeedHousing,
    PositionHousing,
)
from models.tables.kits import KitLine, Need, NeedReading, NeedRubber, NeedTwin
from models.tables.machines import Job, Machine, Position
from models.tables.orders import Order, OrderLine, OrderReceipt, OrderShare, OrderStep, RowItem
from models.tables.sealing import SealNote
from models.tables.shelf import Bin, Item, Lot, Movement, Stock
from models.tables.stores import AssortmentModel, MachineOrigin, ReorderRule
from models.tables.suppliers import ListRow, OldPrice, Supplier, SupplierColumns, SupplierList
from models.tables.templates import JobOrigin, JobTemplate, TemplateNeed, TemplateVersion

__all__ = [
    "Action",
    "AssortmentModel",
    "Bin",
    "FillEntry",
    "Filled",
    "FitGroove",
    "FitOrigin",
    "FitReading",
    "FitRecord",
    "FormerRow",
    "Item",
    "ItemClaim",
    "ItemContainer",
    "ItemElement",
    "ItemGtin",
    "Job",
    "JobOrigin",
    "JobTemplate",
    "KitLine",
    "LinePin",
    "ListRow",
    "Lot",
    "LotCure",
    "Machine",
    "MachineOrigin",
    "Movement",
    "Need",
    "NeedAsk",
    "NeedGroove",
    "NeedHousing",
    "NeedReading",
    "NeedRubber",
    "NeedTwin",
    "OldPrice",
    "Order",
    "OrderLine",
    "OrderReceipt",
    "OrderShare",
    "OrderStep",
    "Position",
    "PositionHousing",
    "ReorderRule",
    "RowItem",
    "SealNote",
    "ShopFluidClass",
    "ShopFluidRule",
    "Stock",
    "Supplier",
    "SupplierColumns",
    "SupplierList",
    "Table",
    "TemplateNeed",
    "TemplateVersion",
]
