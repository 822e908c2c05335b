"""Merge a machine into another, or a supplier: positions and jobs, or the list, go over to it."""

from __future__ import annotations

from typing import Any

from sqlalchemy import update
from sqlmodel import Session, col, select

from models.errors import CannotUndoError, InvalidInputError
from models.tables import Job, ListRow, Machine, Position, Supplier, SupplierList
from models.text import NAME_LENGTH


def merge_machines(session: Session, machine: Machine, into: Machine) -> dict[str, Any]:
    """Hand over positions with what fitted there, and jobs with their history. Gives what undo has to put back.

    A position whose name the other has already is called after its machine, too.
    """
    taken = set(session.exec(select(Position.name).where(Position.machine_id == into.id)).all())
    moved: dict[str, tuple[str, str]] = {}
    mine = select(Position).where(Position.machine_id == machine.id).order_by(col(Position.id)).with_for_update()
    for place in session.exec(mine).all():
        before, name = place.name, place.name
        if name in taken:
            ending = f" ({machine.name})"
            name = f"{name[: NAME_LENGTH - len(ending)]}{ending}"[-NAME_LENGTH:]
            if name in taken:
                raise InvalidInputError(f"Both machines have positions “{before}” and “{name}”.", "Merge one by hand.")
        taken.add(name)
        place.name, place.machine_id = name, into.id or 0
        session.add(place)
        moved[str(place.id)] = (before, name)
    jobs = [one or 0 for one in session.exec(select(Job.id).where(Job.machine_id == machine.id)).all()]
    _hand_jobs(session, jobs, into.id or 0)
    session.flush()
    return {"positions": moved, "jobs": jobs}


def part_machines(session: Session, machine: Machine, into: Machine, tied: dict[str, Any]) -> None:
    """Give back the positions and jobs that the merging handed over."""
    ids = [int(one) for one in tied["positions"]]
    for place in session.exec(select(Position).where(col(Position.id).in_(ids)).with_for_update()).all():
        before, after = tied["positions"][str(place.id)]
        place.machine_id = machine.id or 0
        place.name = before if place.name == after else place.name
        session.add(place)
    _hand_jobs(session, tied["jobs"], machine.id or 0)
    session.flush()


def _hand_jobs(session: Session, jobs: list[int], machine_id: int) -> None:
    for job in session.exec(select(Job).where(col(Job.id).in_(jobs)).with_for_update()).all():
        job.machine_id = machine_id
        session.add(job)


def merge_suppliers(session: Session, supplier: Supplier, into: Supplier) -> dict[str, Any]:
    """Hand over the list and its versions. Orders stay under the name they were sent to.

    Raises `InvalidInputError` where both have sent lists, or sell in other money.
    """
    if supplier.currency != into.currency:
        raise InvalidInputError(
            f"“{supplier.name}” sells in {supplier.currency} and “{into.name}” in {into.currency}.",
            "Retire one of them instead.",
        )
    theirs = _versions(session, supplier)
    if not theirs:
        return {"lists": [], "layout": False}
    if _versions(session, into):
        raise InvalidInputError(
            f"Both “{supplier.name}” and “{into.name}” have sent lists.",
            "Retire the one whose list is the older, with: kitwright supplier retire",
        )
    _hand_list(session, supplier, into, theirs)
    layout = into.layout is None and supplier.layout is not None
    if layout:
        into.layout = supplier.layout
        session.add(into)
    session.flush()
    return {"lists": theirs, "layout": layout}


def part_suppliers(session: Session, supplier: Supplier, into: Supplier, tied: dict[str, Any]) -> None:
    """Give back the list. Raises `CannotUndoError` where another was loaded since."""
    if tied["lists"]:
        if _versions(session, into) != tied["lists"]:
            raise CannotUndoError(f"A list of “{into.name}” was loaded since.", "Leave them merged.")
        _hand_list(session, into, supplier, tied["lists"])
    if tied["layout"]:
        into.layout = None
        session.add(into)
    session.flush()


def _versions(session: Session, supplier: Supplier) -> list[int]:
    mine = select(SupplierList.id).where(SupplierList.supplier_id == supplier.id).order_by(col(SupplierList.id))
    return [one or 0 for one in session.exec(mine).all()]


def _hand_list(session: Session, giver: Supplier, taker: Supplier, lists: list[int]) -> None:
    session.exec(update(ListRow).where(col(ListRow.supplier_id) == giver.id).values(supplier_id=taker.id))
    session.exec(update(SupplierList).where(col(SupplierList.id).in_(lists)).values(supplier_id=taker.id))
