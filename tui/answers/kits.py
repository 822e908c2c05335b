"""Kits: a need and a line as every answer tells them, a job's kit, what could fill a need, a fluid's tally."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from typing import TYPE_CHECKING, ClassVar, Literal

import models
from catalog import orings
from models import kitting, purchasing
from tui import answers
from tui.answers.answer import Answer, said
from tui.answers.chances import percent
from tui.answers.levels import TROUBLE, State
from tui.answers.to_fit import RUBBER_NOT_JUDGED, RubberInService, in_service

if TYPE_CHECKING:
    from collections.abc import Sequence

    from models.kitting.finish import Finish as FinishRow
    from models.kitting.fluid_tally import FluidTally
    from models.kitting.kit_offers import NeedOffers
    from models.kitting.kit_view import KitView, LineView, NeedView

KindWord = Literal["ring", "filter", "fluid", "sealant", "fastener", "consumable"]
CountedIn = Literal["each", "ul"]
KitState = Literal["draft", "short", "ready", "picked", "done"]
CALLED = {"held": "held before", "drained": "drained", "poured": "poured", "reused": "poured back, clean",
          "let_out": "let out again"}  # fmt: skip


def in_words(quantity: int, counted_in: str) -> str:
    """Pieces or litres."""
    return models.volume.in_words(quantity, models.words.Unit(counted_in))


@dataclass(frozen=True)
class Asked:
    """What is needed, at the level of a specification. `need`: its number, on a kit its own, in a template its place.

    A ring has a `size`, or is asked for `as_fitted`: as its position's fit record says. A fluid has marks in
    microlitres and no pieces.
    """

    need: int
    title: str
    kind: KindWord
    position: str | None
    size: str | None
    as_fitted: bool
    rubbers: tuple[str, ...]
    hardness_shore_a: int | None
    spec_class: str | None
    spec_grade: str | None
    asks: tuple[str, ...]
    pieces: int | None
    spares: int | None
    low_ul: int | None
    full_ul: int | None
    cure_minutes_at_most: int | None


@dataclass(frozen=True)
class Line:
    """One line of a need: what is there of it, or is short of it. One that is short has no number, item or bin.

    One that says "free" lies on the shelf for it and is not promised yet, so it has no number.

    Quantities in pieces or, for `counted_in` "ul", in microlitres. `given_back`: how much of a picked one came back.
    `in_place`: another ring than the one asked for, `reason` says why. `rubber_here`: the verdict on a ring's rubber in
    what it meets at its position, null where nobody said what.
    """

    line: int | None
    state: Literal["have", "picked", "short", "released", "free"]
    counted_in: CountedIn
    quantity: int
    given_back: int
    item: str | None
    bin: str | None
    lot: str | None
    expires_on: date | None
    pinned: bool
    reason: str | None
    in_place: bool
    rubber_here: RubberInService | None = None

    @property
    def lot_words(self) -> str:
        """What is known of its lot, wherever a line is shown; "" where it is of none."""
        return f"lot {self.lot}" if self.lot else ""

    @property
    def told(self) -> str:
        """State, how much of what from where, its lot and last day, what came back, the mark of a pin."""
        amount = in_words(self.quantity, self.counted_in)
        if self.state == "free":
            return f"{amount} free in {self.bin}: {self.item}"
        parts = (
            f"{self.state} {amount} {self.item or ''}".rstrip(),
            f"bin {self.bin}" if self.bin else "",
            self.lot_words,
            f"last day {self.expires_on}" if self.expires_on else "",
            f"{in_words(self.given_back, self.counted_in)} of it given back" if self.given_back else "",
            "pinned by hand" if self.pinned and self.state == "have" else "",
        )
        return ", ".join(part for part in parts if part)

    def words(self) -> str:
        """All of it on one line, its number, and why."""
        number = f" (line {self.line})" if self.line is not None else ""
        here = f"; {self.rubber_here.words}" if self.rubber_here is not None else ""
        return f"{self.told}{number}{f': {self.reason}' if self.reason else ''}{here}"


def rubber_here(need: NeedView, line: LineView) -> RubberInService | None:
    """The verdict on a line's rubber where its need says what it meets; None of what is short, or of no ring."""
    if not need.meets or not line.size_key or not line.rubber:
        return None
    hottest = 20.0 if need.hottest_c is None else float(need.hottest_c)
    return in_service(line.rubber, line.hardness_shore_a, need.meets, hottest)


def line_of(line: LineView, need: NeedView | None = None) -> Line:
    """A line as answers tell it; with its need, also how its rubber does there."""
    return Line(
        line=line.line_id,
        state=line.state.value,
        counted_in=line.counted_in.value,
        quantity=line.quantity,
        given_back=line.given_back,
        item=line.item_name or None,
        bin=line.bin_code or None,
        lot=line.lot.code or None,
        expires_on=line.lot.expires_on,
        pinned=line.pinned,
        reason=line.reason or None,
        in_place=line.in_place,
        rubber_here=None if need is None else rubber_here(need, line),
    )


@dataclass(frozen=True)
class WouldDo:
    """Another ring that would do. `seals`: the chance, 0 to 1, that it seals as well as the right one; `why`: where."""

    standard: str
    designation: str
    name: str
    seals: float
    why: str


def would_do_of(need: NeedView) -> tuple[WouldDo, ...]:
    """The other rings that would do for a need, best first."""
    if not need.would_do:
        return ()

    parts = [(one, *one.size_key.partition(":")[::2]) for one in need.would_do]
    return tuple(
        WouldDo(standard, designation, orings.sizes.label_of(one.size_key), round(one.seals, 4), one.why)
        for one, standard, designation in parts
    )


def others_words(others: str, would_do: Sequence[WouldDo]) -> str:
    """The other rings that would do, each with its chance, or that no other may go in; "" where nothing is kept."""
    if others == "never":
        return "no other ring may go in"
    if not would_do:
        return ""
    return "also suitable: " + ", ".join(f"{one.name} ({percent(one.seals)})" for one in would_do)


@dataclass(frozen=True)
class Sealed:
    """When a joint was sealed, who noted it, and from when it has cured; null where nobody says how long it cures."""

    at: datetime
    who: str
    cured_at: datetime | None


@dataclass(frozen=True)
class Need(Asked):
    """One need of a kit with its lines; `wanted` and `short` as `counted_in` says. `why`: how it was found.

    `seals`: the chance, 0 to 1, that the ring asked for seals, null where it was not judged; `would_do`: other rings
    that would do, best first, as they were judged when it was accepted; `others` "never": no other ring may go in.
    `short` leaves out what lies free on the shelf; `looked_for`: whether somebody looked there for it. Of a fluid, in
    microlitres: what was poured, what is still in the sump (`wanted` is less that); `between`: whether it comes to
    stand between its marks. `again`: as it was put there, that it is more of a need there was, or apart from another of
    its size; else null. `rubber_open`: of a ring for which nobody said a rubber or a fluid, the rubber that lies for it
    and was judged by nobody; else null.
    """

    counted_in: CountedIn
    wanted: int
    short: int
    why: str | None
    seals: float | None
    would_do: tuple[WouldDo, ...]
    others: Literal["would-do", "never"]
    sealed: Sealed | None
    lines: tuple[Line, ...]
    looked_for: bool
    poured_ul: int | None
    still_in_ul: int | None
    between: bool
    again: str | None = None
    rubber_open: str | None = None

    def words(self) -> list[str]:
        """How much of what and where, that its rubber is open, then its lines, then when it was sealed."""
        at = f" ({self.position})" if self.position and self.position.casefold() not in self.title.casefold() else ""
        lines = [f"need {self.need}: {in_words(self.wanted, self.counted_in)} × {self.title}{at}"]
        if told := others_words(self.others, self.would_do):
            lines.append(f"    {told}")
        if self.rubber_open:
            lines.append(f"    ! {self.rubber_open}")
        lines += [f"    {self.look_first(line)}{line.words()}" for line in self.lines]
        if told := self.filled:
            lines.append(f"    {told}")
        if self.sealed is not None:
            lines.append(f"    sealed {self.sealed.at:%Y-%m-%d %H:%M}, noted by {self.sealed.who}")
        return lines

    def look_first(self, line: Line) -> str:
        """What stands before a line for which nobody looked on the shelf yet."""
        return "not looked yet, " if line.state == "free" and not self.looked_for else ""

    @property
    def filled(self) -> str:
        """Of a fluid: its marks, what is still in the sump and what was poured, where that says more than its lines."""
        if not (self.poured_ul or self.still_in_ul or self.between) or self.low_ul is None or self.full_ul is None:
            return ""
        still_in = self.still_in_ul or 0
        told = (
            f"takes {in_words(self.low_ul, 'ul')} to {in_words(self.full_ul, 'ul')}",
            f"{in_words(still_in, 'ul')} still in" if still_in > 0 else "",
            f"{in_words(-still_in, 'ul')} let out again" if still_in < 0 else "",
            f"{in_words(self.poured_ul, 'ul')} poured" if self.poured_ul else "",
            "between the marks" if self.between else "",
        )
        return ", ".join(part for part in told if part)

    @property
    def standing(self) -> str:
        """What is there and where, and what is short, in one sentence."""
        have = [
            f"{in_words(one.quantity, one.counted_in)} in bin {one.bin}{f' ({one.reason})' if one.in_place else ''}"
            for one in self.lines
            if one.bin and one.state != "free"
        ]
        parts = ["have " + ", ".join(have)] if have else []
        parts += [f"{self.look_first(one)}{one.told}" for one in self.lines if one.state == "free"]
        if self.short:
            parts.append(f"SHORT {in_words(self.short, self.counted_in)}")
        return "; ".join(parts) or "nothing wanted"


def need_of(need: NeedView) -> Need:
    """A need of a kit as answers tell it."""
    fluid = need.low_ul is not None
    return Need(
        need=need.need_id,
        title=need.title,
        kind=need.kind.value,
        position=need.position_name or None,
        size=need.size_key,
        as_fitted=need.as_fitted,
        rubbers=tuple(need.rubbers),
        hardness_shore_a=need.hardness_shore_a,
        spec_class=need.spec_class or None,
        spec_grade=need.spec_grade or None,
        asks=tuple(need.asks),
        pieces=None if fluid else need.pieces,
        spares=None if fluid else need.spares,
        low_ul=need.low_ul,
        full_ul=need.full_ul,
        cure_minutes_at_most=need.cure_minutes_at_most,
        counted_in=need.counted_in.value,
        wanted=need.wanted,
        short=need.short,
        why=need.why or None,
        seals=None if need.seals is None else round(need.seals, 4),
        would_do=would_do_of(need),
        others=need.others.value,
        sealed=_sealed(need),
        lines=tuple(line_of(one, need) for one in need.lines),
        looked_for=need.looked_for,
        poured_ul=need.poured if fluid else None,
        still_in_ul=need.still_in if fluid else None,
        between=need.between,
        again=need.again or None,
        rubber_open=rubber_open(need) or None,
    )


def rubber_open(need: NeedView) -> str:
    """That a rubber was taken which nobody judged; "" where a rubber or a fluid was said, or no ring is there.

    A ring of any rubber is found by its size alone: on a kit it must not pass for the right one.
    """
    if need.rubbers or need.meets or need.kind is not models.words.Kind.RING:
        return ""
    taken = _rubbers(need, ("have", "picked"))
    held = taken or _rubbers(need, ("free",))
    if not held:
        return ""
    judged = RUBBER_NOT_JUDGED[0].lower() + RUBBER_NOT_JUDGED[1:]
    return f"{' and '.join(held)} {'taken' if taken else 'lies there'}; {judged}"


def _rubbers(need: NeedView, states: Sequence[str]) -> list[str]:
    """Each rubber of the lines in these states once, with its hardness."""
    lines = (one for one in need.lines if one.rubber and one.state.value in states)
    return list(dict.fromkeys(f"{one.rubber} {one.hardness_shore_a or ''}".strip() for one in lines))


def _sealed(need: NeedView) -> Sealed | None:
    if need.sealed is None:
        return None
    cured = kitting.finish.cured_at(need)
    return Sealed(
        need.sealed.at.astimezone(models.moments.WALL),
        need.sealed.who,
        None if cured is None else cured.astimezone(models.moments.WALL),
    )


@dataclass(frozen=True)
class Finish:
    """The earliest finish, null where nobody knows, and what it waits for, one sentence a fact."""

    at: datetime | None
    facts: tuple[str, ...]

    def words(self) -> list[str]:
        """When, and what it waits for."""
        if not self.facts:
            return ["Nothing has to arrive or to cure."]
        when = "not known" if self.at is None else f"{self.at:%A %Y-%m-%d %H:%M}"
        return [f"Earliest finish if work starts now: {when}", *(f"    {fact}" for fact in self.facts)]


@dataclass(frozen=True)
class Kit(Answer):
    """A job's kit, after whatever was done to it. `done`: said first, where something was."""

    SCHEMA: ClassVar[str] = "kitwright.kit/2"

    job: int
    title: str
    machine: str | None
    due_on: date | None
    kit: KitState
    made_from: str | None
    finish: Finish | None
    needs: tuple[Need, ...]
    done: str = said()

    def words(self) -> list[str]:
        """What was done, the job, one need a block, when it can be finished."""
        due = f"due {self.due_on}" if self.due_on else ""
        made = f"from {self.made_from}" if self.made_from else ""
        head = (f"Job {self.job}: {self.title}", self.machine or "", due, made, f"kit {self.kit}")
        lines = [self.done] if self.done else []
        lines.append(" · ".join(part for part in head if part))
        lines += [line for need in self.needs for line in need.words()]
        if not self.needs:
            lines.append("Nothing is needed yet.")
        return lines + (self.finish.words() if self.finish is not None else [])

    @property
    def found(self) -> bool:
        """Whether nothing is short."""
        return not any(need.short for need in self.needs)


def kit_of(kit: KitView, finish: FinishRow | None, done: str = "") -> Kit:
    """A kit as answers tell it."""
    return Kit(
        job=kit.job_id,
        title=kit.title,
        machine=kit.machine_name or None,
        due_on=kit.due_on,
        kit=kit.state.value,
        made_from=kit.made_from or None,
        finish=None if finish is None else Finish(finish.at, finish.facts),
        needs=tuple(map(need_of, kit.needs)),
        done=done,
    )


@dataclass(frozen=True)
class NeedAdded(Answer):
    """A need that was put on a job's kit and looked for on the shelf."""

    SCHEMA: ClassVar[str] = "kitwright.need/2"

    job: int
    added: Need

    def words(self) -> list[str]:
        """The need with its lines; that it was there before."""
        return [*([f"{self.added.again}."] if self.added.again else []), *self.added.words()]

    @property
    def found(self) -> bool:
        """Whether nothing of it is short."""
        return not self.added.short


@dataclass(frozen=True)
class RingsAdded(Answer):
    """Rings of a list that were put on a job's kit together and looked for on the shelf."""

    SCHEMA: ClassVar[str] = "kitwright.rings-added/2"

    job: int
    added: tuple[Need, ...]

    def words(self) -> list[str]:
        """How many there are and how many are short; then each need with its lines."""
        short = sum(one.short > 0 for one in self.added)
        rings = "ring" if len(self.added) == 1 else "rings"
        there = f"SHORT of {short}" if short else "all there"
        first = f"{len(self.added)} {rings} on the kit, {there}."
        return [first, *(line for one in self.added for line in one.words())]

    @property
    def found(self) -> bool:
        """Whether nothing of them is short."""
        return not any(one.short for one in self.added)


@dataclass(frozen=True)
class OnShelf:
    """A row of stock near a need. `reason`: why it does not serve, or what to mind if it does."""

    stock: int
    item: str
    bin: str
    on_hand: int
    free: int
    serves: bool
    reason: str | None


@dataclass(frozen=True)
class OnList:
    """A row of a supplier's list that may serve. `price`: for `price_per` packs of `pack`, in whole currency units."""

    supplier: str
    number: str
    name: str
    pack: int
    price: str
    price_per: int
    currency: str
    lead_days: int | None
    reason: str | None


@dataclass(frozen=True)
class Offers(Answer):
    """What could fill a need: the shelf first, then suppliers' lists. `lists_tried`: what on them does not serve."""

    SCHEMA: ClassVar[str] = "kitwright.offers/2"

    job: int
    need: int
    title: str
    counted_in: CountedIn
    short: int
    shelf: tuple[OnShelf, ...]
    lists: tuple[OnList, ...]
    lists_tried: str | None
    shelf_tried: str = said()

    def words(self) -> list[str]:
        """The shelf, then the lists, then what does not serve and why."""
        lacks = f"{in_words(self.short, self.counted_in)} short" if self.short else "nothing short"
        lines = [f"need {self.need}: {self.title}, {lacks}", "On the shelf:"]
        for one in self.shelf:
            there = f"{in_words(one.free, self.counted_in)} free of {in_words(one.on_hand, self.counted_in)}"
            state = f"no: {one.reason}" if not one.serves else f"{there}: {one.reason}" if one.reason else there
            lines.append(f"    stock {one.stock}: {one.item}, bin {one.bin}, {state}")
        if not self.shelf:
            lines.append(f"    {self.shelf_tried}")
        lines.append("On suppliers' lists:")
        for row in self.lists:
            per = f" for {row.price_per}" if row.price_per > 1 else ""
            pack = f", pack of {in_words(row.pack, self.counted_in)}" if row.pack > 1 else ""
            days = "" if row.lead_days is None else f", {row.lead_days} {'day' if row.lead_days == 1 else 'days'}"
            why = f": {row.reason}" if row.reason else ""
            price = f"{row.price} {row.currency}"
            lines.append(f"    {row.number} from {row.supplier}: {row.name}{pack}, {price}{per}{days}{why}")
        if not self.lists:
            lines.append("    No list offers it.")
        if self.lists_tried:
            lines.append(f"    Does not serve: {self.lists_tried}")
        return lines

    @property
    def found(self) -> bool:
        """Whether anything serves."""
        return any(one.free and one.serves for one in self.shelf) or bool(self.lists)


def offers_of(found: NeedOffers) -> Offers:
    """What could fill a need as answers tell it."""
    return Offers(
        job=found.job_id,
        need=found.need_id,
        title=found.title,
        counted_in=found.counted_in.value,
        short=found.missing,
        shelf=tuple(
            OnShelf(one.stock_id, one.item_name, one.bin_code, one.on_hand, one.free, not one.refused,
                    one.refused or one.because or None)
            for one in found.shelf
        ),
        lists=tuple(
            OnList(one.supplier, one.number, one.name, one.pack,
                   purchasing.money.written(one.price_minor, one.currency).removesuffix(f" {one.currency}"),
                   one.price_per, one.currency, one.lead_days, one.because or None)
            for one in found.lists
        ),
        lists_tried=found.lists_tried or None,
        shelf_tried=found.shelf_tried,
    )  # fmt: skip


@dataclass(frozen=True)
class TakenFrom:
    """What was taken off the shelf for a pour, in microlitres."""

    item: str
    bin: str
    volume_ul: int


@dataclass(frozen=True)
class Entry:
    """One entry of a tally, its volume in microlitres and as it was understood. `taken`: off the shelf for it."""

    what: Literal["held", "drained", "poured", "reused", "let_out"]
    volume_ul: int
    typed: str | None
    who: str
    at: datetime
    taken: tuple[TakenFrom, ...]

    def words(self) -> str:
        """What, how much, by whom, from where."""
        bins = ", ".join(dict.fromkeys(one.bin for one in self.taken))
        amount = self.typed or answers.levels.volume(self.volume_ul)
        return f"{CALLED[self.what]} {amount}, by {self.who}{bins and f', from {bins}'}"


@dataclass(frozen=True)
class Tally(Answer):
    """A fluid's tally against its marks, in whole microlitres. `curing`: joints of the job that have not cured.

    `picked_ul`: what is off the shelf for it; `from_packs_ul`: what was poured from packs; `unrecorded_ul`: what of
    that came from no container on record.
    """

    SCHEMA: ClassVar[str] = "kitwright.tally/2"

    job: int
    need: int
    title: str
    entries: tuple[Entry, ...]
    curing: tuple[str, ...]
    state: State
    low_ul: int
    full_ul: int
    held_ul: int
    poured_ul: int
    to_dispose_ul: int
    to_low_ul: int
    to_full_ul: int
    over_ul: int
    picked_ul: int
    from_packs_ul: int
    unrecorded_ul: int
    holds: str = said()
    says: str = said()
    rests_on: str = said()

    def words(self) -> list[str]:
        """What has not cured, the level, the entries, what is picked and poured, what it rests on."""
        entries = [f"    {one.words()}" for one in self.entries]
        curing = [f"! {one}" for one in self.curing]
        books = [self.books] if self.picked_ul or self.from_packs_ul else []
        return [*curing, f"{self.title}: it holds {self.holds}", self.says, *entries, *books, self.rests_on]

    @property
    def books(self) -> str:
        """What is picked and what was poured; what the shelf's books know nothing of."""
        return books_words(self.picked_ul, self.from_packs_ul)

    @property
    def found(self) -> bool:
        """Whether the level is between the marks or at one."""
        return self.state not in TROUBLE


def books_words(picked_ul: int, poured_ul: int) -> str:
    """What is off the shelf for a fluid and what was poured; what came from no container on record."""
    told = f"Picked {in_words(picked_ul, 'ul')}, poured {in_words(poured_ul, 'ul')}."
    if poured_ul <= picked_ul:
        return told
    return f"{told} {in_words(poured_ul - picked_ul, 'ul')} came from no container on record: count what is left."


def tally_of(tally: FluidTally, curing: Sequence[str], first: str) -> Tally:
    """A tally as answers tell it; in words the units of `first` come first."""
    level = tally.level
    known = any(one.what == "held" for one in tally.entries)
    return Tally(
        job=tally.job_id,
        need=tally.need_id,
        title=tally.title,
        entries=tuple(
            Entry(
                one.what.value,
                round(one.volume),
                one.typed or None,
                one.who,
                one.at,
                tuple(TakenFrom(from_.item_name, from_.bin_code, from_.volume_ul) for from_ in one.taken),
            )
            for one in tally.entries
        ),
        curing=tuple(curing),
        state=level.state.value,
        low_ul=tally.low_ul,
        full_ul=tally.full_ul,
        held_ul=round(Fraction(level.held)),
        poured_ul=round(level.poured),
        to_dispose_ul=round(level.lost),
        to_low_ul=round(level.to_low),
        to_full_ul=round(level.to_full),
        over_ul=round(level.over),
        picked_ul=tally.picked_ul,
        from_packs_ul=tally.poured_ul,
        unrecorded_ul=tally.unrecorded_ul,
        holds=answers.levels.volume(level.held, first),
        says=answers.levels.level_words(level, first, single=tally.low_ul == tally.full_ul),
        rests_on=f"{answers.levels.rests_on(level, first, known=known)} {answers.levels.LAST_WORD}",
    )
