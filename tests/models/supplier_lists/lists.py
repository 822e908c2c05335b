"""Lists that tests import: written to a file, laid out as proposed, taken over."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from sqlmodel import Session

from models.database import Workshop
from models.supplier_lists import suppliers
from models.supplier_lists.layout import Layout
from models.supplier_lists.listing import ListedRow, rows
from models.supplier_lists.loading import Loaded, load
from models.supplier_lists.progress import Watch
from models.supplier_lists.proposal import propose
from models.supplier_lists.source import open_source
from models.supplier_lists.staging import stage
from tests.models.shop import act

HEADER = "Part no,Description,Price,Pack"


def written(file: Path, lines: Sequence[str], header: str = HEADER, encoding: str = "utf-8") -> Path:
    """A list as a file."""
    file.write_bytes("\n".join([header, *lines, ""]).encode(encoding))
    return file


def supplier(workshop: Workshop, name: str = "Northfield Seals", currency: str = "EUR") -> int:
    """A supplier, added."""
    with workshop.write() as session:
        return suppliers.add(session, act(), name=name, currency=currency).supplier_id


def take_over(
    workshop: Workshop,
    supplier_id: int,
    file: Path,
    *,
    layout: Layout | None = None,
    watch: Watch | None = None,
    key: str | None = None,
    currency: str = "EUR",
) -> Loaded:
    """Read the file and make it the supplier's list."""
    source = open_source(file)
    with (
        stage(source, layout or propose(source).layout, currency, watch=watch) as staged,
        workshop.write() as session,
    ):
        return load(session, act(key=key), supplier_id, staged, watch=watch)


def listed(session: Session, supplier_id: int) -> list[ListedRow]:
    """What stands on the list."""
    return list(rows(session, supplier_id))
