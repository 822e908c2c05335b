"""The columns a stored reading has, wherever it is kept."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from catalog.orings.evidence import Condition, Dimension, Tool
from models.tables.base import Table, one_of, word_type


class ReadingColumns(Table):
    """One measured dimension and its limit of error, both in tenths of a micrometre (1 mm = 10,000)."""

    position: int
    what: Dimension = Field(sa_type=word_type(Dimension))
    value_tenth_um: int
    plus_minus_tenth_um: int
    tool: Tool = Field(sa_type=word_type(Tool))
    condition: Condition = Field(sa_type=word_type(Condition))


def reading_checks() -> tuple[CheckConstraint, ...]:
    """The checks on those columns; a fresh set for each table."""
    return (
        one_of("what", Dimension),
        one_of("tool", Tool),
        one_of("condition", Condition),
        CheckConstraint("value_tenth_um > 0", name="value_positive"),
        CheckConstraint("plus_minus_tenth_um > 0", name="plus_minus_positive"),
    )
