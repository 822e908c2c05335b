"""Take a supplier's new list over: in one transaction, whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Final, NamedTuple

from sqlmodel import Session, col, func, select

from models.actions import claim
from models.acts import Act
from models.collecting import no_cycles
from models.errors import InvalidInputError
from models.rows import live_row
from models.supplier_lists.batches import SIZE, Batch, Preparer, does
from models.supplier_lists.bulk import Writer
from models.supplier_lists.merge_walk import compared, steps
from models.supplier_lists.progress import Progress, Watch, stoppable, tell
from models.supplier_lists.staging import Staged
from models.supplier_lists.words import Does
from models.tables import Action, ListRow, Supplier, SupplierList

ANALYZE_FROM: Final = 1000


class Loaded(NamedTuple):
    """What a list did. `list_id` None: it said nothing new, and nothing was written."""

    list_id: int | None
    added: int
    changed: int
    withdrawn: int
    unchanged: int
    refused: int

    @property
    def listed(self) -> int:
        """How many rows in the file stand on the list now."""
        return self.added + self.changed + self.unchanged


def load(session: Session, act: Act, supplier_id: int, staged: Staged, *, watch: Watch | None = None) -> Loaded:
    """Make the supplier's list what the file says. The caller's write unit commits it, or leaves all as it was.

    A second call under the same key answers as the first. Rows whose line was refused keep what they had. Raises
    `CancelledError` when `watch` says stop, `InvalidInputError` for a file in which no line could be used.
    """
    live_row(session, Supplier, supplier_id, "supplier", change=True)
    if (done := _before(session, act)) is not None:
        return done
    if not staged.entries:
        raise InvalidInputError(
            f"No line of {staged.source.file.name} could be used.", "Look at the reasons, and set the columns right."
        )
    walk = compared(session, staged.scratch, supplier_id, staged.entries, watch)
    if all(does(step) is None for step in walk):
        return Loaded(None, 0, 0, 0, staged.entries, staged.refused_count)
    name = staged.source.file.name.encode("utf-8", "replace").decode()[:200]
    made = claim(session, act, "lists.load", name, subject_id=supplier_id)
    row = SupplierList(
        supplier_id=supplier_id,
        action_id=made.action_id,
        file_name=name,
        loaded_at=act.at,
        added=0,
        changed=0,
        withdrawn=0,
        unchanged=0,
        refused=staged.refused_count,
        listed=0,
    )
    session.add(row)
    session.flush()
    assert row.id is not None
    with no_cycles():
        counts = _write(session, supplier_id, row.id, staged, watch)
    row.added, row.changed, row.withdrawn = counts[Does.ADDED], counts[Does.CHANGED], counts[Does.WITHDRAWN]
    row.unchanged = staged.entries - row.added - row.changed
    row.listed = counts["listed"]
    session.flush()
    return _loaded(row)


def _before(session: Session, act: Act) -> Loaded | None:
    """What an earlier call under the same key did."""
    found = session.exec(
        select(SupplierList).join(Action).where(Action.key == act.key.strip(), Action.what == "lists.load")
    ).first()
    return None if found is None else _loaded(found)


def _loaded(row: SupplierList) -> Loaded:
    return Loaded(row.id, row.added, row.changed, row.withdrawn, row.unchanged, row.refused)


def _write(session: Session, supplier_id: int, list_id: int, staged: Staged, watch: Watch | None) -> Mapping[str, int]:
    connection = session.connection()
    prepare = Preparer(supplier_id, list_id, connection.dialect.name == "postgresql")
    counts: dict[str, int] = dict.fromkeys((*Does, "listed"), 0)
    before = session.scalar(
        select(func.count()).where(ListRow.supplier_id == supplier_id, col(ListRow.withdrawn_list_id).is_(None))
    )
    all_new = session.scalar(select(ListRow.id).where(ListRow.supplier_id == supplier_id).limit(1)) is None
    batches = (
        map(prepare.all_new, staged.scratch.blocks()) if all_new else _batches(session, supplier_id, prepare, staged)
    )
    seen = 0

    def here() -> Progress:
        return Progress("writing", seen, seen / staged.entries)

    with Writer(session, list_id, staged.entries, all_new=all_new) as writer:
        for batch in batches:
            writer.write(batch)
            seen += batch.seen
            for does_what, count in batch.counts.items():
                counts[does_what] += count
            tell(watch, *here())
        staged.scratch.forget()
        # Sorting what was written into the indexes takes seconds in a long list: whoever stops need not wait for it.
        with stoppable(connection.connection.driver_connection, watch, here):
            writer.finish()
            counts["listed"] = (before or 0) + counts[Does.ADDED] - counts[Does.WITHDRAWN]
            if sum(counts[one] for one in Does) >= ANALYZE_FROM:
                connection.exec_driver_sql("ANALYZE list_rows")
    return counts


def _batches(session: Session, supplier_id: int, prepare: Preparer, staged: Staged) -> Iterator[Batch]:
    """What a list changes in the one before it."""
    walk = steps(session, staged.scratch, supplier_id)
    while some := list(islice(walk, SIZE)):
        yield prepare.batch(some)
