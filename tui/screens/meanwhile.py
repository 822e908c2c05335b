"""What others did meanwhile to the rows that a form is about: as they stand now, and a sentence for each that moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import models
from models import orders, watching
from models.errors import NotFoundError
from models.stock_rows import StockRow
from tui.answers.kits import in_words
from tui.screens import elsewhere

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.job_rows import JobRow
    from models.kitting.kit_view import KitView, LineView, NeedView
    from models.orders.listing import OrderLineView, OrderView
    from models.watching.heard import Booked
    from tui.workshop import Workshop

DID: Final = {"have": "put it back", "picked": "picked it"}
"""What was done to a kit's line, by what it says now."""


class Meanwhile(NamedTuple):
    """The form's values with each row as it stands now, and what to say of those that moved.

    A row that is there no more stays in the values as it was: what is done with it is refused, and says why.
    """

    values: dict[str, Any]
    said: tuple[str, ...]


def look(workshop: Workshop, booked: Sequence[Booked], values: Mapping[str, Any]) -> Meanwhile:
    """Look at what a form is about. Runs in a thread; raises `WorkshopError`."""
    return workshop.read(lambda session: _look(session, booked, values, workshop.who))


def _look(session: Session, booked: Sequence[Booked], values: Mapping[str, Any], me: str) -> Meanwhile:
    now = dict(values)
    said: list[str] = []
    who = elsewhere.by(booked, me)
    stock = {name: row.stock_id for name, row in values.items() if isinstance(row, StockRow)}
    if "job" in values:
        said += _of_a_job(session, now, who)
        line = values.get("line")
        if line is not None and now["line"] == line and line.line_id is not None:
            # The line stands as it did; what lies free beside it may not.
            stock["line"] = watching.moved.stock_of_line(session, line.line_id)
    if "order" in values:
        said += _of_an_order(session, now, who)
    if stock:
        news = watching.moved.stock_news(session, booked)
        for name, stock_id in stock.items():
            if stock_id in news.moves:
                said.append(elsewhere.told(news.moves[stock_id], news.rows[stock_id], me))
                if name != "line":
                    now[name] = news.rows[stock_id]
    return Meanwhile(now, tuple(said))


def _of_a_job(session: Session, now: dict[str, Any], who: str) -> Iterator[str]:
    before: JobRow = now["job"]
    try:
        job = now["job"] = models.jobs.get(session, before.job_id)
    except NotFoundError:
        yield f"{who} took the job back meanwhile"
        return
    if job.closed_at is not None and before.closed_at is None:
        yield f"{who} closed the job meanwhile"
    if job.due_on != before.due_on:
        yield f"{who} set the due day meanwhile: {job.due_on or 'none'}"
    if "need" in now or "line" in now:
        yield from _of_a_kit(models.kits.view(session, job.job_id), now, who)


def _of_a_kit(kit: KitView, now: dict[str, Any], who: str) -> Iterator[str]:
    need: NeedView | None = now.get("need")
    if need is not None:
        fresh = next((one for one in kit.needs if one.need_id == need.need_id), None)
        if fresh is None:
            yield f"{who} removed it from the kit meanwhile"
        else:
            now["need"] = fresh
            if (fresh.wanted, fresh.missing) != (need.wanted, need.missing):
                wanted, missing = (in_words(one, fresh.counted_in) for one in (fresh.wanted, fresh.missing))
                yield f"{who} changed it meanwhile: {wanted} wanted, {missing} missing"
    line: LineView | None = now.get("line")
    if line is not None and line.line_id is not None:
        stands = next((one for of in kit.needs for one in of.lines if one.line_id == line.line_id), None)
        if stands is None:
            # Struck, released, or picked in part, which makes new lines of it.
            yield f"{who} changed this line meanwhile: Esc, and look at the kit again"
            return
        now["line"] = stands
        if (stands.state, stands.quantity, stands.given_back) != (line.state, line.quantity, line.given_back):
            did = DID.get(str(stands.state), "changed it") if stands.state != line.state else "changed it"
            there = in_words(stands.quantity - stands.given_back, stands.counted_in)
            yield f"{who} {did} meanwhile: {there} {'promised' if str(stands.state) == 'have' else 'out'}"


def _of_an_order(session: Session, now: dict[str, Any], who: str) -> Iterator[str]:
    before: OrderView = now["order"]
    try:
        order = now["order"] = orders.listing.get(session, before.order_id)
    except NotFoundError:
        yield f"{who} took the order back meanwhile"
        return
    line: OrderLineView | None = now.get("line")
    lines = {one.line_id: one for one in order.lines}
    if line is not None:
        now["line"] = lines.get(line.line_id, line)
    if order.state != before.state and order.state is orders.words.OrderState.CALLED_OFF:
        yield f"{who} cancelled the order meanwhile"
        return
    for one in before.lines if line is None else (line,):
        fresh = lines.get(one.line_id, one)
        came = fresh.received_packs - one.received_packs
        if came:
            packs = f"{abs(came)} {'pack' if abs(came) == 1 else 'packs'} of {one.number}"
            did = f"booked {packs} in" if came > 0 else f"took {packs} back out"
            yield f"{who} {did} meanwhile: {fresh.waits} still to come"
