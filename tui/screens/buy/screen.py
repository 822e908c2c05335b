"""Buy: what is short, the plan, the orders and which sizes to keep; one list, opened by a letter each."""

from __future__ import annotations

import time
from collections.abc import Hashable, Iterable, Sequence
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import work
from textual.binding import BindingType
from textual.content import Content
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Static

from tui import screens
from tui.answers.buying import plan_of
from tui.buying import Buying
from tui.keys import key, plain
from tui.operations.buy import KEEP_SIZES, ORDER, RECEIVE
from tui.screens.area import SHARED
from tui.screens.bands import bands
from tui.screens.buy import entries
from tui.screens.buy.entries import Entry
from tui.screens.buy.views import COLUMNS, EMPTY, KEYS, ONLY_IN, STEPS, VIEWS
from tui.screens.elsewhere import Marks, by, place_of
from tui.screens.operating import Operating
from tui.widgets.answer_band import AnswerBand
from tui.widgets.buy.trade_off import Point, TradeOff
from tui.widgets.cells import clean
from tui.widgets.rows import READING, UNREAD, Row, Rows
from tui.widgets.sketch import Sketch
from tui.widgets.time_line import time_lines

if TYPE_CHECKING:
    from datetime import date

    from models.orders.listing import OrderLineView, OrderView
    from models.orders.planning import Proposal
    from models.orders.short_rows import Short
    from models.watching.heard import Booked
    from tui.answers.sizes_to_keep import SizesToKeep
    from tui.operations.operation import Operation

MOST_SUPPLIERS = 4
STEP = Fraction(5, 100)
DOUBTS_NAMED = 8
TRACK = 30
"""Cells of the time line in the answer."""


class BuyScreen(Operating):
    """The view's name is a class of the screen; what a key does depends on the view, and the key line says what."""

    AREA = "buy"
    OPERATES: ClassVar[str] = "buy"
    LIST = "#buy-lines"
    PAGE = Path(__file__).with_name("buy.md")
    CSS_PATH: ClassVar = [SHARED, "buy.tcss"]
    AUTO_FOCUS = "#buy-lines"
    BINDINGS: ClassVar[list[BindingType]] = KEYS

    def __init__(self) -> None:
        super().__init__()
        self._view = "short"
        self.reads = True
        # The lists of which is known what they hold, or that nobody has made them yet.
        self._read_of = {"plan"}
        # The lists that could not be read when that was tried last.
        self._unread: set[str] = set()
        self._shorts: tuple[Short, ...] = ()
        self._left_out: set[int | None] = set()
        self._by_date = True
        self._max_suppliers: int | None = None
        self._plan: Proposal | None = None
        self._orders: tuple[OrderView, ...] = ()
        self._all = False
        self._share = Fraction(9, 10)
        self._keeping: SizesToKeep | None = None
        self._entries: Sequence[Entry] = ()
        self._row_keys: tuple[Hashable, ...] = ()
        self._cursors = dict.fromkeys(VIEWS, 0)
        self._began: float | None = None
        self._note = ""
        self._clock: Timer | None = None
        self._marks = Marks()
        self._today: date | None = None

    @property
    def buying(self) -> Buying:
        """The workshop's buying."""
        return Buying(self.kitwright.workshop)

    def body(self) -> Iterable[Widget]:
        """The answer; the four names, what the open one says in one line; its list, its time line or trade-off."""
        yield from bands(
            Static("", id="views"),
            Static("", id="buy-title", markup=False),
            rows=Rows(entries.SHORT_COLUMNS, id="buy-lines"),
            about="buy-detail",
            drawings=[TradeOff(id="curve", plain=self.kitwright.plain_glyphs)],
        )

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._clock = self.set_interval(0.2, self._say, pause=True)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Each view has its own keys."""
        named = str(parameters[0]) if action == "operate" else action
        if named in STEPS and named != self._step:
            return False
        return self._view in ONLY_IN[named] if named in ONLY_IN else True

    @property
    def _step(self) -> str:
        """What comes next of the highlighted order, or of its line."""
        entry = self.entry
        if entry is None or entry.kind != "order":
            return STEPS[0]
        order, line = entry.at
        return STEPS[0 if str(order.state) == "planned" else 1 if line is None else 2]

    def workshop_changed(self) -> None:
        """Read everything again; a plan made before stands until it is accepted or worked out anew."""
        self._read()

    async def take_in(self, booked: tuple[Booked, ...]) -> None:
        """Others booked something: mark what says something else now, and stay on the row."""
        view, here = self._view, self.entry
        before = entries.keyed(self._entries)
        key = next((one for one, entry in before.items() if entry is here), None)
        await self._read_all(stay=key)
        if view == self._view:
            after = entries.keyed(self._entries)
            fresh = self._marks.took(
                {one: entry.row for one, entry in before.items()}, {one: entry.row for one, entry in after.items()}
            )
            self.rows.renew()
            if key in fresh:
                self.say(f"{by(booked, self.kitwright.workshop.who)} changed this row meanwhile.")

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        await self._read_all()

    async def _read_all(self, stay: Hashable = None) -> None:
        """Read and show; `stay`: the key of the row that the cursor stays on, wherever it stands now."""
        if self.reads and self._view == "short":
            # At first without `ask`, which loads SQLAlchemy: what stands written is there in half the time.
            workshop = self.kitwright.workshop
            first = await self.in_turn(partial(workshop.first_shorts, by_date=self._by_date))
            if first is not None:
                self._shorts = first
                self._show(stay)
        shorts = await self.ask(partial(self.buying.shorts, by_date=self._by_date))
        if self.reads and self._shorts and self._view == "short" and self.rows.cursor >= 0:
            stay = self._row_keys[self.rows.cursor]
        self.reads = False
        self._read_of.add("short")
        self._unread = set() if shorts is not None else {"short", "orders", "keep"}
        if shorts is None:
            self._shorts = ()
            self._show()
            return
        self._shorts = shorts
        # Read just now, so the database is open.
        self._today = self.buying.today()
        orders = await self.ask(partial(self.buying.orders, open_only=not self._all))
        if orders is None:
            self._unread.add("orders")
        self._orders = orders or ()
        self._read_of.add("orders")
        if self._view == "keep":
            self._keeping = await self._kept()
            self._read_of.add("keep")
        self._show(stay)

    async def _kept(self) -> SizesToKeep | None:
        told = {"share": self._share, "boxes": False}
        return cast("SizesToKeep | None", await self.ask(KEEP_SIZES.perform, self.kitwright.workshop, told, quiet=True))

    def _show(self, stay: Hashable = None) -> None:
        """The open view's list, keeping its cursor."""
        today = self._today or self.kitwright.workshop.today()
        match self._view:
            case "short":
                self._entries = entries.short_entries(self._shorts, self._left_out, today)
            case "plan":
                self._entries = entries.plan_entries(self._plan, today)
            case "orders":
                self._entries = entries.order_entries(self._orders, today)
            case _:
                self._entries = entries.keep_entries(self._keeping)
        known = EMPTY[self._view] if self._view in self._read_of else READING
        self.rows.empty = UNREAD if self._view in self._unread else known
        self.set_class(self._view == "keep", "-keep")
        self.rows.set_columns(COLUMNS[self._view])
        self._row_keys = tuple(entries.keyed(self._entries))
        at = self._cursors[self._view]
        self.rows.show(len(self._entries), self._row, cursor=place_of(stay, self._row_keys, at))
        if self._keeping is not None:
            points = [Point(one.kept, one.share) for one in self._keeping.curve]
            self.query_one(TradeOff).show(points, Point(len(self._keeping.keep), self._keeping.reached))
        self._say()
        self.refresh_bindings()

    def _row(self, index: int) -> Row:
        return self._marks.on(self._entries[index].row, self._row_keys[index], plain=self.kitwright.plain_glyphs)

    def _say(self) -> None:
        """The line of views, and the open one in one line."""
        counts = {
            "short": "" if self.reads or "short" in self._unread else f" {len(self._shorts)}",
            "plan": "" if self._plan is None else f" {len(self._plan.orders)}",
            "orders": "" if self.reads or "orders" in self._unread else f" {len(self._orders)}",
            "keep": "",
        }
        parts = []
        for view, name in VIEWS.items():
            text = f"{name}{counts[view]}"
            here = view == self._view
            text = f"▐{text}▌" if here else f" {text} "
            link = Content.from_markup(f"[@click=screen.view('{view}')]$text[/]", text=text)
            parts.append(link.stylize("reverse bold") if here else link)
        self.query_one("#views", Static).update(Content.assemble(*parts))
        self.query_one("#buy-title", Static).update(clean(self._title()))

    def _title(self) -> str:
        limit = "any number of suppliers" if self._max_suppliers is None else f"at most {self._max_suppliers} suppliers"
        days = "due dates on" if self._by_date else "due dates off"
        if self.reads and self._view == "short":
            return "Looking on the shelf for what is short …"
        if self._began is not None and self._view in ("short", "plan"):
            return f"Working out the plan … {time.monotonic() - self._began:.1f} s. Esc stops it."
        match self._view:
            case "short":
                lines = f"{len(self._shorts)} short line{'s' * (len(self._shorts) != 1)}"
                return f"{lines}; plan with {limit}, {days}"
            case "plan":
                return self._note or (plan_of(self._plan).title if self._plan else f"Plan with {limit}, {days}")
            case "orders":
                return "All orders, newest first" if self._all else "Orders of which something may still come"
            case _:
                return self._keeping.title if self._keeping else "Which ring sizes should this shop keep?"

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """The highlighted row in full."""
        self._cursors[self._view] = max(0, self.rows.cursor)
        entry = self.entry
        if self._view == "orders":
            # Another row may have another next step, which the key line names.
            self.refresh_bindings()
        self._marks.at(self._row_keys[self.rows.cursor] if entry is not None else None)
        words = () if entry is None else entry.words[1:]
        plain, times = bool(self.kitwright.plain_glyphs), None if entry is None else entry.times
        self.query_one(AnswerBand).show(entries.answer(entry, TRACK, plain=plain))
        self.query_one(Sketch).show(None if times is None else partial(time_lines, times, plain=plain))
        self.query_one("#buy-detail", Static).update(Content("\n").join([Content(clean(line)) for line in words]))

    def next_words(self) -> str:
        """What Enter does with the row."""
        entry = self.entry
        if entry is None:
            return f"{plain('wanted')} works out a plan" if self._view == "plan" else ""
        match self._view:
            case "short":
                job = next((one.job_title for one in self._shorts if one.job_id == entry.at), "") or "reorder points"
                return (
                    f"Enter {'takes in' if entry.at in self._left_out else 'leaves out'} {job}; {plain('wanted')} plans"
                )
            case "plan":
                count = len(self._plan.orders) if self._plan is not None else 0
                if not count:
                    return f"{key('find')}, then {plain('list')}: load the list of a supplier who has it"
                return f"Enter places {count} planned order{'' if count == 1 else 's'}"
            case "orders":
                order: OrderView = entry.at[0]
                line: OrderLineView | None = entry.at[1]
                if str(order.state) == "planned":
                    return f"Enter marks order {order.order_id}, {order.supplier}, as sent"
                return entries.receive_words(order, line)
            case _:
                return f"{plain('more')} and {plain('less')} cover more or less"

    def on_rows_chosen(self) -> None:
        """A click on the highlighted row is its Enter."""
        for action in ("toggle_job", "accept", *STEPS):
            if self.check_action(action, ()):
                getattr(self, f"action_{action}")()

    @property
    def entry(self) -> Entry | None:
        """The highlighted row."""
        index = self.rows.cursor
        return self._entries[index] if 0 <= index < len(self._entries) else None

    def action_view(self, view: str) -> None:
        """Open one of the four lists."""
        self._view = view
        self._show()
        if view == "keep" and self._keeping is None:
            self._read()

    def action_turn(self, step: int) -> None:
        """The next list, or the one before."""
        views = list(VIEWS)
        self.action_view(views[(views.index(self._view) + step) % len(views)])

    def action_next_view(self) -> None:
        """The next list."""
        self.action_turn(1)

    def action_refresh(self) -> None:
        """Read the workshop again."""
        self._marks.clear()
        self._read()

    def action_leave(self) -> None:
        """Stop what is being worked out."""
        if self._began is not None:
            self.workers.cancel_group(self, "plan")
            self._note = f"Stopped. {plain('wanted')} works the plan out again."
        self.rows.focus()

    # Short and Plan

    def action_toggle_job(self) -> None:
        """Leave the row's job out, or take it in."""
        if self.entry is not None:
            self._left_out ^= {self.entry.at}
            self._show()

    def action_days(self) -> None:
        """Let days count, or not."""
        self._by_date = not self._by_date
        self._changed_options()

    def action_suppliers(self, step: int) -> None:
        """More suppliers or fewer: at most 1, 2, 3, 4, any number."""
        most = (self._max_suppliers or MOST_SUPPLIERS + 1) + step
        self._max_suppliers = None if most > MOST_SUPPLIERS else max(1, most)
        self._changed_options()

    def _changed_options(self) -> None:
        if self._view == "plan":
            self.action_plan()
        else:
            self._read()

    @work(exclusive=True, group="plan")
    async def action_plan(self) -> None:
        """Work the plan out beside the screen, which goes on."""
        self._note = ""
        self._began = time.monotonic()
        if self._clock is not None:
            self._clock.resume()
        self._say()
        try:
            found = await self._work_out()
        finally:
            self._began = None
            if self._clock is not None:
                self._clock.pause()
            self._say()
        if found is not None:
            self._plan = found
            self._cursors["plan"] = 0
            if self._view in ONLY_IN["plan"]:
                self._view = "plan"
            else:
                self.say(f"The plan is worked out. {plain('turn')} turns to it.")
            self._show()

    async def _work_out(self) -> Proposal | None:
        if self.reads:
            # What stands written is not all that is short: the jobs are taken from what is.
            await self._read_all()
        jobs = sorted({one.job_id for one in self._shorts if one.job_id is not None} - self._left_out)
        gather = partial(
            self.buying.gather,
            jobs if self._left_out - {None} else None,
            reorder=None not in self._left_out,
            by_date=self._by_date,
        )
        gathered = await self.ask(gather)
        if gathered is None:
            return None
        return await self.ask(self.buying.work_out, gathered, self._max_suppliers)

    @work(exclusive=True, group="accept")
    async def action_accept(self) -> None:
        """Keep the plan, once asked."""
        found = self._plan
        if found is None or not found.orders:
            self.say(f"There is nothing to accept. {plain('wanted')} works a plan out.")
            return
        count, plan = len(found.orders), plan_of(found)
        detail = f"{count} order{'s' * (count > 1)}, {plan.total} {plan.currency}. Nothing is sent yet; F9 undoes it."
        doubts = found.doubts
        if doubts:
            named = [f"{one.offer.row.number} “{one.offer.row.name}”: {one.doubt}" for one in doubts[:DOUBTS_NAMED]]
            more = [f"and {len(doubts) - DOUBTS_NAMED} more, marked “! look”"] if len(doubts) > DOUBTS_NAMED else []
            detail += "\n\nRead from the list's text only. Have you checked that each is right?\n"
            detail += "\n".join(clean(line) for line in (*named, *more))
        if await self.app.push_screen_wait(screens.asking.yes_or_no("Place as planned orders?", detail)):
            kept = await self.ask(self.buying.accept, found, True)
            if kept is not None:
                self._plan = None
                self._view = "orders"
                self._cursors["orders"] = 0
                self._show()
                self.say("Kept. Enter on an order marks it as sent.")
                self._read()

    @work(exclusive=True, group="change")
    async def action_terms(self) -> None:
        """Say a supplier's terms: of one that the plan lacks them of, or of the highlighted order."""
        lacking = self._plan.no_terms if self._plan is not None else ()
        entry = self.entry
        usual = entry.at[0].supplier if entry is not None and entry.kind == "order" else next(iter(lacking), "")
        if told := await screens.terms.change_terms(self, usual):
            self.say(told)
            self.workshop_changed()

    # Orders

    def _chosen(self) -> tuple[OrderView, OrderLineView | None] | None:
        entry = self.entry
        if entry is None or entry.kind != "order":
            self.say("Highlight an order.")
            return None
        order, line = entry.at
        return order, line

    def row(self, kind: str) -> object | None:
        """The highlighted order, or its line."""
        entry = self.entry
        if entry is None or entry.kind != "order":
            return None
        found: tuple[OrderView, OrderLineView | None] = entry.at
        return found[0] if kind == "order" else found[1]

    def title_of(self, one: Operation, values: dict[str, Any]) -> str:
        """What is done to which order, and to which line of it."""
        order: OrderView = values["order"]
        line: OrderLineView | None = values.get("line")
        if line is not None:
            return f"{one.label} one line of order {order.order_id}: {line.name or line.number}"
        whole = f"{one.label} all of" if one is RECEIVE else f"{one.label}:"
        return f"{whole} order {order.order_id}, {order.supplier}"

    def action_receive_all(self) -> None:
        """Book in all of the order that is still to come."""
        self._receive()

    def action_receive_line(self) -> None:
        """Book in what came of the line."""
        self._receive()

    @work(exclusive=True, group="change")
    async def _receive(self) -> None:
        chosen = self._chosen()
        if chosen is not None:
            await self.operate(RECEIVE, {"order": chosen[0], "line": chosen[1]})

    @work(exclusive=True, group="change")
    async def action_send(self) -> None:
        """Mark the order as sent."""
        chosen = self._chosen()
        if chosen is None:
            return
        order = chosen[0]
        told = {"orders": (order.order_id,), "expected": None}
        answer = await self.ask(ORDER.perform, self.kitwright.workshop, told)
        if answer is not None:
            self.say(f"{answer.words()[0]} F9 takes it back.")
            self._read()

    @work(exclusive=True, group="change")
    async def action_text(self) -> None:
        """The order's text."""
        chosen = self._chosen()
        if chosen is None:
            return
        text = await self.ask(self.buying.written, chosen[0], "txt")
        if text is not None:
            self.app.push_screen(screens.buy.order_text.order_to_read(self.buying, chosen[0], text.decode()))

    def action_all_orders(self) -> None:
        """Open orders, or all."""
        self._all = not self._all
        self._read()

    # Keep

    def action_share(self, step: int) -> None:
        """Cover more or less."""
        self._share = min(Fraction(1), max(Fraction(0), self._share + step * STEP))
        self._read()
