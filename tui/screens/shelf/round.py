"""A count round: walks the bins in order; type what is there, Enter, the next row, the next bin."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar, NamedTuple, cast

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

import models
from models import inventory
from models.errors import WorkshopError
from tui.bound import bind
from tui.fields.amounts import Amount
from tui.fields.field import Asked, FieldError
from tui.fields.words import in_a_form
from tui.screens import elsewhere
from tui.screens.area import in_thread
from tui.screens.closing import Sheet
from tui.screens.form import tell_meanwhile
from tui.screens.shelf.lines import words
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.inventory.count_round import BinStop
    from models.stock_rows import StockRow
    from models.watching.heard import Booked as BookedElsewhere
    from models.watching.heard import Heard
    from tui.fields.units import Units
    from tui.host import Host
    from tui.scanning import Scanned
    from tui.workshop import Workshop

COUNT = Amount("counted", "Counted", least=0)
AGREES = "="
GAPS_SHOWN = 12


class Booked(NamedTuple):
    """One count as it was booked: what was on record when the round came by, what was counted.

    `replaced`: what was on record when it was booked, and stands there again once it is taken back.
    """

    row: StockRow
    counted: int
    replaced: int

    @property
    def differs(self) -> bool:
        """Whether the ledger was wrong."""
        return self.counted != self.row.on_hand


class RoundScreen(Sheet[None]):
    """Every count is booked as it is typed, so leaving half way loses nothing. Esc ends the round."""

    DEFAULT_CSS = """
    RoundScreen #round-rows { height: 12; }
    RoundScreen.-tall #round-rows { height: 24; }
    RoundScreen #round-asks { height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "leave", "End", tooltip="End the round; what was counted is booked", id="round.end"),
        bind("undo", "undo", "Undo", tooltip="Take the round's last count back", id="round.undo", only="f9"),
    ]

    def __init__(self, workshop: Workshop, stops: tuple[BinStop, ...], units: Units) -> None:
        super().__init__()
        self._workshop = workshop
        self._units = units
        self._stops = stops
        self._at = 0
        # Row by row the counts that stand, the last one last; and the rows in the order they were counted.
        self._counts: dict[int, list[Booked]] = {}
        self._order: list[int] = []
        # By row, what is on record as far as this screen knows: what a count is compared with when it is booked.
        self._record: dict[int, int] = {}
        self._fresh: dict[int, StockRow] = {}
        self._over = False
        # One count after the other, in the order they were typed.
        self._turn = asyncio.Lock()
        self._refusals = 0

    def compose(self) -> ComposeResult:
        """The bin, what should lie in it, the field."""
        with Vertical(classes="sheet wide"):
            yield Static("", id="round-title", classes="title", markup=False)
            yield Rows(
                [
                    Column("Item", 22, grow=True),
                    Column("Lot", 10, yields=1),
                    Column("On record", 10, right=True),
                    Column("Counted", 10, right=True),
                    Column("Answer", 10),
                ],
                empty="Nothing lies in any bin.",
                id="round-rows",
            )
            yield Static("", id="round-asks", markup=False)
            yield FilterInput(placeholder="what is there; = where the record is right; empty skips", max_length=40,
                              id="round-count")  # fmt: skip
            yield Static("", id="round-error", classes="error", markup=False)
        yield Static("Enter: books it, next · ↑ ↓ row · PgUp PgDn bin · F9 undo · Esc ends", classes="sheet-keys wide",
                     markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one(FilterInput).focus()
        self._show_bin()

    @property
    def _rows(self) -> Rows:
        return self.query_one(Rows)

    @property
    def _stop(self) -> BinStop | None:
        return self._stops[self._at] if self._at < len(self._stops) else None

    @property
    def _row(self) -> StockRow | None:
        stop, index = self._stop, self._rows.cursor
        return self._shown(stop.rows[index]) if stop is not None and index < len(stop.rows) else None

    def _shown(self, row: StockRow) -> StockRow:
        """The row as the round came by, or as it was found to stand when it had moved."""
        return self._fresh.get(row.stock_id, row)

    @property
    def _booked(self) -> list[Booked]:
        return [counts[-1] for counts in self._counts.values() if counts]

    def _show_bin(self, cursor: int = 0) -> None:
        stop = self._stop
        title = "Count round: no bin has anything in it"
        if stop is not None:
            title = f"Count round: bin {stop.code}, {self._at + 1} of {len(self._stops)}; {self._so_far()}"
        self.query_one("#round-title", Static).update(clean(title))
        self._rows.show(len(stop.rows) if stop else 0, self._draw, cursor=cursor)

    def _so_far(self) -> str:
        booked = self._booked
        return f"{len(booked)} counted, {sum(one.differs for one in booked)} differ"

    def _draw(self, index: int) -> Row:
        stop = self._stop
        if stop is None:
            return Row(())
        row = self._shown(stop.rows[index])
        counts = self._counts.get(row.stock_id)
        if not counts:
            return Row((row.item_name, row.lot_code, words(row.on_hand, row.counted_in), "", ""))
        booked = counts[-1]
        by = booked.counted - booked.row.on_hand
        sign = "+" if by > 0 else "−"
        answer = f"! {sign}{words(abs(by), row.counted_in)}" if by else "✓ agrees"
        cells = (row.item_name, row.lot_code, words(booked.row.on_hand, row.counted_in),
                 words(booked.counted, row.counted_in), answer)  # fmt: skip
        return Row(cells, "bad" if by else "good")

    def on_rows_highlighted(self) -> None:
        """Ask for the highlighted row."""
        row = self._row
        asks = ""
        if row is not None:
            promised = f" ({words(row.promised, row.counted_in)} promised)" if row.promised else ""
            asks = f"How {'many' if row.counted_in == 'each' else 'much'} {row.item_name}{promised}?"
        self.query_one("#round-asks", Static).update(clean(asks))

    def action_move(self, step: int) -> None:
        """The row before or after, over the end of a bin into the next."""
        stop = self._stop
        if stop is None:
            return
        index = self._rows.cursor + step
        if 0 <= index < len(stop.rows):
            self._rows.move_to(index)
        elif 0 <= self._at + step < len(self._stops):
            self._at += step
            self._show_bin(0 if step > 0 else len(self._stops[self._at].rows) - 1)

    def action_page(self, step: int) -> None:
        """The bin before or after."""
        if 0 <= self._at + step < len(self._stops):
            self._at += step
            self._show_bin()

    async def action_accept(self) -> None:
        """Book what was typed and go on; an empty field leaves the row uncounted."""
        row, field = self._row, self.query_one(FilterInput)
        if row is None or self._over:
            await self.action_leave()
            return
        typed = field.value.strip()
        if not typed:
            self._next()
            return
        try:
            counted = row.on_hand if typed == AGREES else COUNT.from_text(typed, Asked(self._units, {"stock": row}))
        except FieldError as problem:
            self._say(in_a_form(str(problem)))
            return
        self._say("")
        field.value = ""
        self._book(row, counted, typed)
        self._next()

    @work(group="round")
    async def _book(self, row: StockRow, counted: int, typed: str) -> None:
        async with self._turn:
            stock_id = row.stock_id
            on_record = self._record.get(stock_id, row.on_hand)
            try:
                await in_thread(self._enter, stock_id, counted, on_record)
            except WorkshopError as refused:
                self._refused(stock_id, typed, refused)
                return
            counts = self._counts.setdefault(stock_id, [])
            # Counted twice: the difference is to what was on record when the round came by first.
            counts.append(Booked(counts[-1].row if counts else row, counted, on_record))
            self._order.append(stock_id)
            self._record[stock_id] = counted
            self._refresh_title()

    def _enter(self, stock_id: int, counted: int, on_record: int) -> None:
        """Book one count, unless something else than `on_record` stands there. Runs in a thread."""
        self._workshop.change(
            lambda session, act: inventory.count_round.enter(
                session, act, {stock_id: counted}, expected={stock_id: on_record}
            )
        )

    def _refused(self, stock_id: int, typed: str, refused: WorkshopError) -> None:
        self._refusals += 1
        if isinstance(refused, models.shelf.StockMovedError):
            # Nothing of it was booked: the row stands as it is now, to be counted afresh.
            self._fresh[stock_id], self._record[stock_id], typed = refused.row, refused.row.on_hand, ""
            self._counts.pop(stock_id, None)
        self._over = False
        self._go_to(stock_id)
        self._say(str(refused))
        self.query_one(FilterInput).value = typed

    def _refresh_title(self) -> None:
        if self._over:
            self._show_end()
        else:
            self._show_bin(self._rows.cursor)

    def _next(self) -> None:
        stop = self._stop
        if stop is not None and self._rows.cursor + 1 >= len(stop.rows) and self._at + 1 >= len(self._stops):
            self._over = True
            self._show_end()
        else:
            self.action_move(1)

    def _show_end(self) -> None:
        """What the round found."""
        gaps = [one for one in self._booked if one.differs]
        lines = [
            f"{one.row.item_name} in {one.row.bin_code}: {words(one.row.on_hand, one.row.counted_in)} on record, "
            f"{words(one.counted, one.row.counted_in)} there"
            for one in gaps[:GAPS_SHOWN]
        ]
        more = len(gaps) - len(lines)
        said = [*lines, *([f"and {more} more"] if more else [])] or ["Everything counted was as on record."]
        self.query_one("#round-title", Static).update(f"The round is over: {self._so_far()}. Enter or Esc closes.")
        self._rows.display = False
        self.query_one("#round-asks", Static).styles.height = "auto"
        self.query_one("#round-asks", Static).update(Content("\n".join(clean(line) for line in said)))

    def _go_to(self, stock_id: int) -> None:
        for at, stop in enumerate(self._stops):
            for index, row in enumerate(stop.rows):
                if row.stock_id == stock_id:
                    self._at = at
                    self._rows.display = True
                    self.query_one("#round-asks", Static).styles.height = 1
                    self._show_bin(index)
                    return

    def action_undo(self) -> None:
        """Take the round's last count back; what was done before the round is undone on the shelf."""
        if self._order:
            cast("Host", self.app).action_undo()
        else:
            self._say("Nothing counted in this round to take back.")

    def workshop_changed(self) -> None:
        """The last count was taken back: go to its row again."""
        if self._order:
            stock_id = self._order.pop()
            counts = self._counts.get(stock_id)
            if counts:
                self._record[stock_id] = counts.pop().replaced
            self._over = False
            self._go_to(stock_id)

    def scanned(self, found: Scanned) -> bool:
        """A bin's label: go to that bin."""
        for at, stop in enumerate(self._stops):
            if found.bin_code and stop.code.casefold() == found.bin_code.casefold():
                self._at, self._over = at, False
                self._go_to(stop.rows[0].stock_id)
                self._say("")
                return True
        self._say(f"{found.words} is not a bin of this round.")
        return True

    def booked_elsewhere(self, heard: Heard) -> None:
        """Others moved rows of this round: say so beside what is typed, which stays as it is."""
        if heard.booked:
            self._tell_moved(heard.booked)

    @work(group="elsewhere")
    async def _tell_moved(self, booked: tuple[BookedElsewhere, ...]) -> None:
        async with self._turn:  # a count that is being booked is booked, or refused for that, first
            try:
                news = await in_thread(elsewhere.stock_news, self._workshop, booked)
            except WorkshopError:
                return
            stop = self._stop
            in_hand = {row.stock_id for row in stop.rows} if stop is not None else set()
            here = {row.stock_id: row for one in self._stops for row in one.rows}
            said = []
            for stock_id, move in news.moves.items():
                if stock_id not in here:
                    continue
                row = news.rows[stock_id]
                told = elsewhere.told(move, row, self._workshop.who)
                said.append(f"{row.item_name} in {row.bin_code}: {told}")
                # Another bin is counted when the round comes there. Here it may have been counted before that was
                # taken: what is typed is held against what stood here, and is asked for once more.
                if stock_id not in in_hand and stock_id not in self._counts:
                    self._fresh[stock_id] = row
            if said and self.is_mounted:
                more = f"; and {len(said) - 1} more" if len(said) > 1 else ""
                await tell_meanwhile(self, (f"{said[-1]}{more}",))

    def _say(self, error: str) -> None:
        self.query_one("#round-error", Static).update(f"! {clean(error)}" if error else "")

    async def action_leave(self) -> None:
        """End the round once every count is booked; what is refused meanwhile keeps it open."""
        before = self._refusals
        async with self._turn:
            if self._refusals == before:
                self.dismiss()
