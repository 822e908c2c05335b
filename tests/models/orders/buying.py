"""A shop that lacks things, and two invented suppliers whose lists have them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from sqlmodel import Session

from models import jobs, kits
from models.acts import Act
from models.database import Workshop
from models.kitting.needs import NeedSpec
from models.orders.booking import accept, place
from models.orders.listing import OrderView
from models.orders.planning import Proposal, gather, work_out
from models.supplier_lists import suppliers
from models.words import Kind
from tests.models.shop import NOON, act
from tests.models.supplier_lists.lists import take_over, written

ON = NOON.date()
LITRE = 1_000_000

FIRST = (
    "R214,O-RING AS568-214 HNBR 70,0.50,1",
    "R214C,O-RING AS568-214 HNBR 70,30.00,100",
    "R116,O-RING AS568-116 NBR 70,0.20,1",
    "U5,Tractor fluid UTTO 10W-30,60.00,5 gal",
    "M10,Hex bolt M10 x 1.5 x 30 8.8,0.40,1",
)
SECOND = ("S-214,O-RING AS568-214 HNBR 70,0.45,1", "S-UTTO,UTTO 10W-30 drum,290.00,208 L")


def supplier(
    workshop: Workshop,
    folder: Path,
    lines: Sequence[str],
    name: str = "First supplier (invented)",
    *,
    currency: str = "EUR",
    freight: int | None = 0,
    free_from: int | None = None,
    minimum: int = 0,
    lead: int | None = 2,
    header: str = "Part no,Description,Price,Pack",
) -> int:
    """A supplier with this list."""
    with workshop.write() as session:
        supplier_id = suppliers.add(
            session,
            act(),
            name=name,
            currency=currency,
            freight_minor=freight,
            free_from_minor=free_from,
            minimum_order_minor=minimum,
            lead_days=lead,
        ).supplier_id
    new_list(workshop, folder, supplier_id, lines, currency=currency, header=header)
    return supplier_id


def new_list(
    workshop: Workshop,
    folder: Path,
    supplier_id: int,
    lines: Sequence[str],
    *,
    currency: str = "EUR",
    header: str = "Part no,Description,Price,Pack",
) -> None:
    """Take a list over."""
    file = written(folder / f"list-{supplier_id}.csv", lines, header=header)
    take_over(workshop, supplier_id, file, currency=currency)


def short_job(
    session: Session, *specs: NeedSpec, title: str = "Pump leaks", due_on: date | None = None, look: bool = True
) -> int:
    """A job with these needs, looked for on the shelf."""
    job_id = jobs.open_job(session, act(), title=title, due_on=due_on).job_id
    kits.add_needs(session, act(), job_id, list(specs))
    if look:
        kits.allocate(session, act(), job_id)
    return job_id


def rings(pieces: int = 2, size_key: str = "as568:214", rubbers: Sequence[str] = ("HNBR",)) -> NeedSpec:
    """A need for rings."""
    return NeedSpec(Kind.RING, pieces, title=f"ring {size_key}", size_key=size_key, rubbers=rubbers)


def oil(litres: int = 10, spec_class: str = "UTTO", grade: str = "10W-30") -> NeedSpec:
    """A need for a fluid."""
    return NeedSpec(
        Kind.FLUID, title="oil", spec_class=spec_class, spec_grade=grade, low_ul=litres * LITRE, full_ul=litres * LITRE
    )


def planned(workshop: Workshop, **options: object) -> Proposal:
    """Gather and work out on the test's day."""
    limit = options.pop("max_suppliers", None)
    with workshop.read() as session:
        gathered = gather(session, ON, **options)  # type: ignore[arg-type]
    return work_out(gathered, max_suppliers=limit)  # type: ignore[arg-type]


def accepted(workshop: Workshop, proposal: Proposal, given: Act | None = None) -> tuple[OrderView, ...]:
    """Keep the plan, every row looked at."""
    with workshop.write() as session:
        return accept(session, given or act(), proposal, looked_at=True)


def ordered(workshop: Workshop, **options: object) -> OrderView:
    """The only order of a plan, accepted and sent."""
    (order,) = accepted(workshop, planned(workshop, **options))
    with workshop.write() as session:
        return place(session, act(), [order.order_id])[0]
