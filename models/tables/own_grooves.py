"""A shop's own tables of grooves, row by row. A row is never edited, only withdrawn."""

from sqlalchemy import CheckConstraint, Index, text
from sqlmodel import Field

from models.tables.base import Table, not_blank

STANDS = text("withdrawn_by_id IS NULL")


class OwnGroove(Table, table=True):
    """One row of a shop's own table of grooves. `series`: its table's name; `…_folded`: without case and spaces.

    Face or radial, and standing still or moving, in oil or in air, as its flags say. `groove_folded`: what no two rows
    of one table may have the same. Lengths are in tenths of a micrometre.
    """

    __tablename__ = "own_grooves"
    __table_args__ = (
        not_blank("series"),
        CheckConstraint("stands OR reciprocates OR pneumatic", name="motion_said"),
        CheckConstraint("NOT is_face OR NOT (reciprocates OR pneumatic)", name="face_stands"),
        CheckConstraint("depth_min_tenth_um > 0 AND depth_min_tenth_um <= depth_max_tenth_um", name="depth_order"),
        CheckConstraint("depth_max_tenth_um < section_tenth_um", name="depth_within_section"),
        CheckConstraint("width_min_tenth_um > 0 AND width_min_tenth_um <= width_max_tenth_um", name="width_order"),
        CheckConstraint(
            "section_tol_tenth_um > 0 AND section_tol_tenth_um < section_tenth_um", name="section_tol_within"
        ),
        CheckConstraint("width_one_backup_tenth_um > width_min_tenth_um", name="one_backup_wider"),
        CheckConstraint("width_two_backups_tenth_um > width_min_tenth_um", name="two_backups_wider"),
        CheckConstraint("clearance_max_tenth_um >= 0", name="clearance_not_less"),
        CheckConstraint("(squeeze_min_tenth_um IS NULL) = (squeeze_max_tenth_um IS NULL)", name="squeeze_whole"),
        Index(
            "uq_own_grooves_groove",
            "series_folded",
            "groove_folded",
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
    groove_folded: str = Field(max_length=300)
    is_face: bool
    stands: bool
    reciprocates: bool
    pneumatic: bool
    medium: str = Field(default="", max_length=30)
    sizes: str = Field(default="", max_length=60)
    section_tenth_um: int
    section_tol_tenth_um: int | None = None
    depth_min_tenth_um: int
    depth_max_tenth_um: int
    width_min_tenth_um: int
    width_max_tenth_um: int
    width_one_backup_tenth_um: int | None = None
    width_two_backups_tenth_um: int | None = None
    clearance_max_tenth_um: int | None = None
    squeeze_min_tenth_um: int | None = None
    squeeze_max_tenth_um: int | None = None
    note: str = Field(default="", max_length=300)
    withdrawn_by_id: int | None = Field(default=None, foreign_key="actions.id", index=True)
