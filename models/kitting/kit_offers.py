"""What could fill a need, to choose from: the shelf first, then the suppliers' lists; each with why or why not."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple

from sqlmodel import Session, col, select

from models import orders
from models.kitting.candidates import (
    Candidate,
    candidates,
    free_all,
    unit_of,
    wanted,
    wanted_all,
    what_was_tried,
)
from models.kitting.finish import Finish, earliest_finish
from models.kitting.kit_view import KitView
from models.kitting.progress import progress_of
from models.orders.listing import arrivals
from models.qualify.wanted import key_of
from models.rows import find
from models.tables import Job, Need
from models.words import Kind, Unit

if TYPE_CHECKING:
    from models.orders.offered import RowOffer


class ListOffer(NamedTuple):
    """A row of a supplier's list. `pack`: what one pack holds; `price_minor` for `price_per` packs.

    `because`: what to mind when it is used in place of what was asked, and what to look at before it is ordered.
    """

    supplier: str
    number: str
    name: str
    pack: int
    price_minor: int
    price_per: int
    currency: str
    lead_days: int | None
    because: str


class NeedOffers(NamedTuple):
    """Everything near a need: `shelf` with what may serve first, `lists` with what may serve, the rest in words.

    `missing` is what no line covers yet; quantities in `counted_in`.
    """

    need_id: int
    job_id: int
    title: str
    kind: Kind
    counted_in: Unit
    missing: int
    shelf: tuple[Candidate, ...]
    lists: tuple[ListOffer, ...]
    shelf_tried: str
    lists_tried: str


def look(session: Session, need_id: int, on: date) -> NeedOffers:
    """What could fill a need on that day. Raises `NotFoundError`."""
    # The lists' search and judgements are not needed to tell when a kit can be finished.
    need = find(session, Need, need_id, "need")
    job = find(session, Job, need.job_id, "job")
    sought, unit = wanted(session, need), unit_of(need)
    missing = progress_of(session, [need])[need_id].missing
    near = candidates(session, sought, on)
    short = orders.short_rows.Short(
        f"need:{need_id}", need_id, None, job.id, job.title, need.title, need.kind, unit, max(1, missing), 0, None, ""
    )
    found = orders.offered.offered(session, [orders.shorts.Asked(short, sought, key_of(sought))], on)
    return NeedOffers(
        need_id,
        need.job_id,
        need.title,
        need.kind,
        unit,
        missing,
        tuple(near),
        tuple(map(_listed, found.rows)),
        what_was_tried(sought, near),
        found.tried.get(short.line, ""),
    )


def _listed(row: RowOffer) -> ListOffer:
    _, minor, per = row.steps[0]
    return ListOffer(
        row.supplier,
        row.row.number,
        row.row.name,
        row.pack_quantity,
        minor,
        per,
        row.row.currency,
        row.lead_days,
        "; ".join(dict.fromkeys(one.caution for one in row.serves if one.caution)),
    )


def finish(session: Session, kit: KitView, now: datetime) -> Finish:
    """The earliest finish of a kit whose work starts `now`, by what lies free and what is on order for it."""
    short = {need.need_id: need for need in kit.needs if need.missing}
    if not short:
        return earliest_finish(kit, now)
    rows = session.exec(select(Need).where(col(Need.id).in_(short)).order_by(col(Need.id))).all()
    # One need after the other, as looking on the shelf does: what lies there once serves one of them.
    lying = free_all(session, wanted_all(session, rows), now.date())
    lies = {
        row.id
        for row in rows
        if row.id is not None and lying.take(row.id, short[row.id].missing) >= short[row.id].missing
    }
    return earliest_finish(kit, now, arrivals(session, list(short), now), lies)
