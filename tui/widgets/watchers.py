"""Who watches a value of somebody else's, and is closed meanwhile."""

from __future__ import annotations

from textual.message_pump import MessagePump


def forget_closed_watchers(watched: MessagePump) -> None:
    """Let go of who watched a value of `watched` and is closed. Textual does it only once that value changes."""
    watchers: dict[str, list[tuple[MessagePump, object]]] = getattr(watched, "__watchers", {})
    for listed in watchers.values():
        listed[:] = [one for one in listed if not one[0]._closing]
