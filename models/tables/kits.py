"""What a job takes (needs, at spec level) and what was found for it (kit lines, at item level)."""

from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, UniqueConstraint
from sqlmodel import Field

from models.tables.base import Table, not_blank, one_of, word_type
from models.tables.readings import ReadingColumns, reading_checks
from models.text import TEXT_LENGTH
from models.words import Kind, LineState, Others


class Need(Table, table=True):
    """One thing a job takes, by specification, never by item. A fluid is wanted between its low and its full mark.

    `match_ppm` is the probability of the ring's size when it was accepted, `seals_ppm` the chance that it seals, where
    that was judged; both in parts per million. `others`: whether another ring may go in. `groove`: the one a ring is
    for, `housing`: the one a filter is for where no position holds one; as text, see `models.stored_text`.
    """

    __tablename__ = "needs"
    __table_args__ = (
        one_of("kind", Kind),
        not_blank("title"),
        not_blank("groove"),
        not_blank("housing"),
        CheckConstraint("(kind = 'ring') = (size_key IS NOT NULL)", name="ring_has_size"),
        CheckConstraint("size_key IS NULL OR size_key LIKE '_%\\:_%'", name="size_key_form"),
        CheckConstraint("kind = 'ring' OR length(spec_class) > 0", name="class_unless_ring"),
        CheckConstraint(
            "(kind = 'fluid' AND pieces = 0 AND spares = 0 AND low_ul > 0 AND full_ul >= low_ul)"
            " OR (kind <> 'fluid' AND pieces > 0 AND spares >= 0 AND low_ul IS NULL AND full_ul IS NULL)",
            name="quantity",
        ),
        CheckConstraint("match_ppm BETWEEN 0 AND 1000000", name="match_range"),
        CheckConstraint("seals_ppm BETWEEN 0 AND 1000000", name="seals_range"),
        CheckConstraint("kind = 'ring' OR (seals_ppm IS NULL AND others = 'would-do')", name="judged_if_ring"),
        one_of("others", Others),
        CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name="hardness_range"),
        CheckConstraint("cure_minutes_at_most >= 0", name="cure_not_negative"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    job_id: int = Field(foreign_key="jobs.id", index=True)
    position_id: int | None = Field(default=None, foreign_key="positions.id")
    kind: Kind = Field(sa_type=word_type(Kind))
    title: str = Field(max_length=200)
    pieces: int = 0
    spares: int = 0
    low_ul: int | None = Field(default=None, sa_type=BigInteger)
    full_ul: int | None = Field(default=None, sa_type=BigInteger)
    size_key: str | None = Field(default=None, max_length=60)
    hardness_shore_a: int | None = None
    spec_class: str = Field(default="", max_length=200)
    spec_grade: str = Field(default="", max_length=200)
    cure_minutes_at_most: int | None = None
    match_ppm: int | None = None
    seals_ppm: int | None = None
    others: Others = Field(default=Others.WOULD_DO, sa_type=word_type(Others))
    groove: str | None = Field(default=None, max_length=TEXT_LENGTH)
    housing: str | None = Field(default=None, max_length=TEXT_LENGTH)
    why: str = Field(default="", max_length=2000)
    looked_for_at: datetime | None = None
    withdrawn_at: datetime | None = None


class NeedSize(Table, table=True):
    """A further size for the ring a need asks for: the same ring by another standard's name, or one that would do.

    `seals_ppm`: the chance that it seals, in parts per million, and `why`, as they were judged when the ring was
    accepted; nothing of both for another name: no reading could tell these apart.
    """

    __tablename__ = "need_sizes"
    __table_args__ = (
        CheckConstraint("seals_ppm BETWEEN 0 AND 1000000", name="seals_range"),
        CheckConstraint("seals_ppm IS NOT NULL OR why = ''", name="why_of_a_chance"),
    )

    need_id: int = Field(foreign_key="needs.id", primary_key=True)
    size_key: str = Field(max_length=60, primary_key=True)
    seals_ppm: int | None = None
    why: str = Field(default="", max_length=2000)


class NeedRubber(Table, table=True):
    """A rubber family the need allows, best first. A need without any allows all."""

    __tablename__ = "need_rubbers"
    __table_args__ = (UniqueConstraint("need_id", "rubber"),)

    need_id: int = Field(foreign_key="needs.id", primary_key=True)
    position: int = Field(primary_key=True)
    rubber: str = Field(max_length=20)


class NeedAsk(Table, table=True):
    """A further class a fluid must meet, or a resistance a sealant must have."""

    __tablename__ = "need_asks"
    __table_args__ = (not_blank("ask"),)

    need_id: int = Field(foreign_key="needs.id", primary_key=True)
    position: int = Field(primary_key=True)
    ask: str = Field(max_length=200)


class NeedReading(ReadingColumns, table=True):
    """A reading the need's size was accepted on."""

    __tablename__ = "need_readings"
    __table_args__ = reading_checks()

    need_id: int = Field(foreign_key="needs.id", primary_key=True)
    position: int = Field(primary_key=True)


class KitLine(Table, table=True):
    """Stock promised to a need, or picked for it. What is still short is the need less its lines, never a row.

    `pinned_by_id`: the action by which a person chose it by hand. Looking again leaves such a line alone.
    """

    __tablename__ = "kit_lines"
    __table_args__ = (
        one_of("state", LineState),
        CheckConstraint("state NOT IN ('free', 'short')", name="only_what_is_held"),
        CheckConstraint("quantity > 0", name="quantity_positive"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    need_id: int = Field(foreign_key="needs.id", index=True)
    stock_id: int = Field(foreign_key="stock.id", index=True)
    quantity: int = Field(sa_type=BigInteger)
    state: LineState = Field(sa_type=word_type(LineState))
    reason: str = Field(default="", max_length=2000)
    pinned_by_id: int | None = Field(default=None, foreign_key="actions.id")
