"""What the sheets are made from: frozen records, quantities already in words. Days are passed in, never read."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import NamedTuple

from catalog.cautions import Step
from models.moments import later


class PickLine(NamedTuple):
    """One thing to take from one bin for a job. `quantity` in words (`3`, `9.46 L`); `reason` why it stands in."""

    bin_code: str
    item: str
    quantity: str
    for_what: str = ""
    lot: str = ""
    expires_on: date | None = None
    reason: str = ""
    job: str = ""
    picked: bool = False


class ShortLine(NamedTuple):
    """Something the kit lacks: how much, and what was tried."""

    need: str
    quantity: str
    tried: str = ""


class WorkStep(NamedTuple):
    """A step of the job as written, and the kinds of step it is, for its cautions."""

    text: str
    kinds: tuple[Step, ...] = ()


class Torque(NamedTuple):
    """A torque as the manual gives it. `thread` is the state it holds for: `dry`, `oiled`, `anti-seize`."""

    where: str
    newton_metres: float
    thread: str
    bolt: str = ""
    note: str = ""


class Tally(NamedTuple):
    """A fluid to fill: volumes at the marks in microlitres, and how many blank lines for pours."""

    where: str
    fluid: str
    low_ul: int
    full_ul: int
    pours: int = 6


class Cure(NamedTuple):
    """Sealant that must cure. `sealed_at` None: a blank to write the time in."""

    where: str
    product: str
    minutes: int
    sealed_at: datetime | None = None

    @property
    def fill_from(self) -> datetime | None:
        """When it may be filled, once the time of sealing is known."""
        if self.sealed_at is None:
            return None
        wait = timedelta(minutes=self.minutes)
        return later(self.sealed_at, wait) if self.sealed_at.tzinfo else self.sealed_at + wait


class Again(NamedTuple):
    """Something to measure again before the machine is closed. `last` is what was read last time."""

    where: str
    what: str
    last: str = ""


class PartPrice(NamedTuple):
    """So much of a part, what it costs in words, and where the price is from."""

    quantity: str
    item: str
    cost: str
    source: str = ""


class Costs(NamedTuple):
    """What the parts cost, and the sums in words with what they leave out."""

    lines: tuple[PartPrice, ...]
    summed: tuple[str, ...]


class Pictured(NamedTuple):
    """A picture, a JPEG of so many pixels, and the name of what it shows."""

    name: str
    jpeg: bytes
    width: int
    height: int


class JobSheet(NamedTuple):
    """Everything a job needs on paper. `needed` are the kinds of step its needs bring, on top of `steps`.

    `hours`: what the machine's hour meter showed, where that was noted; else there is room to write it.
    """

    job: str
    machine: str
    who: str
    written_on: date
    shop: str = ""
    due_on: date | None = None
    picks: tuple[PickLine, ...] = ()
    shorts: tuple[ShortLine, ...] = ()
    steps: tuple[WorkStep, ...] = ()
    needed: tuple[Step, ...] = ()
    torques: tuple[Torque, ...] = ()
    tallies: tuple[Tally, ...] = ()
    cures: tuple[Cure, ...] = ()
    again: tuple[Again, ...] = ()
    costs: Costs | None = None
    hours: str = ""
    pictures: tuple[Pictured, ...] = ()


class PickList(NamedTuple):
    """What to fetch, for one job or several at once."""

    title: str
    who: str
    written_on: date
    lines: tuple[PickLine, ...]
    shorts: tuple[ShortLine, ...] = ()
    shop: str = ""


class OrderLine(NamedTuple):
    """One pack to order; `pack` is empty when sold by the piece. Money in minor units; None: no price known."""

    number: str
    item: str
    pack: str
    packs: int
    price: int | None = None
    for_what: str = ""
    note: str = ""

    @property
    def amount(self) -> int | None:
        """Packs times the price of one."""
        return None if self.price is None else self.packs * self.price


class OrderList(NamedTuple):
    """An order to one supplier. `freight` in minor units; None: not known."""

    supplier: str
    who: str
    written_on: date
    currency: str
    lines: tuple[OrderLine, ...]
    shop: str = ""
    reference: str = ""
    needed_by: date | None = None
    freight: int | None = 0
    note: str = ""


class BinLabel(NamedTuple):
    """A label for one bin: its code, and what lies there."""

    code: str
    note: str = ""


class Ring(NamedTuple):
    """A ring to draw at true size, in mm. `width` 0 draws a plain circle of diameter `inside`."""

    name: str
    inside: float
    width: float = 0.0

    @property
    def outside(self) -> float:
        """Outside diameter in mm."""
        return self.inside + 2 * self.width
