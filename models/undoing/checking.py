"""What `check` asks of what was withdrawn: nothing that stands may hang on it."""

from __future__ import annotations

from sqlmodel import Session, col, select

from models.fits.fit_records import stands
from models.storage.finding import Finding
from models.tables import FitRecord, Job, Machine, Need, Position, Supplier, SupplierList


def findings(session: Session) -> list[Finding]:
    """What hangs on a machine, a position or a supplier whose adding was taken back."""
    gone = col(Position.withdrawn_at).is_not(None)
    asked = (
        (
            "has a position that stands",
            select(Machine.name).join(Position).where(col(Machine.withdrawn_at).is_not(None), ~gone),
        ),
        (
            "has an open job",
            select(Machine.name).join(Job).where(col(Machine.withdrawn_at).is_not(None), col(Job.closed_at).is_(None)),
        ),
        (
            "has a need that stands",
            select(Position.name).join(Need).where(gone, col(Need.withdrawn_at).is_(None)),
        ),
        ("has a fit on record", select(Position.name).join(FitRecord).where(gone, stands())),
        ("has a measured housing", select(Position.name).where(gone, col(Position.housing).is_not(None))),
        (
            "has a list that was loaded",
            select(Supplier.name).join(SupplierList).where(col(Supplier.withdrawn_at).is_not(None)),
        ),
    )
    return [
        Finding(f"“{name}”", f"was undone but {what}")
        for what, query in asked
        for name in sorted(set(session.exec(query).all()))
    ]
