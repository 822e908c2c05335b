"""Style sheets parsed once a process: Textual parses all of them anew for every app and for every area it opens.

What is kept goes by the text, by where it stands and by the theme's colours: what differs in any of these is parsed as
ever, and a text that can't be parsed is never kept. Rules don't change once they are parsed; an app's own widgets share
them in the same way.
"""

from __future__ import annotations

from typing import Any

from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet

_parse = Stylesheet._parse_rules
_kept: dict[tuple[Any, ...], list[RuleSet]] = {}


def _parsed(
    self: Stylesheet,
    css: str,
    read_from: tuple[str, str],
    is_default_rules: bool = False,
    tie_breaker: int = 0,
    scope: str = "",
) -> list[RuleSet]:
    key = (css, read_from, is_default_rules, tie_breaker, scope, tuple(self._variables.items()))
    if key not in _kept:
        _kept[key] = _parse(self, css, read_from, is_default_rules, tie_breaker, scope)
    return _kept[key]


def share() -> None:
    """From here on every app of this process shares them."""
    Stylesheet._parse_rules = _parsed  # type: ignore[method-assign]
    # A rule's hash is its identity either way; a million of them are asked for in a test of many pages.
    RuleSet.__hash__ = object.__hash__  # type: ignore[method-assign]
