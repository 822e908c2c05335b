"""What a shop says of fluids itself: stand-in rules and classes of its own. A row is never edited, only withdrawn."""

from sqlalchemy import Index, text
from sqlmodel import Field

from catalog.fluids.rules import RuleKind
from models.tables.base import Table, not_blank, one_of, word_type

STANDS = text("withdrawn_by_id IS NULL")


class ShopFluidRule(Table, table=True):
    """One stand-in rule: `offered` where `required` is asked. Both may list classes or name a group, as in the CSV."""

    __tablename__ = "shop_fluid_rules"
    __table_args__ = (
        not_blank("required"),
        not_blank("offered"),
        one_of("kind", RuleKind),
        Index(
            "uq_shop_fluid_rules_pair", "required", "offered", unique=True, sqlite_where=STANDS, postgresql_where=STANDS
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    required: str = Field(max_length=400)
    offered: str = Field(max_length=400)
    kind: RuleKind = Field(sa_type=word_type(RuleKind))
    condition: str = Field(default="", max_length=2000)
    source: str = Field(default="", max_length=200)
    withdrawn_by_id: int | None = Field(default=None, foreign_key="actions.id", index=True)


class ShopFluidClass(Table, table=True):
    """A class of the shop's own: its code and what it is. `code_folded`: without case, spaces, hyphens and slashes."""

    __tablename__ = "shop_fluid_classes"
    __table_args__ = (
        not_blank("code"),
        not_blank("description"),
        Index("uq_shop_fluid_classes_code", "code_folded", unique=True, sqlite_where=STANDS, postgresql_where=STANDS),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    code: str = Field(max_length=200)
    code_folded: str = Field(max_length=400)
    description: str = Field(max_length=2000)
    withdrawn_by_id: int | None = Field(default=None, foreign_key="actions.id", index=True)
