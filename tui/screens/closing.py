"""Screens that are pushed over another: they close once, and only themselves."""

from __future__ import annotations

from asyncio import sleep
from typing import ClassVar, TypeVar

from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen, Screen

Result = TypeVar("Result")


class ClosesOnce(Screen[Result]):
    """A screen that answers once: a second Enter that was already on its way finds it gone, and does nothing.

    Textual's `dismiss` closes whatever is on top, so that Enter would close the page beneath. A screen that ends its
    work while another lies over it (its help, say) closes that one first, unanswered.
    """

    _has_closed = False
    _closes_with: tuple[Result | None] | None = None

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Close with `result`, unless this is closed already; once it comes back, where another area is open now."""
        if self not in self.app.screen_stack:
            if not self._has_closed and self._closes_with is None:
                self._closes_with = (result,)
            return AwaitComplete(sleep(0))
        self._has_closed = True
        while self.app.screen is not self:
            self.app.screen.dismiss()
        return super().dismiss(result)

    def on_screen_resume(self) -> None:
        """Close now if that had to wait."""
        if self._closes_with is not None:
            self.dismiss(*self._closes_with)


class Sheet(ModalScreen[Result], ClosesOnce[Result]):
    """A modal screen, laid over a page until it is answered.

    Of two bases Textual takes the style of the first.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "app.help", "Help", show=False, tooltip="The help page of the screen beneath", id="sheet.help"),
    ]
