"""The help page of a screen: the Markdown file that stands beside it."""

from __future__ import annotations

from pathlib import Path

from tui.screens.ask import Ask, Key, Page, gives

HELP = "help"


def help_page(file: Path) -> Ask[None]:
    """One page over the screen it explains. Esc, F1 or q closes it; the arrows scroll."""
    return Ask(
        "",
        Page(file),
        keys=(Key("escape,f1,q,enter", "Close", "Back to the screen", gives(None)),),
        line="Esc closes · arrows and PgDn scroll",
        name=HELP,
        looks="sheet page",
    )
