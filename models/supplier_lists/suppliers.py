"""Suppliers: add, list, find; and how each one's files are laid out, once a person has confirmed it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sqlmodel import Session, col, select

import catalog
from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.alike import tell
from models.errors import AlreadyThereError, InvalidInputError, NotFoundError
from models.rows import find, in_use, live_row, made_by
from models.supplier_lists import layout as layouts
from models.supplier_lists.layout import Layout
from models.tables import Supplier, SupplierList
from models.text import NOTE_LENGTH, clean, fold


class SupplierRow(NamedTuple):
    """One supplier. Money in minor units of its currency; `listed`: how many rows its list has now.

    `freight_minor` None: nobody said its terms yet. `language`: of an order to it, by its code; empty: nobody said it.
    """

    supplier_id: int
    name: str
    currency: str
    freight_minor: int | None
    free_from_minor: int | None
    minimum_order_minor: int
    lead_days: int | None
    note: str
    listed: int
    language: str = ""


def add(
    session: Session,
    act: Act,
    *,
    name: str,
    currency: str,
    freight_minor: int | None = None,
    free_from_minor: int | None = None,
    minimum_order_minor: int = 0,
    lead_days: int | None = None,
    note: str = "",
) -> SupplierRow:
    """Add a supplier. Raises `AlreadyThereError` when the name is taken, `InvalidInputError` for what can't be."""
    label, money = clean(name, "supplier's name"), _currency(currency)
    _refuse_negative(freight_minor, free_from_minor, minimum_order_minor, lead_days)
    made = claim(session, act, "suppliers.add", label)
    if made.first:
        row = session.exec(select(Supplier).where(Supplier.name == label).with_for_update()).first()
        # Held before the others are looked at: another bench may have added it again just now.
        others = page(session)
        if any(fold(one.name) == fold(label) for one in others):
            raise AlreadyThereError(f"There is already a supplier “{label}”.", "Use it, or choose another name.")
        tell(label, (one.name for one in others), "supplier")
        if row is not None and row.retired_at is not None:
            raise AlreadyThereError(
                f"There was a supplier “{label}”, who is retired.",
                "Choose another name, or bring it back with: kitwright supplier retire SUPPLIER --back",
            )
        row = row or Supplier(action_id=made.action_id, name=label, currency=money)
        row.action_id, row.currency, row.withdrawn_at = made.action_id, money, None
        row.freight_minor, row.free_from_minor = freight_minor, free_from_minor
        row.minimum_order_minor, row.lead_days = minimum_order_minor, lead_days
        row.note, row.language = clean(note, "note", limit=NOTE_LENGTH, empty=True), ""
        session.add(row)
        session.flush()
    return _row(session, made_by(session, Supplier, made.action_id, "supplier"))


def set_terms(
    session: Session,
    act: Act,
    supplier_id: int,
    *,
    currency: str | None = None,
    freight_minor: int | None = None,
    free_from_minor: int | None = None,
    minimum_order_minor: int | None = None,
    lead_days: int | None = None,
    language: str | None = None,
) -> SupplierRow:
    """Say a supplier's terms; what is None stays. Raises `NotFoundError`, `InvalidInputError`."""
    _refuse_negative(freight_minor, free_from_minor, minimum_order_minor, lead_days)
    money = None if currency is None else _currency(currency)
    name = find(session, Supplier, supplier_id, "supplier").name
    made = claim(session, act, "suppliers.set_terms", name, subject_id=supplier_id)
    if made.first:
        row = live_row(session, Supplier, supplier_id, "supplier", change=True)
        said = {
            "currency": money,
            "freight_minor": freight_minor,
            "free_from_minor": free_from_minor,
            "minimum_order_minor": minimum_order_minor,
            "lead_days": lead_days,
            "language": None if language is None else catalog.languages.tongue.tongue(language).code,
        }
        kept = {name: getattr(row, name) if one is None else one for name, one in said.items()}
        row_snapshots.write_over(session, made.action_id, row, **kept)
    return get(session, supplier_id)


def _currency(text: str) -> str:
    money = text.strip().upper()
    if not (len(money) == 3 and money.isascii() and money.isalpha()):
        raise InvalidInputError(f"“{money[:20]}” is not a currency.", "Type its three letters, like EUR.")
    return money


def _refuse_negative(*figures: int | None) -> None:
    if min(one or 0 for one in figures) < 0:
        raise InvalidInputError("An amount or a number of days is below zero.", "Type zero or more.")


def page(session: Session) -> tuple[SupplierRow, ...]:
    """Every supplier, by name."""
    rows = session.exec(select(Supplier).where(in_use(Supplier))).all()
    return tuple(sorted((_row(session, row) for row in rows), key=lambda row: (fold(row.name), row.supplier_id)))


def get(session: Session, supplier_id: int) -> SupplierRow:
    """One supplier. Raises `NotFoundError`."""
    return _row(session, find(session, Supplier, supplier_id, "supplier"))


def named(session: Session, name: str) -> SupplierRow:
    """The supplier of this name, case apart. Raises `NotFoundError`."""
    known = page(session)
    for row in known:
        if fold(row.name) == fold(name):
            return row
    said = f"There are: {', '.join(row.name for row in known[:10])}." if known else "Add it first."
    raise NotFoundError(f"There is no supplier “{name[:60]}”.", said)


def _row(session: Session, row: Supplier) -> SupplierRow:
    listed = session.exec(
        select(SupplierList.listed).where(SupplierList.supplier_id == row.id).order_by(col(SupplierList.id).desc())
    ).first()
    return SupplierRow(
        row.id or 0,
        row.name,
        row.currency,
        row.freight_minor,
        row.free_from_minor,
        row.minimum_order_minor,
        row.lead_days,
        row.note,
        listed or 0,
        row.language,
    )


def remember_layout(session: Session, act: Act, supplier_id: int, layout: Layout) -> None:
    """Keep how this supplier's files are laid out. Raises `InvalidInputError` for a layout that can't be used."""
    kept = layouts.to_json(layouts.checked(layout))
    supplier = live_row(session, Supplier, supplier_id, "supplier")
    if supplier.layout == kept or not claim(session, act, "suppliers.layout", "", subject_id=supplier_id).first:
        return
    supplier.layout = kept
    session.add(supplier)
    session.flush()


def remembered_layout(session: Session, supplier_id: int, headers: Sequence[str], header_line: int) -> Layout | None:
    """The layout that was kept, on a file with these headers in any order; None where there is none or it can't fit."""
    known = session.get(Supplier, supplier_id)
    if known is None or known.layout is None:
        return None
    return layouts.from_json(known.layout, headers, header_line)
