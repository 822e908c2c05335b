"""The tables behind the judgements as rows with the text they are found by: fluid classes, threads, filter media."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import NamedTuple

from tui.screens.catalog.entries import words
from tui.screens.judge.ruling import Line
from tui.widgets.judge.marks import Mark

SORTS = ("fluids", "threads", "filters")


class Entry(NamedTuple):
    """A row: its name, its family, its figures, the text it is found by, and what is said of it, line by line."""

    name: str
    family: str
    figures: str
    text: str
    lines: tuple[Line, ...]


@cache
def entries(sort: str) -> tuple[Entry, ...]:
    """Every row of one sort, in the order of its table."""
    return {"fluids": _fluids, "threads": _threads, "filters": _filters}[sort]()


def narrow(among: Sequence[Entry], text: str) -> Sequence[Entry]:
    """The entries that hold every word of the text; a word that starts with a digit must begin a number or a name."""
    kept = among
    for word in words(text):
        kept = [entry for entry in kept if word in entry.text]
    return kept


def _entry(name: str, family: str, figures: str, lines: Iterable[Line], more: str = "") -> Entry:
    return Entry(name, family, figures, f" {name} {family} {figures} {more} ".lower(), tuple(lines))


def _said(name: str, sentence: str, source: str) -> Line:
    return Line(Mark.NOTE, "table", name, sentence, source)


def _fluids() -> tuple[Entry, ...]:
    from catalog.fluids.classes import all_classes

    found = []
    for one in all_classes():
        source = f"{one.source}, {one.standing.words}"
        other = f"Also called {', '.join(one.aliases)}." if one.aliases else ""
        lines = [_said(one.code, f"{one.description}. {other}".strip(), source)]
        lines += [_said("limits", one.limits, source)] if one.limits else []
        lines += [_said("status", one.status, source)] if one.status != "active" else []
        more = " ".join((*one.aliases, *one.groups, one.status, one.standing.words))
        found.append(_entry(one.code, one.family, one.description, lines, more))
    return tuple(found)


def _threads() -> tuple[Entry, ...]:
    from catalog.fasteners.sizes import all_threads
    from catalog.fasteners.wrench import hexes

    found = []
    for one in all_threads():
        source = f"{one.source}, {one.standing}"
        figures = f"{one.diameter_mm:.2f} mm = {one.diameter_mm / 25.4:.3f} in, pitch {one.pitch_text}"
        bolt = f"bolt {one.major_low_mm:.2f} to {one.major_high_mm:.2f} mm over the crests"
        nut = f"nut {one.minor_low_mm:.2f} to {one.minor_high_mm:.2f} mm across the crests"
        shape = f"{one.flank_angle_deg}° flanks{', tapered 1 in 16' if one.tapered else ''}"
        lines = [_said(one.designation, f"{bolt}; {nut}; {shape}.", source)]
        lines += [
            _said("wrench", f"{size.wrench} ({size.standard})", f"{size.source}, {size.standing}")
            for size in hexes(one)
        ]
        found.append(_entry(one.designation, f"{one.system} {one.series}", figures, lines))
    return tuple(found)


def _filters() -> tuple[Entry, ...]:
    from catalog.filters.media import sieves
    from catalog.filters.screwed import spin_on_threads

    found = []
    for thread, use, standing in spin_on_threads():
        figures = f"{thread.diameter_mm:.2f} mm, pitch {thread.pitch_mm:.3g} mm"
        said = _said(thread.label, f"A thread of spin-on filters. {use}".strip(), standing)
        found.append(_entry(thread.label, "spin-on thread", figures, [said], use))
    for one in sieves():
        older = f" The older series had {one.older_opening_um:g} µm." if one.older_opening_um else ""
        said = _said(f"{one.mesh} mesh", f"Opening {one.opening_um:g} µm.{older}", f"{one.source}, {one.standing}")
        found.append(_entry(f"{one.mesh} mesh", "sieve (ASTM E11)", f"{one.opening_um:g} µm", [said]))
    return tuple(found)
