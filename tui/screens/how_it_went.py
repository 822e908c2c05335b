"""How did the ring on record go, after its run: dry, wept or leaked? One key a ring."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from catalog.orings.ran import Outcome
from tui.ring_words import ring_words
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.fits.fit_records import FitRow
    from tui.kitting import Kitting
    from tui.screens.area import Area

KEYS: Final = "D: dry · W: wept · L: leaked"


async def ask_how_they_went(area: Area, kitting: Kitting, job_id: int) -> str:
    """Ask of the rings that were on record before a job where it needs one; what is to be said of that, or nothing."""
    before = await area.ask(kitting.unsaid, job_id)
    if not before:
        return ""
    said = await area.app.push_screen_wait(HowItWent(before))
    if not said:
        return ""
    noted = await area.ask(kitting.say_how_they_went, job_id, said)
    if not noted:
        return ""
    rings = "1 old ring" if len(noted) == 1 else f"{len(noted)} old rings"
    return f"Noted how {rings} went. F9 takes that back."


class HowItWent(Sheet[Mapping[int, Outcome]]):
    """The rings on record; one key says how the highlighted one went and goes to the next. Esc says nothing more.

    Hands back what was said, by the number of the record.
    """

    DEFAULT_CSS = """
    HowItWent #went-list { height: 6; }
    HowItWent #went-words { height: 2; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "say('dry')", "Dry", tooltip="The joint stayed dry", id="went.dry"),
        Binding("w", "say('wept')", "Wept", tooltip="The joint wept", id="went.wept"),
        Binding("l", "say('leaked')", "Leaked", tooltip="The joint leaked", id="went.leaked"),
        Binding("escape,enter", "enough", "Not known", tooltip="Say nothing of the rest", id="went.enough"),
    ]

    def __init__(self, records: Sequence[FitRow]) -> None:
        super().__init__()
        self._records = records
        self._said: dict[int, Outcome] = {}

    def compose(self) -> ComposeResult:
        """The question, the rings, the keys."""
        one = len(self._records) == 1
        with Vertical(classes="sheet wide"):
            yield Static(f"How did the old {'ring' if one else 'rings'} go?", classes="title", markup=False)
            yield Rows(
                [Column("Place", 26, grow=True), Column("On record", 18), Column("It went", 8)],
                empty="",
                id="went-list",
            )
            yield Static("", id="went-words", markup=False)
            yield Static("What leaked is not put first there again; what stayed dry counts.", markup=False)
        yield Static(f"{KEYS} · Esc: not known", classes="sheet-keys wide", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one(Rows).focus()
        self._show(0)

    def _show(self, cursor: int) -> None:
        self.query_one(Rows).show(len(self._records), self._row, cursor=cursor)

    def _row(self, index: int) -> Row:
        one = self._records[index]
        said = self._said.get(one.fit_record_id)
        return Row((f"{one.position_name}, {one.machine_name}", ring_words(one), said.value if said else "–"), "")

    def on_rows_highlighted(self) -> None:
        """The highlighted ring in full."""
        one = self._records[self.query_one(Rows).cursor]
        words = f"{one.machine_name}, {one.position_name}: {ring_words(one)}, noted by {one.who} on {one.at:%Y-%m-%d}"
        self.query_one("#went-words", Static).update(clean(words, 200))

    def action_say(self, outcome: str) -> None:
        """Say it of the highlighted ring; the last one said closes."""
        at = self.query_one(Rows).cursor
        self._said[self._records[at].fit_record_id] = Outcome(outcome)
        if len(self._said) == len(self._records):
            self.dismiss(self._said)
            return
        rest = [i for i, one in enumerate(self._records) if one.fit_record_id not in self._said]
        self._show(next((i for i in rest if i > at), rest[0]))

    def action_enough(self) -> None:
        """Hand back what was said."""
        self.dismiss(self._said)
