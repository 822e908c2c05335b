"""When a joint was sealed: one time to type, and beneath it from when it may be filled."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import models
from models import kitting
from tui.screens.ask import Ask, Entry, Given, Key, Words, gives
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.kitting.kit_view import NeedView


def sealed_sheet(need: NeedView, now: Callable[[], datetime]) -> Ask[dict[str, Any] | None]:
    """Asks when the joint of a sealant need was sealed; hands back the values of the operation's fields.

    `now` is asked for anew with each key. Esc changes nothing.
    """
    seal = need.sealed

    def noted(ask: Ask[dict[str, Any] | None]) -> Given[dict[str, Any] | None] | str:
        """The moment, or what is wrong with it; where nothing is typed, the note that stands is taken back."""
        if seal is not None and not ask.typed("sealed-at"):
            return Given({"at": "", "take_back": True})
        try:
            models.moments.read(ask.typed("sealed-at"), now())
        except models.errors.InvalidInputError as refused:
            return str(refused)
        return Given({"at": ask.typed("sealed-at"), "take_back": False})

    before = f"Noted before: sealed {models.moments.when(seal.at, now())}, by {seal.who}." if seal else ""
    return Ask(
        f"{need.title}: when was it sealed?",
        *([Words(clean(f"{before} A new note replaces it; both are kept."), id="sealed-before")] if before else []),
        Entry(
            "sealed-at",
            "now",
            "now, 14:30 or 2026-11-25 14:30",
            longest=40,
            understood=lambda text: _follows(need, text, now()),
        ),
        Words("The cure counts from there. The sealant's own data sheet decides.", classes="quiet"),
        keys=(
            Key("take", "Note", "Note it", noted),
            Key("leave", "Cancel", "Change nothing", gives(None)),
        ),
        line=f"Enter notes it{' · an empty field and Enter take the note back' if seal else ''} · Esc cancels",
        name="sealed",
    )


def _follows(need: NeedView, text: str, now: datetime) -> str:
    """What follows from what stands in the field, or what is wrong with it."""
    if need.sealed is not None and not text.strip():
        return "Enter takes back the note that stands."
    try:
        at = models.moments.read(text, now)
    except models.errors.InvalidInputError as refused:
        return f"! {refused}"
    minutes = kitting.finish.cure_minutes(need)
    if minutes is None:
        return f"Sealed {models.moments.when(at, now)}. How long it cures is not known."
    cured = models.moments.later(at, timedelta(minutes=minutes))
    return f"Sealed {models.moments.when(at, now)}, cured {models.moments.when(cured, now)}."
