"""A shop's own tables of ports, row by row. A row is never edited, only withdrawn."""

from sqlalchemy import CheckConstraint, Index, text
from sqlmodel import Field

from catalog.orings.joints import PortSeal
from models.tables.base import Table, not_blank, one_of, word_type

STANDS = text("withdrawn_by_id IS NULL")
RING = ("ring_id_tenth_um", "ring_id_tol_tenth_um", "ring_section_tenth_um", "ring_section_tol_tenth_um")


class OwnPort(Table, table=True):
    """One row of a shop's own table of ports. `series`: what the table is called; `…_folded`: without case and spaces.

    `joint_folded`: what no two rows of one table have the same. Its ring is one of ours (`ring_key`), or its figures in
    tenths of a micrometre, all four of them, or there is none. The chamfer is in thousandths of a degree.
    """

    __tablename__ = "own_ports"
    __table_args__ = (
        not_blank("series"),
        not_blank("thread"),
        one_of("seal", PortSeal),
        CheckConstraint(" = ".join(f"({one} IS NULL)" for one in RING[:2]), name="ring_id_whole"),
        CheckConstraint(" = ".join(f"({one} IS NULL)" for one in RING[2:]), name="ring_section_whole"),
        CheckConstraint(f"({RING[0]} IS NULL) = ({RING[2]} IS NULL)", name="ring_whole"),
        CheckConstraint(f"ring_key = '' OR {RING[0]} IS NULL", name="ring_once"),
        CheckConstraint(f"{RING[1]} > 0 AND {RING[1]} < {RING[0]}", name="ring_id_tol_within"),
        CheckConstraint(f"{RING[3]} > 0 AND {RING[3]} < {RING[2]}", name="ring_section_tol_within"),
        CheckConstraint("chamfer_thousandth_deg > 0 AND chamfer_thousandth_deg < 90000", name="chamfer_within"),
        Index(
            "uq_own_ports_joint",
            "series_folded",
            "joint_folded",
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
    joint_folded: str = Field(max_length=600)
    standard: str = Field(default="", max_length=60)
    thread: str = Field(max_length=30)
    seal: PortSeal = Field(sa_type=word_type(PortSeal))
    tube: str = Field(default="", max_length=20)
    ring_key: str = Field(default="", max_length=80)
    ring_id_tenth_um: int | None = None
    ring_id_tol_tenth_um: int | None = None
    ring_section_tenth_um: int | None = None
    ring_section_tol_tenth_um: int | None = None
    chamfer_thousandth_deg: int | None = None
    plug: str = Field(default="", max_length=120)
    ring_sits: str = Field(default="", max_length=120)
    note: str = Field(default="", max_length=300)
    withdrawn_by_id: int | None = Field(default=None, foreign_key="actions.id", index=True)
