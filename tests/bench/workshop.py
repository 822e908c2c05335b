"""An invented shop of any size, always the same: written through the tables, its ledger and its sums in agreement.

At share 1 it has 20,000 items, 30,000 stock rows, 200,000 movements, 500 jobs of 20 needs each, half of them open, and
four suppliers with 5,000 rows each. A share of 1/10 has a tenth of everything.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, NamedTuple

from sqlalchemy import Connection, insert
from sqlmodel import Session

from catalog.fluids import classes
from catalog.orings.sizes import all_sizes
from models.database import Workshop
from models.kits import NeedSpec, add_needs
from models.kitting.needs import MOST_PIECES
from models.tables import (
    Action,
    Bin,
    Item,
    ItemClaim,
    Job,
    KitLine,
    Lot,
    Movement,
    Need,
    NeedRubber,
    Stock,
    Table,
)
from models.text import fold
from models.words import Kind, LineState, Moved, Unit
from tests.models.orders.buying import supplier
from tests.models.shop import act, job

ON: Final = date(2026, 3, 2)
FIRST: Final = datetime(2025, 2, 1, 8, 0, tzinfo=UTC)
SIZES: Final = (Fraction(1, 10), Fraction(1, 3), Fraction(1))
ITEMS, STOCK, MOVEMENTS, JOBS, NEEDS, RULES, LISTED, SUPPLIERS = 20_000, 30_000, 200_000, 500, 20, 2_000, 5_000, 4
LITRE: Final = 1_000_000
RUBBERS: Final = ("NBR", "FKM", "HNBR", "EPDM")
SHORE: Final = (70, 75, 90)
OIL_GRADES: Final = ("10W-30", "ISO VG 46", "ISO VG 68", "80W-90", "15W-40")
AT_ONCE: Final = 10_000
MOVES_OF_AN_ACTION: Final = 5
SHORT_PIECES: Final = 400_000
"""What a need asks for that no shelf covers."""
EVERY_SHORT: Final = 10
"""One need in so many of an open job asks for more than there is."""


class Shop(NamedTuple):
    """How much of everything there is."""

    items: int
    stock: int
    movements: int
    jobs: int


class _Made(NamedTuple):
    """An item and where it lies, as needs are made from it."""

    item: dict[str, Any]
    stock_id: int


def build(workshop: Workshop, share: Fraction, folder: Path, *, seed: int = 1) -> Shop:
    """Fill an empty workshop. `folder`: where the suppliers' lists are written before they are taken over."""
    rng = random.Random(seed)
    with workshop.write() as session:
        writer = _Writer(session.connection(), rng, share)
        writer.write()
    for number in range(SUPPLIERS):
        lines = list(_listed(random.Random(seed + number), _part(LISTED, share), number))
        supplier(workshop, folder, lines, f"Supplier {number + 1} (invented)", freight=900, free_from=20_000)
    return Shop(writer.items, writer.stock, writer.movements, writer.jobs)


def job_of(session: Session, needs: int) -> int:
    """An open job with so many needs for rings that lie on the shelf, none looked for yet; gives its id."""
    rows = session.connection().exec_driver_sql(
        "SELECT DISTINCT size_key, rubber FROM items JOIN stock ON stock.item_id = items.id"
        f" WHERE kind = 'ring' AND on_hand - promised > 20 ORDER BY 1, 2 LIMIT {needs}"
    )
    specs = [NeedSpec(Kind.RING, 2, title=f"{size} {rubber}", size_key=size, rubbers=[rubber]) for size, rubber in rows]
    job_id = job(session, f"Overhaul with {needs} needs")
    add_needs(session, act(), job_id, (specs * (needs // len(specs) + 1))[:needs])
    return job_id


def _part(whole: int, share: Fraction) -> int:
    return max(1, round(whole * share))


class _Writer:
    """Writes table by table, with the ids and the sums in its own hand."""

    def __init__(self, connection: Connection, rng: random.Random, share: Fraction) -> None:
        self._to = connection
        self._rng = rng
        self.items, self.stock = _part(ITEMS, share), _part(STOCK, share)
        self.movements, self.jobs = _part(MOVEMENTS, share), _part(JOBS, share)
        self._rules = _part(RULES, share)
        self._actions: list[dict[str, Any]] = []
        self._moves: list[dict[str, Any]] = []
        self._lines: list[dict[str, Any]] = []
        self._on_hand = [0] * (self.stock + 1)
        self._promised = [0] * (self.stock + 1)
        self._step = timedelta(days=390) / max(1, self.movements // 2)

    def write(self) -> None:
        """Everything, in the order in which rows name each other."""
        rng = self._rng
        self._action("items.add")
        things = [_item(rng, number) for number in range(1, self.items + 1)]
        places = [self._place(number, things) for number in range(1, self.stock + 1)]
        bins = 1 + self.stock // 15
        for at in range(0, self.stock, 50):
            self._action("shelf.receive")
            for one in places[at : at + 50]:
                self._move(one.stock_id, Moved.RECEIVED, _amount(one.item, rng.randrange(60, 120)))
        jobs, needs = self._needs(places)
        self._daily(places)
        self._put(Action, self._actions)
        self._put(Bin, [{"id": n, "action_id": 1, "code": f"B{n:05}", "note": "", "folded": f"b{n:05}"}
                        for n in range(1, bins + 1)])  # fmt: skip
        for at, thing in enumerate(things):
            low, full, days = (_amount(thing, 2), _amount(thing, 60), 5) if at < self._rules else (None, None, None)
            thing.update(reorder_at=low, reorder_up_to=full, reorder_lead_days=days)
        self._put(Item, things)
        claims = [{"item_id": one["id"], "position": 0, "claim": "UTTO"}
                  for one in things if one["kind"] is Kind.FLUID and one["id"] % 3 == 0]  # fmt: skip
        self._put(ItemClaim, claims)
        self._put(Lot, [{"id": one.stock_id, "action_id": 1, "item_id": one.item["id"], "code": f"L{one.stock_id}",
                         "expires_on": date(2030, 1, 1) + timedelta(days=one.stock_id % 900)}
                        for one in places if _in_lot(one)])  # fmt: skip
        self._put(Stock, [{"id": one.stock_id, "item_id": one.item["id"], "bin_id": 1 + one.stock_id // 15,
                           "lot_id": one.stock_id if _in_lot(one) else None,
                           "on_hand": self._on_hand[one.stock_id], "promised": self._promised[one.stock_id]}
                          for one in places])  # fmt: skip
        self._put(Job, jobs)
        self._put(Need, needs)
        rubbers = [(one["id"], places[one["id"] % len(places)].item["rubber"]) for one in needs]
        self._put(NeedRubber, [{"need_id": need_id, "position": 0, "rubber": one} for need_id, one in rubbers if one])
        self._put(KitLine, self._lines)
        self._put(Movement, self._moves)
        if self._to.dialect.name == "postgresql":
            for name in ("actions", "bins", "items", "lots", "stock", "jobs", "needs", "kit_lines", "movements"):
                self._to.exec_driver_sql(f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), max(id)) FROM {name}")

    def _put(self, table: type[Table], rows: Sequence[dict[str, Any]]) -> None:
        for at in range(0, len(rows), AT_ONCE):
            self._to.execute(insert(table), list(rows[at : at + AT_ONCE]))

    def _action(self, what: str, subject_id: int | None = None) -> int:
        number = len(self._actions) + 1
        self._actions.append(
            {"id": number, "key": f"invented-{number}", "who": f"Bench {number % 6 + 1}",
             "at": FIRST + self._step * number, "what": what, "about": "", "subject_id": subject_id, "undoes_id": None}
        )  # fmt: skip
        self._in_action = 0
        return number

    def _move(self, stock_id: int, kind: Moved, on_hand: int = 0, promised: int = 0, line: int | None = None) -> None:
        self._on_hand[stock_id] += on_hand
        self._promised[stock_id] += promised
        self._moves.append(
            {"id": len(self._moves) + 1, "action_id": len(self._actions), "position_in_action": self._in_action,
             "stock_id": stock_id, "kind": kind, "on_hand_change": on_hand, "promised_change": promised,
             "kit_line_id": line, "reason": "", "reverses_id": None}
        )  # fmt: skip
        self._in_action += 1

    def _place(self, number: int, things: Sequence[dict[str, Any]]) -> _Made:
        return _Made(things[(number * 7919) % len(things)], number)

    def _needs(self, places: Sequence[_Made]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
        """Jobs in turn: one closed with all picked, one open with all promised, one closed, one open and not looked."""
        rng = self._rng
        jobs: list[dict[str, Any]] = []
        needs: list[dict[str, Any]] = []
        for job_id in range(1, self.jobs + 1):
            opened = self._action("jobs.open")
            at = self._actions[-1]["at"]
            is_open, looked = job_id % 2 == 0, job_id % 4 != 0
            made: list[tuple[int, _Made, int]] = []
            for _ in range(NEEDS):
                need_id = len(needs) + 1
                one = places[need_id % len(places)]
                short = is_open and rng.randrange(EVERY_SHORT) == 0
                needs.append(_need(need_id, opened, job_id, one.item, short, at if looked else None))
                if looked and not short:
                    made.append((need_id, one, _amount(one.item, 2)))
            if made:
                self._action("kits.allocate", job_id)
            for need_id, one, quantity in made:
                self._lines.append(
                    {"id": len(self._lines) + 1, "action_id": len(self._actions), "need_id": need_id,
                     "stock_id": one.stock_id, "quantity": quantity, "reason": "",
                     "state": LineState.HAVE if is_open else LineState.PICKED}
                )  # fmt: skip
                self._move(one.stock_id, Moved.PROMISED, promised=quantity, line=len(self._lines))
            if made and not is_open:
                self._action("kits.pick")
                first = len(self._lines) - len(made) + 1
                for at_line, (_, one, quantity) in enumerate(made, first):
                    self._move(one.stock_id, Moved.USED, -quantity, -quantity, at_line)
            closed = None if is_open else at + timedelta(days=2)
            jobs.append(
                {"id": job_id, "action_id": opened, "machine_id": None, "title": f"Job {job_id}", "opened_at": at,
                 "due_on": ON + timedelta(days=job_id % 40) if job_id % 3 else None, "closed_at": closed}
            )  # fmt: skip
        return jobs, needs

    def _daily(self, places: Sequence[_Made]) -> None:
        """What goes off the shelf and comes back on it, until there are as many movements as there should be."""
        rng = self._rng
        while len(self._moves) < self.movements:
            what = rng.choice(("shelf.use", "shelf.use", "shelf.receive"))
            self._action(what)
            for _ in range(min(MOVES_OF_AN_ACTION, self.movements - len(self._moves))):
                one = rng.choice(places)
                quantity = _amount(one.item, rng.randrange(1, 5))
                if what == "shelf.use" and self._on_hand[one.stock_id] - self._promised[one.stock_id] > quantity:
                    self._move(one.stock_id, Moved.USED, -quantity)
                elif what == "shelf.use":
                    self._move(one.stock_id, Moved.COUNTED)
                else:
                    self._move(one.stock_id, Moved.RECEIVED, quantity)


def _amount(item: dict[str, Any], pieces: int) -> int:
    return pieces * LITRE if item["kind"] is Kind.FLUID else pieces


def _in_lot(one: _Made) -> bool:
    return one.item["kind"] is Kind.RING and one.stock_id % 3 == 0


def _fluid_codes() -> list[str]:
    return [one.code for one in classes.all_classes() if not one.family.startswith(("viscosity grade", "grease"))]


def _item(rng: random.Random, number: int) -> dict[str, Any]:
    kind = (*[Kind.RING] * 12, *[Kind.FLUID] * 2, *[Kind.FILTER] * 2, *[Kind.FASTENER] * 2, Kind.SEALANT,
            Kind.CONSUMABLE)[number % 20]  # fmt: skip
    size, rubber, shore, said, grade = None, "", None, "", ""
    if kind is Kind.RING:
        size, rubber, shore = rng.choice(all_sizes()).key, rng.choice(RUBBERS), rng.choice(SHORE)
        name = f"O-ring {size} {rubber} {shore}"
    else:
        said, grade = _class_of(rng, kind)
        name = f"{said} {grade}".strip()
    name = f"{name} no. {number}"
    return {
        "id": number, "action_id": 1, "kind": kind, "name": name,
        "counted_in": Unit.MICROLITRE if kind is Kind.FLUID else Unit.EACH, "size_key": size, "rubber": rubber,
        "hardness_shore_a": shore, "spec_class": said, "spec_grade": grade, "cure_minutes": None, "note": "",
        "folded": fold(name, size, rubber, said, grade, kind), "class_folded": fold(said), "grade_folded": fold(grade),
    }  # fmt: skip


def _class_of(rng: random.Random, kind: Kind) -> tuple[str, str]:
    if kind is Kind.FLUID:
        return rng.choice(_fluid_codes()), rng.choice(OIL_GRADES)
    if kind is Kind.FASTENER:
        return f"Hex bolt M{rng.choice((6, 8, 10, 12, 16))} x {rng.randrange(10, 120, 5)}", rng.choice(("8.8", "10.9"))
    if kind is Kind.FILTER:
        return f"Return filter {rng.choice((3, 6, 10, 25))} micron type {rng.randrange(60)}", ""
    return (f"Flange sealant type {rng.randrange(40)}" if kind is Kind.SEALANT else f"Wipes {rng.randrange(40)}"), ""


def _need(
    need_id: int, action_id: int, job_id: int, item: dict[str, Any], short: bool, looked: datetime | None
) -> dict[str, Any]:
    fluid = item["kind"] is Kind.FLUID
    pieces = min(SHORT_PIECES if short else 2, MOST_PIECES)
    return {
        "id": need_id, "action_id": action_id, "job_id": job_id, "position_id": None, "kind": item["kind"],
        "title": item["name"][:60], "pieces": 0 if fluid else pieces, "spares": 0,
        "low_ul": pieces * LITRE if fluid else None, "full_ul": pieces * LITRE if fluid else None,
        "size_key": item["size_key"], "hardness_shore_a": None, "spec_class": item["spec_class"],
        "spec_grade": item["spec_grade"], "cure_minutes_at_most": None, "match_ppm": None, "why": "",
        "looked_for_at": looked, "withdrawn_at": None,
    }  # fmt: skip


def _listed(rng: random.Random, count: int, number: int) -> Iterator[str]:
    """Rows of a supplier's list: rings, fluids, filters and bolts under the classes the shop uses."""
    sizes = all_sizes()
    for at in range(count):
        if at % 10 < 5:
            size = sizes[rng.randrange(len(sizes))]
            name = f"O-RING {size.id_mm:g} x {size.cross_section_mm:g} {rng.choice(RUBBERS)} 70"
            pack = "1"
        elif at % 10 < 7:
            said, grade = _class_of(rng, Kind.FLUID)
            name, pack = f"{said} {grade}", "20 L"
        else:
            said, grade = _class_of(rng, rng.choice((Kind.FASTENER, Kind.FILTER, Kind.SEALANT)))
            name, pack = f"{said} {grade}".strip(), "1"
        yield f'S{number}-{at:06},"{name}",{rng.randrange(20, 9000) / 100:.2f},{pack}'
