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


def _parsed(self: Stylesheet, css: str, read_from: Any, *more: Any, **how: Any) -> list[RuleSet]:
    if not (how and not more):
        return _parse(self, css, read_from, *more, **how)
    key = (css, read_from, *how.items(), *self._variables.items())
    if key not in _kept:
        _kept[key] = _parse(self, css, read_from, **how)
    return _kept[key]


def share() -> None:
    """From here on."""
    Stylesheet._parse_rules = _parsed  # type: ignore[method-assign, assignment]
    RuleSet.__hash__ = object.__hash__  # type: ignore[method-assign]
