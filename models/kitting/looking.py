"""Look on the shelf for needs: free stock becomes promises."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sqlmodel import Session, col, select

from models.acts import Act
from models.errors import InvalidInputError
from models.kitting.candidates import candidates_all, wanted_all
from models.kitting.kit_states import standings
from models.kitting.promises import promise
from models.stores.ledger import Entries
from models.tables import Job, Need, Stock


def refuse_closed(job: Job, to_do: str = "Open a new job.") -> None:
    """Raise `InvalidInputError` for a job that is closed."""
    if job.closed_at is not None:
        raise InvalidInputError(f"The job “{job.title}” is closed.", to_do)


def hold_near(session: Session, act: Act, needs: Sequence[Need], stock_ids: Collection[int]) -> None:
    """Hold these stock rows and all that may serve the needs, before any is moved: in one order for all programs.

    Who releases first and looks afterwards would hold a later row while waiting for an earlier one.
    """
    near = {
        one.stock_id
        for found in candidates_all(session, wanted_all(session, needs), act.at.date()).values()
        for one in found
        if not one.refused
    }
    rows = sorted({*near, *stock_ids})
    session.exec(select(Stock.id).where(col(Stock.id).in_(rows)).order_by(col(Stock.id)).with_for_update()).all()


def promise_free(
    session: Session, act: Act, action_id: int, needs: Sequence[Need], entries: Entries | None = None
) -> None:
    """Promise to each need what it lacks, best offer first; every need given counts as looked for from now on."""
    on = act.at.date()
    standing = standings(session, needs)
    lacking = [need for need in needs if standing[need.id or 0].missing]
    found = {
        need_id: [one for one in near_it if not one.refused]
        for need_id, near_it in candidates_all(session, wanted_all(session, lacking), on).items()
    }
    # Hold every row this may take from, in one order for all programs, so that two kits never wait for each other; what
    # is free is read once it is held.
    near = sorted({one.stock_id for offers_ in found.values() for one in offers_})
    free = {
        stock_id: on_hand - promised
        for stock_id, on_hand, promised in session.exec(
            select(Stock.id, Stock.on_hand, Stock.promised)
            .where(col(Stock.id).in_(near))
            .order_by(col(Stock.id))
            .with_for_update()
        ).all()
    }
    entries = entries or Entries(session, action_id)
    for need in lacking:
        assert need.id is not None
        missing = standing[need.id].missing
        for one in found[need.id]:
            taken = min(missing, free[one.stock_id])
            if taken <= 0:
                continue
            free[one.stock_id] -= taken
            promise(
                session,
                entries,
                action_id=action_id,
                need_id=need.id,
                stock_id=one.stock_id,
                quantity=taken,
                reason=one.because,
            )
            missing -= taken
    for need in needs:
        need.looked_for_at = act.at
        session.add(need)
    session.flush()
