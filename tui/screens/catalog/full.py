"""A row of a reference table on one sheet: every line, its source, how far it can be trusted."""

from __future__ import annotations

from tui.screens.ask import Ask
from tui.screens.catalog.reference import OWN, Entry, Fact, is_memory
from tui.screens.judge.ruling import Line, Ruling
from tui.screens.judge.why import reasons_sheet
from tui.widgets.judge.marks import Mark

CAUTION = "Unchecked rows say so: check them in print before you rely on them."


def ruling(entry: Entry) -> Ruling:
    """The row as an answer with its lines."""
    told = any(entry.figures in fact.sentence for fact in entry.facts)
    says = (entry.family,) if told else (entry.family, entry.figures)
    return Ruling(Mark.NOTE, entry.name, says, tuple(_line(fact) for fact in entry.facts))


def full_sheet(entry: Entry, *, plain: bool) -> Ask[None]:
    """The sheet."""
    return reasons_sheet(ruling(entry), CAUTION, plain=plain, title="The row in full")


def _line(fact: Fact) -> Line:
    memory = is_memory(fact.standing)
    source = ", ".join(part for part in (fact.own_source, fact.standing_words) if part)
    word = "unchecked" if memory else "own" if fact.standing == OWN else "table"
    return Line(Mark.CARE if memory else Mark.NOTE, word, fact.name, fact.sentence, source)
