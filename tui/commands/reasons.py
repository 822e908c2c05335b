"""The rules that decided an answer, for text and JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from catalog.because import Because


def because_objects(rules: Iterable[Because]) -> list[dict[str, Any]]:
    """The rules as JSON."""
    return [{"rule": one.rule, "source": one.source, "standing": one.standing.value} for one in rules]


def because_lines(rules: Iterable[Because]) -> list[str]:
    """The rules under "Why", one a line, each with its source and, unless published, how far it is trusted."""
    lines = [f"  {one.rule} [{sourced(one)}]" for one in rules]
    return ["Why:", *lines] if lines else []


def sourced(one: Because) -> str:
    """The source, and how far it is trusted unless it is published or says so itself."""
    words = one.standing.words
    return one.source if one.standing.value == "published" or words in one.source else f"{one.source}; {words}"
