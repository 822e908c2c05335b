"""Look on the shelf for needs: free stock becomes promises."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from sqlmodel import Session

from models.acts import Act
from models.errors import InvalidInputError
from models.inventory.ledger import Entries
from models.kitting.candidates import Candidate, Wanted, candidates_all, wanted_all
from models.kitting.progress import progress_of
from models.kitting.promises import Promise, promise_all
from models.tables import Job, Need


def refuse_closed(job: Job, to_do: str = "Open a new job.") -> None:
    """Raise `InvalidInputError` for a job that is closed."""
    if job.closed_at is not None:
        raise InvalidInputError(f"The job “{job.title}” is closed.", to_do)


class Looked(NamedTuple):
    """What a look on the shelf knows of the needs it was for, by need id: what judges them, and what lies near."""

    sought: dict[int, Wanted]
    near: dict[int, list[Candidate]]


def look(session: Session, act: Act, needs: Sequence[Need]) -> Looked:
    """What judges the needs and what lies near each, those that may serve first. Nothing is held yet."""
    sought = wanted_all(session, needs)
    return Looked(sought, candidates_all(session, sought, act.at.date()))


def hold_near(entries: Entries, looked: Looked, stock_ids: Collection[int]) -> None:
    """Hold these stock rows and all that may serve the needs, before any is moved: in one order for all programs.

    Who releases first and looks afterwards would hold a later row while waiting for an earlier one.
    """
    near = {one.stock_id for found in looked.near.values() for one in found if not one.refused}
    entries.hold({*near, *stock_ids})


def promise_free(
    session: Session, act: Act, entries: Entries, needs: Sequence[Need], looked: Looked | None = None
) -> Looked:
    """Promise to each need what it lacks, best offer first; every need given counts as looked for from now on.

    `looked`: what was found for all of them and is held already. Gives what is near, as free as it is then.
    """
    standing = progress_of(session, needs)
    lacking = [need for need in needs if standing[need.id or 0].room]
    if looked is None:
        looked = look(session, act, lacking)
    found = {need.id or 0: [one for one in looked.near[need.id or 0] if not one.refused] for need in lacking}
    # Hold every row this may take from, in one order for all programs, so that two kits never wait for each other; what
    # is free is read once it is held.
    held = entries.hold({one.stock_id for offers_ in found.values() for one in offers_})
    free = {stock_id: sums.on_hand - sums.promised for stock_id, sums in held.items()}
    made: list[Promise] = []
    for need in lacking:
        assert need.id is not None
        missing = standing[need.id].room
        for one in found[need.id]:
            taken = min(missing, free[one.stock_id])
            if taken <= 0:
                continue
            free[one.stock_id] -= taken
            missing -= taken
            made.append(Promise(need.id, one.stock_id, taken, one.because))
    promise_all(session, entries, entries.action_id, made)
    for need in needs:
        need.looked_for_at = act.at
        session.add(need)
    session.flush()
    for near in looked.near.values():
        for at, one in enumerate(near):
            if one.stock_id in held:
                near[at] = one._replace(on_hand=held[one.stock_id].on_hand, free=free[one.stock_id])
    return looked
