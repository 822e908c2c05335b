"""A shop's own tables of ring sizes, row by row. A row is never edited, only withdrawn."""

from sqlalchemy import CheckConstraint, Index, text
from sqlmodel import Field

from models.tables.base import Table, not_blank

STANDS = text("withdrawn_by_id IS NULL")


class OwnSize(Table, table=True):
    """One row of a shop's own table. `series`: what the table is called; `…_folded`: without case and spaces.

    Lengths are in tenths of a micrometre, which holds 0.001 in exactly.
    """

    __tablename__ = "own_sizes"
    __table_args__ = (
        not_blank("series"),
        not_blank("designation"),
        CheckConstraint("id_tol_tenth_um > 0 AND id_tol_tenth_um < id_tenth_um", name="id_tol_within"),
        CheckConstraint(
            "cross_section_tol_tenth_um > 0 AND cross_section_tol_tenth_um < cross_section_tenth_um",
            name="cross_section_tol_within",
        ),
        Index(
            "uq_own_sizes_name",
            "series_folded",
            "designation_folded",
            unique=True,
            sqlite_where=STANDS,
            postgresql_where=STANDS,
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    series: str = Field(max_length=30)
    series_folded: str = Field(max_length=60)
    source: str = Field(default="", max_length=200)
    designation: str = Field(max_length=50)
    designation_folded: str = Field(max_length=100)
    id_tenth_um: int
    id_tol_tenth_um: int
    cross_section_tenth_um: int
    cross_section_tol_tenth_um: int
    withdrawn_by_id: int | None = Field(default=None, foreign_key="actions.id", index=True)
