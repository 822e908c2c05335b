"""What a purchase is planned from: short lines, suppliers and their offers.

Quantities are whole base units: each for things that are counted, microlitres for fluids. Money is whole minor units of
the supplier's currency. Days are calendar days.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from models.errors import InvalidInputError


@dataclass(frozen=True, slots=True)
class ShortLine:
    """Something a kit or a reorder point lacks.

    `line` is unique. Lines with the same `key` can be met from the same pack. `needed_by` is the day it is used, None
    for no hurry. `usage_per_day` is what the shop uses of this key beyond these lines, None when nobody knows: it
    says how much of a pack will be used up before it expires.
    """

    line: str
    key: str
    quantity: int
    needed_by: date | None = None
    usage_per_day: Fraction | None = None
    name: str = ""

    @property
    def called(self) -> str:
        """What to call the line in a sentence."""
        return self.name or self.line


class Break(NamedTuple):
    """From `min_packs` on, *every* pack of the order line costs `price` (an all-units break), in minor units."""

    min_packs: int
    price: int


class Serves(NamedTuple):
    """A need key the offer satisfies, one base unit for one, and what to mind when it stands in for the real thing."""

    key: str
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who sells. Freight is charged once an order; none from `free_from` (value of goods) on. Minor units."""

    name: str
    currency: str
    freight: int = 0
    free_from: int | None = None
    minimum_order: int = 0

    def freight_for(self, goods: int) -> int:
        """The freight on an order with goods of this value."""
        return 0 if self.free_from is not None and goods >= self.free_from else self.freight


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack that a supplier sells. The first break's `min_packs` is the fewest packs the supplier sells.

    `lead_days` None: nobody knows when it comes, so it can't be planned for a line with a date. `available_packs` None:
    as many as wanted. `shelf_life_days` counts from arrival; None: it keeps.
    """

    supplier: str
    sku: str
    pack_quantity: int
    breaks: tuple[Break, ...]
    serves: tuple[Serves, ...]
    lead_days: int | None = None
    in_stock: bool = True
    available_packs: int | None = None
    shelf_life_days: int | None = None
    name: str = ""

    @property
    def where(self) -> tuple[str, str]:
        """What makes the offer unique, and its place in name order."""
        return (self.supplier, self.sku)

    @property
    def called(self) -> str:
        """What to call the offer in a sentence."""
        return f"{self.sku} from {self.supplier}"

    def price_for(self, packs: int) -> int:
        """The price of one pack when buying so many. Raises ValueError below the fewest packs sold."""
        reached = [each.price for each in self.breaks if each.min_packs <= packs]
        if not reached:
            raise ValueError(f"{self.called} is sold from {self.breaks[0].min_packs} packs on, not {packs}.")
        return reached[-1]

    def cost_of(self, packs: int) -> int:
        """What so many packs cost, freight apart."""
        return packs * self.price_for(packs) if packs else 0

    def arrives(self, today: date) -> date | None:
        """The day it is in the shop when ordered today; None when the lead time is not known."""
        return None if self.lead_days is None else today + timedelta(days=self.lead_days)

    def expires(self, today: date) -> date | None:
        """The last day it may be used when ordered today; None when it keeps. An unknown lead time counts as none."""
        if self.shelf_life_days is None:
            return None
        return (self.arrives(today) or today) + timedelta(days=self.shelf_life_days)

    def caution_for(self, key: str) -> str:
        """What to mind when it is used for this need."""
        return next((each.caution for each in self.serves if each.key == key), "")


def check(lines: tuple[ShortLine, ...], offers: tuple[Offer, ...], suppliers: tuple[Supplier, ...]) -> None:
    """Raise InvalidInputError for records that make no sense: what was wrong, and what to write instead."""
    _unique([line.line for line in lines], "short line")
    _unique([supplier.name for supplier in suppliers], "supplier")
    _unique([offer.called for offer in offers], "offer")
    for line in lines:
        if line.quantity <= 0:
            raise InvalidInputError(f"{line.called} is short of {line.quantity}.", "Give a quantity above zero.")
        if line.usage_per_day is not None and line.usage_per_day < 0:
            raise InvalidInputError(f"{line.called} has a usage below zero.", "Give zero or more a day.")
    for supplier in suppliers:
        if not supplier.currency:
            raise InvalidInputError(f"{supplier.name} has no currency.", "Give its three letters, like EUR.")
        if min(supplier.freight, supplier.minimum_order, supplier.free_from or 0) < 0:
            raise InvalidInputError(f"{supplier.name} has an amount below zero.", "Give zero or more.")
    known = {supplier.name for supplier in suppliers}
    for offer in offers:
        if offer.supplier not in known:
            raise InvalidInputError(f"{offer.called}: there is no such supplier.", "Add the supplier first.")
        _check_offer(offer)


def _check_offer(offer: Offer) -> None:
    if offer.pack_quantity <= 0:
        raise InvalidInputError(f"{offer.called} holds nothing.", "Give what one pack holds.")
    steps = [each.min_packs for each in offer.breaks]
    if not steps or steps[0] < 1 or any(low >= high for low, high in pairwise(steps)):
        raise InvalidInputError(
            f"{offer.called}: the price breaks are not in order.",
            "Give them from the fewest packs up, the first from 1.",
        )
    if any(each.price < 0 for each in offer.breaks):
        raise InvalidInputError(f"{offer.called} has a price below zero.", "Give zero or more.")
    if min(offer.lead_days or 0, offer.available_packs or 0, offer.shelf_life_days or 0) < 0:
        raise InvalidInputError(f"{offer.called} has a count of days or packs below zero.", "Give zero or more.")
    _unique([each.key for each in offer.serves], f"need of {offer.called}")


def _unique(names: list[str], what: str) -> None:
    twice = sorted({name for name in names if names.count(name) > 1}) if len(set(names)) < len(names) else []
    if twice:
        raise InvalidInputError(f"There are two of the {what} {twice[0]!r}.", "Give each once.")
