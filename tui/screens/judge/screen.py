"""Judge: would this do here? An element, a fluid, a fill, a thread, a port, a torque, a seal; and the tables behind."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual import work
from textual.binding import BindingType
from textual.containers import Container
from textual.content import Content
from textual.events import DescendantFocus
from textual.widget import Widget
from textual.widgets import Input, Static
from textual.worker import Worker

import models
from tui import answers, screens
from tui.bound import bind
from tui.keys import key
from tui.screens.area import SHARED, Area
from tui.screens.bands import ANSWER
from tui.screens.judge.bench import Bench
from tui.steady import BUILDING
from tui.widgets.answer_band import CUT_SHOWN_BY, AnswerBand
from tui.widgets.choice import Choice
from tui.widgets.filter_input import FilterInput
from tui.widgets.judge.ask_field import AskInput, PickField
from tui.widgets.rows import Rows

if TYPE_CHECKING:
    from catalog.filters.element import Element
    from catalog.filters.housing import Housing
    from catalog.filters.search import Described
    from tui.answers.filters import FilterShop
    from tui.workshop import Workshop


# Panels are functions that reach them through a door: what nobody judges costs nothing.
def _element() -> Bench:
    return screens.judge.element.ElementPanel(id="element")


def _fluid() -> Bench:
    return screens.judge.fluid.FluidPanel(id="fluid")


def _rubber() -> Bench:
    return screens.judge.rubber.RubberPanel(id="rubber")


def _viscosity() -> Bench:
    return screens.judge.viscosity.ViscosityPanel(id="viscosity")


def _fill() -> Bench:
    return screens.judge.fill.FillPanel(id="fill")


def _thread() -> Bench:
    return screens.judge.thread.ThreadPanel(id="thread")


def _port() -> Bench:
    return screens.judge.port.PortPanel(id="port")


def _seal() -> Bench:
    return screens.judge.seal.SealPanel(id="seal")


def _torque() -> Bench:
    return screens.judge.torque.TorquePanel(id="torque")


def _tables() -> Bench:
    return screens.judge.tables.TablesPanel(id="tables")


# What the top row says where all the names in full have no room, as at 80 columns.
SHORT = {"element": "Elem", "viscosity": "Visc", "tables": "Tab"}


class Subject(NamedTuple):
    """One thing to judge: its name, what makes its panel, and what its key means where that has another name."""

    name: str
    make: Callable[[], Bench]
    means: str = ""

    @property
    def label(self) -> str:
        """Its name."""
        return self.name.capitalize()

    @property
    def short(self) -> str:
        """The same in few letters."""
        return SHORT.get(self.name, self.label)


SUBJECTS = (
    Subject("element", _element),
    Subject("fluid", _fluid),
    Subject("rubber", _rubber),
    Subject("viscosity", _viscosity),
    Subject("fill", _fill, "level"),
    Subject("thread", _thread),
    Subject("port", _port),
    Subject("torque", _torque),
    Subject("seal", _seal),
    Subject("tables", _tables),
)


class JudgeScreen(Area):
    """Pick what is to be judged, type what is known; the answer follows."""

    AREA = "judge"
    LIST = "Rows"
    PAGE = Path(__file__).with_name("judge.md")
    CSS_PATH: ClassVar = [SHARED, "judge.tcss"]
    AUTO_FOCUS = "#subject"
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "Why", id="judge.accept",
             tooltip="From the top row into the fields; in the list, every reason"),
        bind("turn", "next_subject", "Next", show=True, id="judge.next", tooltip="Judge the next thing"),
        bind("fill", "example", "Example", show=True, id="judge.example",
             tooltip="Fill empty fields with an invented example"),
        bind("page-down", "picture", "Picture", show=True, id="judge.picture",
             tooltip="In a field: list or drawing, where only one has room"),
        bind("why", "why", "Why", show=True, priority=True, id="judge.why", tooltip="Every reason with its source"),
        bind("wanted", "shop", "In the shop", show=True, id="judge.shop",
             tooltip="Element: what do we have that fits? Fluid: this shop's own rules. Thread: the port's ring"),
        bind("kit", "into_kit", "Into a kit", show=True, id="judge.kit",
             tooltip="Put what is asked for here, not what is offered, on a job's kit"),
        # Not on the key line, which is full: the example names it where fields are in the way.
        bind("clear", "clear", "Empty", id="judge.clear", tooltip="Empty every field; again brings them back"),
        # Before the field, which would type the letter.
        *(
            bind(one.means or one.name, f"subject('{one.name}')", one.name.capitalize(), priority=True,
                 id=f"judge.{one.name}", tooltip=f"Judge: {one.name}")
            for one in SUBJECTS
        ),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._last: dict[str, Input] = {}

    def body(self) -> Iterable[Widget]:
        """The answer, the row of things to judge, the open panel, the caution."""
        yield AnswerBand(cut=CUT_SHOWN_BY, id=ANSWER)
        full, short = [subject.label for subject in SUBJECTS], [subject.short for subject in SUBJECTS]
        yield Choice(full, short=short, id="subject")
        yield Container(id="bench")
        yield Static(id="caution", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._open()

    @property
    def _subject(self) -> Subject:
        return SUBJECTS[self.query_one("#subject", Choice).index]

    @property
    def panel(self) -> Bench | None:
        """The open panel, if it is there already."""
        return next(iter(self.query(f"#bench > #{self._subject.name}").results(Bench)), None)

    @property
    def rows(self) -> Rows:
        """The list of the open panel."""
        panel = self.panel
        return panel.rows if panel is not None else self.query_one(Rows)

    @work(exclusive=True, group=BUILDING)
    async def _open(self, *, enter: bool = False) -> None:
        """Show the picked panel; made the first time, kept after, so that nothing typed is lost."""
        subject = self._subject
        panel = self.panel
        if panel is None:
            panel = subject.make()
            await self.query_one("#bench").mount(panel)
        for other in self.query("#bench > Bench"):
            other.display = other is panel
        self.query_one("#caution", Static).update(panel.CAUTION)
        self.query_one(AnswerBand).show(panel.answer)
        self.refresh_bindings()
        if enter:
            field = self.field()
            if field is not None:
                # At once: keys typed after the letter wait for this panel, and then for nothing more.
                self.set_focus(field)

    def on_bench_answered(self, message: Bench.Answered) -> None:
        """The answer follows what is typed in the open panel."""
        if message.bench is self.panel:
            self.query_one(AnswerBand).show(message.bench.answer)

    def on_choice_changed(self) -> None:
        """Follow the choice."""
        self._open()

    def action_subject(self, name: str) -> None:
        """Judge this, with the focus in its first field."""
        self._turn_to([subject.name for subject in SUBJECTS].index(name), enter=True)

    def action_next_subject(self) -> None:
        """Judge the next thing; the focus goes with it if it stood in a field."""
        inside = self.focused is not None and self.focused.id != "subject"
        self._turn_to((self.query_one("#subject", Choice).index + 1) % len(SUBJECTS), enter=inside)

    def _turn_to(self, index: int, *, enter: bool) -> Worker[None]:
        choice = self.query_one("#subject", Choice)
        # It opens here and now, not when the choice says that it changed: the next key waits for what is being opened.
        with self.prevent(Choice.Changed):
            choice.index = index
        return self._open(enter=enter)

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """Remember which field is in hand."""
        if isinstance(event.widget, AskInput):
            self._last[self._subject.name] = event.widget

    def field(self) -> Input | None:
        """The field last typed in, or the first one shown."""
        last = self._last.get(self._subject.name)
        panel = self.panel
        if panel is not None and panel.id == "tables":
            return panel.query_one(FilterInput)
        if panel is None or (last is not None and last.is_attached and last.is_on_screen):
            return last
        return panel.first_input

    def next_words(self) -> str | Content:
        """What Enter does where the keys stand."""
        focused = self.focused
        if focused is None or focused.id == "subject":
            return f"Enter goes to the fields of {self._subject.name}; ← → another thing"
        if isinstance(focused, Rows):
            return "Enter shows every reason with its source"
        return f"Enter goes to the next field; {key('why')} shows every reason"

    def action_example(self) -> None:
        """Fill in the example."""
        if self.panel is not None and not self.panel.example():
            self.say(f"Something is typed already. {key('clear')} empties it, then {key('fill')} fills in the example.")

    def action_clear(self) -> None:
        """Empty every field, from a field with the focus in the first; or bring back what was emptied."""
        if self.panel is not None and self.panel.clear():
            # From the list or the top row letters are keys, and stay so.
            if isinstance(self.focused, (AskInput, PickField)):
                self.set_focus(self.panel.first)
            self.say(f"Emptied. {key('clear')} again brings it back.")

    def action_picture(self) -> None:
        """The table or the drawing."""
        if self.panel is not None:
            self.panel.turn_picture()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Elements lie in the shop, of fluids it may have rules of its own, and a thread leads to its port's ring."""
        if action == "shop":
            return self.is_mounted and self._subject.name in ("element", "fluid", "thread")
        if action == "example":
            return not self.is_mounted or self._subject.name != "tables"
        if action == "into_kit":
            return self.is_mounted and self._subject.name in ("element", "fluid", "thread", "seal")
        return super().check_action(action, parameters)

    def workshop_changed(self) -> None:
        """What the shop says of fluids or of ports may have changed."""
        for panel in self.query(screens.judge.fluid.FluidPanel):
            panel.read_own()
        for joint in self.query(screens.judge.port.PortPanel):
            joint.read_own()

    def action_shop(self) -> None:
        """What do we have that fits this housing? What does this shop say of fluids itself? Which ring has the port?"""
        if self._subject.name == "element":
            self._have()
            return
        if self._subject.name == "thread":
            self._to_port()
            return

        self.app.push_screen(screens.judge.own_rules.OwnRulesScreen(self))

    @work(exclusive=True, group="to-port")
    async def _to_port(self) -> None:
        """The thread's readings as a port's: what seals it, and its ring."""
        panel = self.panel
        if not isinstance(panel, screens.judge.thread.ThreadPanel):
            return
        readings = screens.judge.thread.as_port(panel.values)
        await self._turn_to([subject.name for subject in SUBJECTS].index("port"), enter=False).wait()
        port = self.panel
        if isinstance(port, screens.judge.port.PortPanel):
            port.fill(readings)

    @work(exclusive=True, group="have")
    async def _have(self) -> None:
        panel = self.panel
        if not isinstance(panel, screens.judge.element.ElementPanel):
            return
        title, described, housing = panel.sought()
        if described is None and housing is None:
            self.say("Measure the housing first, or describe the element.", trouble=True)
            return
        found = await self.ask(fitting_in_shop, self.kitwright.workshop, described, housing)
        if found is not None and self.app.screen is self:
            answer, elements = found
            beside = screens.judge.fitting.Beside(
                *panel.old(), elements, self.app.size, screens.judge.element.picture_of
            )
            self.app.push_screen(
                screens.judge.fitting.fitting_sheet(title, answer, beside, unit=panel.unit, plain=panel.plain)
            )

    def action_into_kit(self) -> None:
        """What is asked for becomes a need on a job."""
        self._into_kit()

    @work(exclusive=True, group="accept")
    async def _into_kit(self) -> None:
        panel = self.panel
        if not isinstance(panel, screens.judge.panel.Panel):
            return
        found = await asyncio.to_thread(panel.required, panel.values, panel.unit)
        if isinstance(found, str):
            self.say(found, trouble=True)
        else:
            await screens.accept.accept_need(
                self, found, found.title or f"{found.spec_class} {found.spec_grade}".strip()
            )

    def action_accept(self) -> None:
        """Enter: from the top row into the fields; anywhere else every reason."""
        field = self.field()
        if self.focused is not None and self.focused.id == "subject" and field is not None:
            field.focus()
        else:
            self.action_why()

    def action_why(self) -> None:
        """Every reason with its source."""
        if self.panel is not None:
            self.app.push_screen(
                screens.judge.why.reasons_sheet(self.panel.ruling, self.panel.CAUTION, plain=self.panel.plain)
            )

    def on_rows_chosen(self) -> None:
        """A click on the highlighted criterion shows all reasons."""
        self.action_why()


def fitting_in_shop(
    workshop: Workshop, described: Described | None, housing: Housing | None
) -> tuple[FilterShop, tuple[Element, ...]]:
    """What the shop keeps and suppliers list, best first, those that do not fit last, each with its element.

    Called in a thread.
    """
    found = workshop.read(lambda session: models.elements.look(session, described, housing, misses=True))
    return answers.filters.shop_of(found, None, housing), tuple(one.offer.element for one in found.ranked)
