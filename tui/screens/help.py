"""The help page of a screen: the Markdown file that stands beside it, and its keys as they are bound."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from textual.binding import Binding

from tui.bound import shown_of
from tui.keys import AREAS, MENU_KEY, filled, meaning
from tui.screens.area import Area
from tui.screens.ask import Ask, Key, Page, gives

HELP = "help"
EVERYWHERE = ("up", "page-down", "first", "leave", "unit", "undo", "menu", "help", "quit")
"""What the table of every page ends with."""


def help_page(page: Area) -> Ask[None]:
    """One page over the screen it explains. Esc, F1 or Enter closes it; the arrows scroll."""
    return Ask(
        "",
        Page(help_text(page.PAGE, keys_of_page(type(page)))),
        keys=(Key("leave help take", "Close", "Back to the screen", gives(None)),),
        line="Esc closes · arrows and PgDn scroll",
        name=HELP,
        looks="sheet page",
    )


def keys_of_page(screen: type[Area]) -> list[tuple[str, str]]:
    """What a page's keys do: the keys as written, and the words; what has none is a row of the menu."""
    rows: dict[str, tuple[str, str]] = {}
    for one in screen.__mro__:
        if one is Area:
            break
        for binding in one.__dict__.get("BINDINGS", ()):
            assert isinstance(binding, Binding)
            shown = shown_of(binding) or f"{MENU_KEY}, “{binding.description.lower()}”"
            rows.setdefault(binding.action, (shown, binding.tooltip))
    return list(rows.values())


def help_text(file: Path, keys: list[tuple[str, str]]) -> str:
    """The page in Markdown: its words, then the table of its keys, then the keys that every page has."""
    words, mark, after = filled(file.read_text(encoding="utf-8")).partition("## Keys\n")
    table = ["| key | does |", "| --- | --- |", *(f"| {shown} | {does} |" for shown, does in (*keys, *_everywhere()))]
    return "\n".join((words.rstrip(), "", mark or "## Keys\n", *table, "", after.strip(), ""))


def _everywhere() -> Iterator[tuple[str, str]]:
    areas = [meaning(area) for area in AREAS]
    digits = [one.plain for one in areas]
    shown = f"{' '.join(one.shown for one in areas)} or {digits[0]} to {digits[-1]}"
    yield shown, ", ".join(one.says for one in areas)
    for name in EVERYWHERE:
        yield meaning(name).all_shown, meaning(name).says
