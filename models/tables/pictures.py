"""Pictures of items, bins, machines and positions. A row is never edited, only withdrawn."""

from sqlalchemy import CheckConstraint, Index, LargeBinary, text
from sqlmodel import Field

from models.stored_picture import LONGEST_SIDE, MOST_BYTES
from models.tables.base import Table

STANDS = text("withdrawn_by_id IS NULL")
OF = ("item_id", "bin_id", "machine_id", "position_id")
ONE = " + ".join(f"CASE WHEN {column} IS NULL THEN 0 ELSE 1 END" for column in OF) + " = 1"


class Picture(Table, table=True):
    """A picture of one thing, in a table of its own so that no list reads it: see `models.pictures`.

    `jpeg`: the file as it is kept, made by `models.pictures.taking_in`. One at most stands for each thing.
    """

    __tablename__ = "pictures"
    __table_args__ = (
        CheckConstraint(ONE, name="of_one_thing"),
        CheckConstraint(f"width BETWEEN 1 AND {LONGEST_SIDE}", name="width_range"),
        CheckConstraint(f"height BETWEEN 1 AND {LONGEST_SIDE}", name="height_range"),
        CheckConstraint(f"length(jpeg) BETWEEN 1 AND {MOST_BYTES}", name="jpeg_small"),
        *(
            Index(f"uq_pictures_{column}", column, unique=True, sqlite_where=STANDS, postgresql_where=STANDS)
            for column in OF
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    item_id: int | None = Field(default=None, foreign_key="items.id")
    bin_id: int | None = Field(default=None, foreign_key="bins.id")
    machine_id: int | None = Field(default=None, foreign_key="machines.id")
    position_id: int | None = Field(default=None, foreign_key="positions.id")
    width: int
    height: int
    jpeg: bytes = Field(sa_type=LargeBinary)
    withdrawn_by_id: int | None = Field(default=None, foreign_key="actions.id", index=True)
