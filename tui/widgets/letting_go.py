"""Parts that were taken away hold nothing any more, so that their memory is free at once.

A part and its styles hold each other, and so do the nodes of its named parts: a closed page of fifty parts is twenty
thousand objects in rings. Left to the cycle collector they pile up between two of its rounds, and the memory that was
once taken for such a pile is never whole again.
"""

from __future__ import annotations

from collections.abc import Iterable

from textual.css.styles import Styles
from textual.timer import Timer
from textual.widget import Widget


def rings_of(parts: Iterable[Widget]) -> list[Styles]:
    """The styles by which parts hold themselves. Asked before they are taken away: Textual drops some of them then."""
    found = []
    for part in parts:
        found += [part._css_styles, part._inline_styles]
        for named in part._component_styles.values():
            if (node := named.node) is not None:
                found += [node._css_styles, node._inline_styles]
    return found


def let_go(parts: Iterable[Widget], rings: Iterable[Styles]) -> None:
    """Forget what was drawn of parts that are gone, how they were laid out and styled, and who was found in them."""
    for part in parts:
        part._styles_cache.clear()
        part._arrangement_cache.clear()
        part._box_model_cache.clear()
        part._query_one_cache.clear()
        for kept in vars(part).values():
            if isinstance(kept, Timer):
                kept._callback = None
    for styles in rings:
        styles.node = None
