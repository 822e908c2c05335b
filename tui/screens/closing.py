"""Screens that are pushed over another: they close once, and only themselves."""

from __future__ import annotations

from asyncio import sleep
from typing import TypeVar

from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen, Screen

Result = TypeVar("Result")


class ClosesOnce(Screen[Result]):
    """A screen that answers once: a second Enter that was already on its way finds it gone, and does nothing.

    Textual's `dismiss` closes whatever is on top, so that Enter would close the page beneath. A screen that ends its
    work while another lies over it (its help, say) closes that one first, unanswered.
    """

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Close with `result`, unless this is closed already."""
        if self not in self.app.screen_stack:
            return AwaitComplete(sleep(0))
        while self.app.screen is not self:
            self.app.screen.dismiss()
        return super().dismiss(result)


class Sheet(ModalScreen[Result], ClosesOnce[Result]):
    """A modal screen, laid over a page until it is answered.

    Of two bases Textual takes the style of the first.
    """
