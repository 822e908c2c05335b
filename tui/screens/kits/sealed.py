"""When a joint was sealed: one time to type, and beneath it from when it may be filled."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from tui.screens.closing import Sheet
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.kitting.kit_view import NeedView


class SealedForm(Sheet[dict[str, Any] | None]):
    """Asks when the joint of a sealant need was sealed; hands back the values of the operation's fields.

    `now` is asked for anew with each key. Esc changes nothing.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="sealed.cancel"),
        Binding("f8", "take_back", "Note back", tooltip="Take back the note that stands", id="sealed.back"),
    ]

    def __init__(self, need: NeedView, now: Callable[[], datetime]) -> None:
        super().__init__()
        self._need = need
        self._now = now

    def compose(self) -> ComposeResult:
        """What is sealed, what was noted before, the field, and what follows."""
        from models.moments import when

        seal = self._need.sealed
        before = f"Noted before: sealed {when(seal.at, self._now())}, by {seal.who}." if seal else ""
        with Vertical(classes="sheet"):
            yield Static(clean(f"{self._need.title}: when was it sealed?"), classes="title", markup=False)
            if before:
                yield Static(
                    clean(f"{before} A new note replaces it; both are kept."), id="sealed-before", markup=False
                )
            yield Input("now", placeholder="now, 14:30 or 2026-11-25 14:30", max_length=40, id="sealed-at")
            yield Static("", id="sealed-says", markup=False)
            yield Static("The cure counts from there. The sealant's own data sheet decides.", classes="quiet",
                         markup=False)  # fmt: skip
        back = " · F8 takes the note back" if seal else ""
        yield Static(f"Enter notes it{back} · Esc cancels", classes="sheet-keys", markup=False)

    def _read(self, text: str) -> tuple[datetime | None, str]:
        """What was typed, or what is wrong with it."""
        from models.errors import InvalidInputError
        from models.moments import read

        try:
            return read(text, self._now()), ""
        except InvalidInputError as refused:
            return None, f"! {refused}"

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say what follows from what stands in the field."""
        from models.kitting.finish import cure_minutes
        from models.moments import later, when

        at, says = self._read(event.value)
        minutes = cure_minutes(self._need)
        if at is not None and minutes is None:
            says = f"Sealed {when(at, self._now())}. How long it cures is not known."
        elif at is not None and minutes is not None:
            now = self._now()
            says = f"Sealed {when(at, now)}, cured {when(later(at, timedelta(minutes=minutes)), now)}."
        self._say(says)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Hand back the moment, or say what is wrong."""
        at, error = self._read(event.value)
        if at is None:
            self._say(error)
        else:
            self.dismiss({"at": event.value.strip(), "take_back": False})

    def _say(self, text: str) -> None:
        says = self.query_one("#sealed-says", Static)
        says.update(clean(text))
        says.set_class(text.startswith("!"), "error")

    def action_take_back(self) -> None:
        """Take back the note that stands."""
        if self._need.sealed is not None:
            self.dismiss({"at": "", "take_back": True})

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
