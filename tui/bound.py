"""Binds a meaning of the key table to what a screen does by it."""

from __future__ import annotations

from collections.abc import Iterator

from textual.binding import Binding
from textual.dom import DOMNode
from textual.screen import Screen

from tui.keys import BY_KEY, MENU, meaning


def bind(
    means: str,
    action: str,
    label: str,
    *,
    tooltip: str,
    id: str | None = None,  # noqa: A002 - Textual's own name
    show: bool = False,
    plain: bool = False,
    priority: bool = False,
    system: bool = False,
    only: str = "",
) -> Binding:
    """A binding of all keys of a meaning; of none, where it is only a row of the menu (`means` is `MENU`).

    `plain`: the key line shows the plain key. `only`: one of the meaning's keys alone. Raises `KeyError` where the
    table has no such meaning.
    """
    if means == MENU:
        return Binding(f"menu.{id or action}", action, label, show=False, tooltip=tooltip, id=id)
    one = meaning(means)
    return Binding(
        only or ",".join(one.keys),
        action,
        label,
        show=show,
        key_display=one.plain if plain else one.shown,
        priority=priority,
        tooltip=tooltip,
        id=id,
        system=system,
    )


def shown_of(binding: Binding) -> str:
    """All the keys of a binding's meaning as a person reads them; "" for a row of the menu."""
    means = BY_KEY.get(binding.key.partition(",")[0])
    return "" if means is None else means.all_shown


def bound_here(screen: Screen[object]) -> Iterator[tuple[DOMNode, Binding]]:
    """What can be done on a screen now, each thing once: also by a letter that the focused field would type."""
    seen: set[str] = set()
    within = [screen.focused, *screen.focused.ancestors] if screen.focused is not None else [screen, screen.app]
    for node in within:
        for _, binding in node._bindings if node is not None else ():
            action = binding.action.removeprefix("screen.").removeprefix("app.")
            if binding.id and action not in seen and screen.app._check_action_state(binding.action, node):
                seen.add(action)
                yield node, binding
