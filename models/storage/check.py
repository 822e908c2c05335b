"""Check that what is stored is true: the sums hold, the ledger replays, nothing hangs in the air."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Final, NamedTuple

from sqlalchemy import Column, and_, func, literal_column, or_, union_all
from sqlalchemy import select as ask
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from catalog.filters.element import Element
from catalog.filters.housing import Housing
from catalog.orings.groove import Groove
from models.kitting.needs import NeedSpec
from models.kitting.progress import overheld
from models.orders import checking
from models.rows import ROWS_AT_ONCE
from models.storage import values
from models.storage.finding import Finding
from models.stored_text import from_text
from models.tables import (
    Action,
    Bin,
    FitRecord,
    Item,
    Job,
    JobTemplate,
    KitLine,
    ListRow,
    Lot,
    Movement,
    Need,
    NeedSize,
    OldPrice,
    Order,
    Position,
    SealNote,
    Stock,
    Supplier,
    SupplierList,
    Table,
    TemplateNeed,
    TemplateVersion,
)
from models.undoing import checking as withdrawn
from models.words import Kind, LineState, Moved

_ROW, _OLD, _LISTS = ListRow.__table__.c, OldPrice.__table__.c, SupplierList.__table__.c  # type: ignore[attr-defined]
_MOVES, _STOCK = Movement.__table__.c, Stock.__table__.c  # type: ignore[attr-defined]
_NO_KEYS: Final = (
    ((_ROW.supplier_id, Supplier.__table__.c.id),),  # type: ignore[attr-defined]
    ((_ROW.added_list_id, _LISTS.id),),
    ((_ROW.priced_list_id, _LISTS.id),),
    ((_OLD.from_list_id, _LISTS.id),),
    ((_OLD.until_list_id, _LISTS.id),),
)
"""References without a foreign key: see `models.tables.ListRow`."""

KEPT_KIB: Final = 16_000

__all__ = ["Finding", "Report", "check"]


class Report(NamedTuple):
    """What was looked at and what was found."""

    movements: int
    stock_rows: int
    findings: tuple[Finding, ...]
    orders: int = 0

    @property
    def ok(self) -> bool:
        """Whether everything holds."""
        return not self.findings


def check(session: Session) -> Report:
    """Look at everything; in one read unit, one moment is seen. Takes time in proportion to the ledger."""
    with _more_of_the_file_kept(session):
        return _check(session)


@contextmanager
def _more_of_the_file_kept(session: Session) -> Iterator[None]:
    """Every page is read several times: SQLite keeps 2 MB of them of its own accord."""
    if session.get_bind().dialect.name != "sqlite":
        yield
        return
    connection = session.connection()
    before = connection.exec_driver_sql("PRAGMA cache_size").scalar_one()
    connection.exec_driver_sql(f"PRAGMA cache_size = -{KEPT_KIB}")
    try:
        yield
    finally:
        connection.exec_driver_sql(f"PRAGMA cache_size = {before}")


def _check(session: Session) -> Report:
    findings = values.findings(session)
    try:
        findings += _sums_and_ties(session)
    except (ValueError, LookupError, TypeError, ArithmeticError):
        if not findings:
            raise
        findings.append(Finding("the rest", "can't be looked at before that is set right"))
    except SQLAlchemyError:
        if not findings:
            raise
        return Report(0, 0, (*findings, Finding("the rest", "can't be looked at before that is set right")))
    movements = session.exec(select(func.count()).select_from(Movement)).one()
    stock_rows = session.exec(select(func.count()).select_from(Stock)).one()
    orders = session.exec(select(func.count()).select_from(Order)).one()
    return Report(movements, stock_rows, tuple(findings), orders)


def _sums_and_ties(session: Session) -> list[Finding]:
    findings = [*_replay(session), *_promises(session), *_reversals(session), *_closed_jobs(session)]
    findings += [*_lots(session), *_given_back(session), *_templates(session), *_records(session)]
    return [
        *findings,
        *_overheld(session),
        *_undone(session),
        *_seals(session),
        *_further_sizes(session),
        *checking.findings(session),
        *withdrawn.findings(session),
        *_orphans(session),
        *_file(session),
    ]


def _named(session: Session, stock_ids: Sequence[int]) -> dict[int, str]:
    """What rows of the shelf are called, those in which something was found."""
    found = {stock_id: f"stock {stock_id}" for stock_id in stock_ids}
    for at in range(0, len(stock_ids), ROWS_AT_ONCE):
        rows = session.exec(
            select(Stock.id, Item.name, Bin.code)
            .outerjoin(Item, col(Item.id) == col(Stock.item_id))
            .outerjoin(Bin, col(Bin.id) == col(Stock.bin_id))
            .where(col(Stock.id).in_(stock_ids[at : at + ROWS_AT_ONCE]))
        )
        found |= {stock_id or 0: f"{name} in bin {code} (stock {stock_id})" for stock_id, name, code in rows}
    return found


def _replay(session: Session) -> list[Finding]:
    """Walk the ledger in order: free and promised never fall below zero, and the end is what is stored."""
    # Not the column itself: by its index SQLite would fetch every movement from another place of the file.
    # Its zero is written out: two values that are sent would make two windows, and the ledger be sorted twice.
    row = _MOVES.stock_id + literal_column("0")
    hand = func.sum(_MOVES.on_hand_change).over(partition_by=row, order_by=_MOVES.id, rows=(None, 0))
    promise = func.sum(_MOVES.promised_change).over(partition_by=row, order_by=_MOVES.id, rows=(None, 0))
    walked = ask(_MOVES.id, _MOVES.stock_id, hand.label("on_hand"), promise.label("promised")).subquery()
    below = ask(walked).where(or_(walked.c.promised < 0, walked.c.on_hand < walked.c.promised)).order_by(walked.c.id)
    fell = session.connection().execute(below).all()
    # What moved less what is stored, in one sum: joined, each side would be looked up for every row of the other.
    moved = ask(_MOVES.stock_id.label("id"), _MOVES.on_hand_change.label("hand"), _MOVES.promised_change.label("kept"))
    both = union_all(moved, ask(_STOCK.id, -_STOCK.on_hand, -_STOCK.promised)).subquery()
    hands, promises = func.sum(both.c.hand), func.sum(both.c.kept)
    sums = ask(both.c.id, hands.label("hand"), promises.label("kept")).group_by(both.c.id)
    off = sums.having(or_(hands != 0, promises != 0)).subquery()
    stored = (
        ask(_STOCK.id, _STOCK.on_hand, _STOCK.promised, _STOCK.on_hand + off.c.hand, _STOCK.promised + off.c.kept)
        .join_from(off, Table.metadata.tables["stock"], _STOCK.id == off.c.id)
        .order_by(_STOCK.id)
    )
    other = session.connection().execute(stored).all()
    names = _named(session, sorted({row[1] for row in fell} | {row[0] for row in other}))
    return [
        *(
            Finding(names[stock_id], f"after movement {entry}: {int(held)} on hand, {int(kept)} promised")
            for entry, stock_id, held, kept in fell
        ),
        *(
            Finding(
                names[stock_id],
                f"stored {held} on hand and {kept} promised, the movements say {int(moved)} and {int(kept_back)}",
            )
            for stock_id, held, kept, moved, kept_back in other
        ),
    ]


def _promises(session: Session) -> list[Finding]:
    """What a stock row has promised is what kit lines hold of it."""
    held = (
        select(KitLine.stock_id, func.sum(col(KitLine.quantity)).label("quantity"))
        .where(KitLine.state == LineState.HAVE)
        .group_by(col(KitLine.stock_id))
        .subquery()
    )
    lines = func.coalesce(held.c.quantity, 0)
    rows = session.exec(
        select(Stock.id, Stock.promised, lines)
        .outerjoin(held, held.c.stock_id == col(Stock.id))
        .where(col(Stock.promised) != lines)
    ).all()
    names = _named(session, [stock_id or 0 for stock_id, _, _ in rows])
    return [
        Finding(names[stock_id or 0], f"{promised} promised, but kit lines hold {int(quantity)}")
        for stock_id, promised, quantity in rows
    ]


def _reversals(session: Session) -> list[Finding]:
    """An undo is the exact opposite of what it undoes."""
    first, back = aliased(Movement), aliased(Movement)
    rows = session.exec(
        select(back.id, first.id)
        .join(first, col(first.id) == col(back.reverses_id))
        .where(
            or_(
                col(back.stock_id) != col(first.stock_id),
                col(back.kind) != col(first.kind),
                col(back.on_hand_change) != -col(first.on_hand_change),
                col(back.promised_change) != -col(first.promised_change),
            )
        )
    ).all()
    return [Finding(f"movement {back_id}", f"is not the opposite of movement {first_id}") for back_id, first_id in rows]


def _undone(session: Session) -> list[Finding]:
    """What was undone is undone whole: every movement of it was reversed, by the undo that names it and no other."""
    first, back, undo = aliased(Movement), aliased(Movement), aliased(Action)
    rows = session.exec(
        select(first.id, undo.id, back.id)
        .outerjoin(undo, col(undo.undoes_id) == col(first.action_id))
        .outerjoin(back, col(back.reverses_id) == col(first.id))
        .where(
            or_(
                and_(col(undo.id).is_not(None), col(back.id).is_(None)),
                and_(col(back.id).is_not(None), col(undo.id).is_distinct_from(col(back.action_id))),
            )
        )
    ).all()
    return [
        Finding(
            f"movement {moved}",
            f"its action was undone by action {undo_id}, but it was not reversed"
            if back_id is None
            else f"was reversed by movement {back_id}, which no undo of its action wrote",
        )
        for moved, undo_id, back_id in rows
    ]


def _overheld(session: Session) -> list[Finding]:
    """No need holds more than it wants, unless a person took more off the shelf than was promised."""
    return [
        Finding(
            f"need {need_id} “{one.need.title}”", f"holds {one.held}, promised and picked, and wants {one.may_hold}"
        )
        for need_id, one in overheld(session).items()
    ]


def _closed_jobs(session: Session) -> list[Finding]:
    """A closed job and a struck need hold no promise."""
    rows = session.exec(
        select(KitLine.id, Job.title)
        .join(Need, col(Need.id) == col(KitLine.need_id))
        .join(Job, col(Job.id) == col(Need.job_id))
        .where(
            KitLine.state == LineState.HAVE,
            or_(col(Job.closed_at).is_not(None), col(Need.withdrawn_at).is_not(None)),
        )
    ).all()
    return [
        Finding(f"kit line {line_id}", f"still holds a promise for “{title}”, closed or removed")
        for line_id, title in rows
    ]


def _lots(session: Session) -> list[Finding]:
    """A lot of rubber can't expire before it was cured, and a lot lies only where its own item does."""
    rows = session.exec(
        select(Lot, Item).join(Item, col(Item.id) == col(Lot.item_id)).where(col(Lot.expires_on) < col(Lot.cured_on))
    ).all()
    findings = [
        Finding(f"lot {lot.code} of {item.name}", f"expires on {lot.expires_on}, cured only on {lot.cured_on}")
        for lot, item in rows
    ]
    strays = session.exec(
        select(Stock.id, Lot.code).join(Lot, col(Lot.id) == col(Stock.lot_id)).where(Lot.item_id != Stock.item_id)
    ).all()
    return findings + [Finding(f"stock {row}", f"lies in lot {code} of another item") for row, code in strays]


def _given_back(session: Session) -> list[Finding]:
    """A job gives back no more of a line than it took."""
    back = (
        select(Movement.kit_line_id, func.sum(col(Movement.on_hand_change)).label("quantity"))
        .where(col(Movement.kind) == Moved.RECEIVED, col(Movement.kit_line_id).is_not(None))
        .group_by(col(Movement.kit_line_id))
        .subquery()
    )
    rows = session.exec(
        select(KitLine.id, KitLine.quantity, back.c.quantity)
        .join(back, back.c.kit_line_id == col(KitLine.id))
        .where(or_(back.c.quantity > col(KitLine.quantity), back.c.quantity < 0))
    ).all()
    return [
        Finding(f"kit line {line_id}", f"took {taken} and gave back {int(quantity)}")
        for line_id, taken, quantity in rows
    ]


def _templates(session: Session) -> list[Finding]:
    """Every template has its versions, numbered without a gap."""
    rows = session.exec(
        select(
            JobTemplate.name,
            func.count(col(TemplateVersion.id)),
            func.coalesce(func.max(col(TemplateVersion.number)), 0),
        )
        .outerjoin(TemplateVersion, col(TemplateVersion.template_id) == col(JobTemplate.id))
        .group_by(col(JobTemplate.id), col(JobTemplate.name))
    ).all()
    return [
        Finding(f"job template “{name}”", f"has {number} versions, the last is number {last}")
        for name, number, last in rows
        if number == 0 or number != last
    ]


def _seals(session: Session) -> list[Finding]:
    """Only a sealant is sealed with, and nobody notes it before it is done."""
    rows = session.exec(
        select(SealNote.id, Need.title)
        .join(Need, col(Need.id) == col(SealNote.need_id))
        .join(Action, col(Action.id) == col(SealNote.action_id))
        .where(or_(col(Need.kind) != Kind.SEALANT, col(SealNote.sealed_at) > col(Action.at)))
    ).all()
    return [Finding(f"seal note {row}", f"“{title}” is not a sealant, or was noted too early") for row, title in rows]


def _further_sizes(session: Session) -> list[Finding]:
    """Only a ring has further sizes, none of them its own; one that would do is kept beside the ring's own chance."""
    rows = session.exec(
        select(Need.id, Need.title, NeedSize.size_key)
        .join(NeedSize, col(NeedSize.need_id) == col(Need.id))
        .where(
            or_(
                col(Need.kind) != Kind.RING,
                col(NeedSize.size_key) == col(Need.size_key),
                and_(col(NeedSize.seals_ppm).is_not(None), col(Need.seals_ppm).is_(None)),
            )
        )
        .order_by(col(Need.id), col(NeedSize.size_key))
    ).all()
    return [
        Finding(f"need {need_id} “{title}”", f"holds {size} as a further size, which it can't")
        for need_id, title, size in rows
    ]


def _records(session: Session) -> list[Finding]:
    """Grooves, housings, elements and template needs can be read."""
    texts: tuple[tuple[str, type[Any], Any, Any], ...] = (
        ("fit record", Groove, FitRecord.id, FitRecord.groove),
        ("need", Groove, Need.id, Need.groove),
        ("need", Housing, Need.id, Need.housing),
        ("position", Housing, Position.id, Position.housing),
        ("item", Element, Item.id, Item.element),
        ("template version", NeedSpec, TemplateNeed.version_id, TemplateNeed.spec),
    )
    return [
        Finding(f"{where} {row_id}", f"holds a {kind.__name__.lower()} that can't be read")
        for where, kind, key, column in texts
        for row_id, text in session.exec(select(key, column).where(col(column).is_not(None))).all()
        if not _readable(kind, text)
    ]


def _readable(kind: type[Any], text: str) -> bool:
    try:
        from_text(kind, text)
    except (ValueError, TypeError, KeyError):
        return False
    return True


def _orphans(session: Session) -> list[Finding]:
    """Every reference leads somewhere. The database refuses others; a damaged or hand-edited file may hold them."""
    findings: list[Finding] = []
    for pairs in (*_keys(), *_NO_KEYS):
        table, named = pairs[0][0].table, pairs[0][1].table
        target = named.alias()
        theirs = [target.c[there.name] for _, there in pairs]
        same = and_(*(our == there for (our, _), there in zip(pairs, theirs, strict=True)))
        lost = session.scalar(
            select(func.count())
            .select_from(table.outerjoin(target, same))
            .where(theirs[0].is_(None), *(our.is_not(None) for our, _ in pairs))
        )
        if lost:
            findings.append(Finding(table.name, f"{lost} rows name {named.name} that are not there"))
    return findings


def _keys() -> Iterator[tuple[tuple[Column[Any], Column[Any]], ...]]:
    """Every foreign key: the columns that name, and what each names."""
    for table in Table.metadata.sorted_tables:
        for key in table.foreign_key_constraints:
            yield tuple((element.parent, element.column) for element in key.elements)


def _file(session: Session) -> list[Finding]:
    """SQLite's own look at its pages and indexes."""
    if session.get_bind().dialect.name != "sqlite":
        return []
    connection = session.connection()
    # The rules of the tables are looked at in `values`, with words for them.
    connection.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
    try:
        said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    finally:
        connection.exec_driver_sql("PRAGMA ignore_check_constraints = OFF")
    return [Finding("the file", str(one)) for one in said if one != "ok"]
