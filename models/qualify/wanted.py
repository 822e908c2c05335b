"""A need with all that judges it, an item on offer with all that is known of it, and how the two come out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.filters.element import Element
from catalog.filters.housing import Housing
from catalog.fluids.rules import Rule
from catalog.orings.groove import Groove
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.would_do import WouldDo
from models import fluid_rules, own_sizes
from models.fits.fit_records import stands
from models.stored_text import from_text, to_text
from models.tables import (
    FitRecord,
    Job,
    Need,
    NeedAsk,
    NeedRubber,
    NeedSize,
    Position,
)
from models.words import Kind, Others, Unit

AS_FITTED: Final = "fit:record"
"""The size key of a ring need that asks for whatever the fit record at its position says when it is looked for."""

AS_ASKED, INSTEAD, WITH_CARE = 0, 1, 2
"""How far from what was asked: the thing itself, something that serves as well, something to think about first."""

MILLION: Final = 1_000_000
NONE_INSTEAD: Final[Mapping[str, WouldDo]] = MappingProxyType({})


class Wanted(NamedTuple):
    """A need as it is judged. `sizes`: the names of a ring's size, its own first; none where it is not known yet.

    `own_rules`: the shop's own stand-in rules, for a fluid. `would_do`: other rings that would do, best first, as they
    were judged when the ring was accepted; `instead`: those that may go in, by every name they go by, best first.
    `book`: the ring sizes there are, a shop's own among them.
    """

    need: Need
    sizes: tuple[str, ...]
    rubbers: tuple[str, ...]
    asks: tuple[str, ...]
    groove: Groove | None
    housing: Housing | None
    due_on: date | None
    own_rules: tuple[Rule, ...] = ()
    would_do: tuple[WouldDo, ...] = ()
    instead: Mapping[str, WouldDo] = NONE_INSTEAD
    book: SizeBook | None = None

    @property
    def ring_sizes(self) -> SizeBook:
        """The ring sizes there are."""
        return self.book or built_in()

    @property
    def called(self) -> tuple[str, ...]:
        """The sizes of every ring that may go in, its own names first, then the others', best first."""
        return (*self.sizes, *self.instead)

    @property
    def seals(self) -> float | None:
        """The chance, 0 to 1, that the ring asked for seals; None where it was not judged."""
        return None if self.need.seals_ppm is None else self.need.seals_ppm / MILLION


class Thing(NamedTuple):
    """An item as far as anything is judged by it. `item_id` 0: no item of the shop's, only read so in a list."""

    item_id: int
    kind: Kind
    name: str
    size_key: str | None = None
    rubber: str = ""
    hardness_shore_a: int | None = None
    spec_class: str = ""
    spec_grade: str = ""
    cure_minutes: int | None = None
    class_folded: str = ""
    grade_folded: str = ""
    counted_in: Unit = Unit.EACH


class Batch(NamedTuple):
    """The lot something came in, as far as anything is judged by it."""

    code: str
    expires_on: date | None


class Offer(NamedTuple):
    """What lies in one place: its item, what that claims or was measured as, and when it last came in.

    `stock_id` 0: it lies nowhere, it is a row of a list. `holds`: what one full container of it holds. `turn`: whose
    turn it is among equals, the oldest first, then a container that is begun, then walking order.

    Not the rows themselves: a shelf has tens of thousands, and a table's object takes ten times as long to make and to
    look at.
    """

    item: Thing
    stock_id: int = 0
    on_hand: int = 0
    promised: int = 0
    bin_code: str = ""
    bin_folded: str = ""
    lot: Batch | None = None
    claims: tuple[str, ...] = ()
    element: Element | None = None
    holds: int | None = None
    received_on: date | None = None
    turn: tuple[date, bool, str, int] = (date.max, True, "", 0)

    @property
    def opened(self) -> bool:
        """Whether a container of it is begun."""
        return bool(self.holds and self.on_hand % self.holds)

    @property
    def free(self) -> int:
        """What is promised to nobody."""
        return self.on_hand - self.promised


class Judged(NamedTuple):
    """How an offer comes out: why not, or what a person should know when it is used; and how far from asked it is."""

    refused: str = ""
    because: tuple[str, ...] = ()
    care: int = AS_ASKED


def key_of(sought: Wanted) -> str:
    """The same for needs that the same things serve equally well."""
    need = sought.need
    parts = (
        need.kind,
        "/".join(sought.sizes),
        "/".join(sought.rubbers),
        need.hardness_shore_a or "",
        need.spec_class,
        need.spec_grade,
        "/".join(sought.asks),
        need.cure_minutes_at_most or "",
        to_text(sought.groove) if sought.groove else "",
        to_text(sought.housing) if sought.housing else "",
        "/".join(f"{one.size_key} {one.seals}" for one in sought.would_do),
        (sought.seals or "") if sought.would_do else "",
        need.others,
    )
    return "|".join(str(part) for part in parts)


def wanted(session: Session, need: Need) -> Wanted:
    """Everything that judges a need."""
    return wanted_all(session, [need])[need.id or 0]


def wanted_all(session: Session, needs: Sequence[Need]) -> dict[int, Wanted]:
    """Everything that judges many needs, by need id, in a handful of queries."""
    if not needs:
        return {}
    due_on = {job_id: job.due_on for job_id, job in _jobs(session, {need.job_id for need in needs}).items()}
    ids = {need.id or 0 for need in needs if need.kind in {Kind.FLUID, Kind.SEALANT}}
    asked_of = select(NeedAsk.need_id, NeedAsk.position, NeedAsk.ask).where(col(NeedAsk.need_id).in_(ids))
    asks = _lists(session.exec(asked_of).all() if ids else ())
    asked = [need for need in needs if need.kind is Kind.RING]
    book = own_sizes.size_book(session) if asked else built_in()
    rings = _rings(session, asked, book)
    housings = _housings(session, [need for need in needs if need.kind is Kind.FILTER])
    own = fluid_rules.rules(session) if any(need.kind is Kind.FLUID for need in needs) else ()
    found: dict[int, Wanted] = {}
    for need in needs:
        assert need.id is not None
        ring = rings.get(need.id, NO_RING)
        found[need.id] = Wanted(
            need,
            ring.sizes,
            ring.rubbers,
            asks.get(need.id, ()),
            ring.groove,
            housings.get(need.id),
            due_on[need.job_id],
            own if need.kind is Kind.FLUID else (),
            ring.would_do,
            NONE_INSTEAD if need.others is Others.NEVER else _by_every_name(ring, book),
            book,
        )
    return found


def _jobs(session: Session, job_ids: set[int]) -> dict[int | None, Job]:
    """The jobs of the needs; those that the unit has read already are not asked for again."""
    read = (session.identity_map.get(session.identity_key(Job, job_id)) for job_id in job_ids)
    found: dict[int | None, Job] = {job.id: job for job in read if isinstance(job, Job)}
    unread = job_ids - found.keys()
    if unread:
        found |= {job.id: job for job in session.exec(select(Job).where(col(Job.id).in_(unread))).all()}
    return found


def _lists(rows: Iterable[tuple[int, int, str]]) -> dict[int, tuple[str, ...]]:
    """What rows of a need say (need, place, text), by need, in their order."""
    found: defaultdict[int, list[tuple[int, str]]] = defaultdict(list)
    for need_id, position, said in rows:
        found[need_id].append((position, said))
    return {need_id: tuple(text for _, text in sorted(said)) for need_id, said in found.items()}


class Ring(NamedTuple):
    """A ring need's sizes, its rubbers, its groove, and the other rings that would do."""

    sizes: tuple[str, ...] = ()
    rubbers: tuple[str, ...] = ()
    groove: Groove | None = None
    would_do: tuple[WouldDo, ...] = ()


NO_RING: Final = Ring()


def _by_every_name(ring: Ring, book: SizeBook) -> Mapping[str, WouldDo]:
    """The other rings that would do, by each standard's name of them; none that is a name of the ring itself."""
    found: dict[str, WouldDo] = {}
    for one in ring.would_do:
        for name in (one.size_key, *book.same_rings(one.size_key)):
            if name not in ring.sizes:
                found.setdefault(name, one)
    return found


def _rings(session: Session, needs: Sequence[Need], book: SizeBook) -> dict[int, Ring]:
    if not needs:
        return {}
    ids = [need.id or 0 for need in needs]
    named = select(NeedRubber.need_id, NeedRubber.position, NeedRubber.rubber)
    rubbers = _lists(session.exec(named.where(col(NeedRubber.need_id).in_(ids))).all())
    equivalents: defaultdict[int, list[str]] = defaultdict(list)
    would_do: defaultdict[int, list[WouldDo]] = defaultdict(list)
    for row in session.exec(
        select(NeedSize)
        .where(col(NeedSize.need_id).in_(ids))
        .order_by(col(NeedSize.seals_ppm).desc(), col(NeedSize.size_key))
    ).all():
        if row.seals_ppm is None:
            equivalents[row.need_id].append(row.size_key)
        else:
            would_do[row.need_id].append(WouldDo(row.size_key, row.seals_ppm / MILLION, row.why))
    fitted, measured = _fitted(session, {need.position_id for need in needs if need.position_id is not None})
    found: dict[int, Ring] = {}
    for need in needs:
        assert need.id is not None
        key, allowed = need.size_key, rubbers.get(need.id, ())
        if key == AS_FITTED:
            record = fitted.get(need.position_id)
            key = record.size_key if record else None
            allowed = allowed or ((record.rubber,) if record and record.rubber else ())
        sizes = () if key is None else tuple(dict.fromkeys((key, *equivalents[need.id], *book.same_rings(key))))
        groove = need.groove or measured.get(need.position_id)
        known = None if groove is None else from_text(Groove, groove)
        found[need.id] = Ring(sizes, allowed, known, tuple(would_do[need.id]))
    return found


def _fitted(session: Session, position_ids: set[int]) -> tuple[dict[int | None, FitRecord], dict[int | None, str]]:
    """The record that holds at each position, and the groove last measured there."""
    if not position_ids:
        return {}, {}
    holds: dict[int | None, FitRecord] = {}
    measured: dict[int | None, str] = {}
    for record in session.exec(
        select(FitRecord).where(col(FitRecord.position_id).in_(position_ids), stands()).order_by(col(FitRecord.id))
    ).all():
        holds[record.position_id] = record
        if record.groove is not None:
            measured[record.position_id] = record.groove
    return holds, measured


def _housings(session: Session, needs: Sequence[Need]) -> dict[int, Housing]:
    """The need's own housing, or the one measured at its position."""
    if not needs:
        return {}
    places = {need.position_id for need in needs if need.housing is None and need.position_id}
    measured = select(Position.id, Position.housing).where(col(Position.id).in_(places))
    at = dict(session.exec(measured).all()) if places else {}
    texts = {need.id or 0: need.housing or at.get(need.position_id) for need in needs}
    return {need_id: from_text(Housing, text) for need_id, text in texts.items() if text is not None}
