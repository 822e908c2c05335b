"""The fluid tally of one need: type each pour as it goes in; the glass shows the level between the marks."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from tui.screens.kits.tally_words import Poured, bare_unit, read_pour, said, stand
from tui.widgets.cells import clean
from tui.widgets.judge.sight_glass import SightGlass

if TYPE_CHECKING:
    from models.kit_view import NeedView

MOST_POURS = 200


class TallyScreen(ModalScreen[None]):
    """Enter adds the pour typed, F8 takes the last one back, Esc closes; `pours` is the caller's and keeps them."""

    DEFAULT_CSS = """
    TallyScreen .sheet { height: auto; }
    TallyScreen #tally-body { height: 13; }
    TallyScreen #tally-left { width: 1fr; }
    TallyScreen SightGlass { width: 34; height: 13; }
    TallyScreen #tally-list { height: 9; }
    TallyScreen #tally-says { height: 3; }
    TallyScreen #tally-says.over { color: $text-error; text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "Close", tooltip="Back to the kit; the tally is kept", id="tally.close"),
        Binding("f8", "take_back", "Last pour back", tooltip="Take the last pour back", id="tally.back"),
    ]

    def __init__(self, need: NeedView, pours: list[Poured], unit: str, *, plain: bool = False) -> None:
        super().__init__()
        self._need = need
        self._pours = pours
        self._unit = unit
        self._plain = plain

    def compose(self) -> ComposeResult:
        """Pours at the left, the glass at the right, the verdict beneath."""
        need = self._need
        low, full = need.low_ul or 0, need.full_ul or 0
        from fractions import Fraction

        marks = f"Low mark {said(Fraction(low), self._unit)}. Full mark {said(Fraction(full), self._unit)}."
        with Vertical(classes="sheet"):
            yield Static(f"Fluid tally: {clean(need.title)}", classes="title", markup=False)
            yield Static(marks, id="tally-marks", markup=False)
            with Horizontal(id="tally-body"):
                with Vertical(id="tally-left"):
                    hint = f"pour, as 2 qt or 1.5 L; a bare number is {bare_unit(self._unit)}"
                    yield Input(placeholder=hint, max_length=40, id="pour")
                    yield Static("", id="pour-error", classes="error", markup=False)
                    yield Static("", id="tally-list")
                yield SightGlass(plain=self._plain)
            yield Static("", id="tally-says", markup=False)
            yield Static("Taken as drained empty: check the level at the mark. The manual has the last word.",
                         classes="quiet", markup=False)  # fmt: skip
        yield Static("Enter adds the pour · F8 takes the last back · Esc closes, the tally stays",
                     classes="sheet-keys", markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._show()

    def _show(self) -> None:
        now = stand(self._need.low_ul or 0, self._need.full_ul or 0, self._pours, self._unit)
        self.query_one(SightGlass).show(now.glass)
        says = self.query_one("#tally-says", Static)
        says.update(f"{'! ' if now.over else ''}{now.says}")
        says.set_class(now.over, "over")
        shown = list(enumerate(self._pours, start=1))[-8:]
        lines = [f"{number:>2}. {clean(pour.echo)}" for number, pour in shown]
        if len(self._pours) > len(shown):
            lines.insert(0, f"… {len(self._pours) - len(shown)} before")
        lines = lines or ["Nothing poured yet."]
        self.query_one("#tally-list", Static).update(Content("\n".join(lines)))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Add the pour."""
        if not event.value.strip():
            return
        pour, error = read_pour(event.value, self._unit)
        if len(self._pours) >= MOST_POURS:
            pour, error = None, f"{MOST_POURS} pours are noted; take one back and add small ones up."
        self.query_one("#pour-error", Static).update(f"! {clean(error)}" if error else "")
        if pour is not None:
            self._pours.append(pour)
            event.input.value = ""
            self._show()

    def action_take_back(self) -> None:
        """Take the last pour back."""
        if self._pours:
            self._pours.pop()
            self._show()
