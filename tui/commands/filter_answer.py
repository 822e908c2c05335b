"""The answer about a filter element, as text and as JSON. The contract stands in `tui/schemas/filter.schema.json`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from catalog.filters.element import Element
from catalog.filters.grade import Criterion, Fit, Grade, Way
from catalog.filters.housing import Housing
from catalog.filters.search import Found
from catalog.quantity import both_units
from tui.answers.advice import ADVICE, cautions
from tui.commands.filter_files import Listed
from tui.commands.output import table

SCHEMA = "kitwright.filter/1"


def fit_object(element: Element, housing: Housing, fit: Fit) -> dict[str, Any]:
    """A judgement as JSON."""
    return {
        "schema": SCHEMA,
        "asked": "fit",
        "element": _name(element),
        "housing": housing.name or None,
        **fit_parts(fit),
        "cautions": [*cautions("relieve"), ADVICE],
    }


def fit_lines(element: Element, housing: Housing, fit: Fit, unit: str) -> list[str]:
    """A judgement in words: the whole, what must be measured, then every criterion, worst first."""
    turned = ", turned end for end" if fit.way is Way.TURNED else ""
    where = f"the housing {housing.name}" if housing.name else "this housing"
    lines = [f"{_name(element)} in {where}: {_overall(fit)}{turned}", ""]
    lines += [criterion_line(one) for one in fit.criteria]
    sizes = [
        f"{name} {both_units(value, first=unit)}"
        for name, value in (
            ("element OD", element.od_mm),
            ("length", element.length_mm),
            ("housing bore", housing.bore_mm),
            ("depth", housing.depth_mm),
        )
        if value is not None
    ]
    if sizes:
        lines += ["", f"Understood: {', '.join(sizes)}."]
    return [*lines, *cautions("relieve"), ADVICE]


def search_object(found: Sequence[Found], listed: Listed, limit: int) -> dict[str, Any]:
    """What a search found, as JSON."""
    return {
        "schema": SCHEMA,
        "asked": "search",
        "candidates": len(listed.elements),
        "found_in_all": len(found),
        "found": [
            {"element": _name(one.element), "off": round(one.off, 4), **fit_parts(one.fit)} for one in found[:limit]
        ],
        "problems": list(listed.problems),
        "caution": ADVICE,
    }


def search_lines(found: Sequence[Found], candidates: int, limit: int, unit: str) -> list[str]:
    """What a search found, best first, and why none is better."""
    if not found:
        return [f"None of {candidates} elements answers to this. See the near ones with --misses."]
    lines = [f"{len(found)} of {candidates} elements, best first{f', {limit} shown' if len(found) > limit else ''}:"]
    rows = [
        (
            _name(one.element),
            str(one.fit.overall),
            "" if one.element.od_mm is None else both_units(one.element.od_mm, first=unit),
            "" if one.element.length_mm is None else both_units(one.element.length_mm, first=unit),
            "turned" if one.fit.way is Way.TURNED else "",
        )
        for one in found[:limit]
    ]
    lines += table(("element", "word", "outside", "long", ""), rows)
    for one in found[:limit]:
        doubts = [criterion for criterion in one.fit.criteria if criterion.grade is not Grade.FITS]
        if doubts:
            lines += ["", f"{_name(one.element)}:", *map(criterion_line, doubts)]
    lines += ["", "Found by measure only. Judge it in its housing before you fit it: kitwright filter --housing …"]
    return [*lines, ADVICE]


def _name(element: Element) -> str:
    return element.name or str(element.kind)


def _overall(fit: Fit) -> str:
    return {
        Grade.FITS: "fits",
        Grade.WITH_CARE: "fits with care",
        Grade.MEASURE: "not to be trusted yet, measure first",
        Grade.DOES_NOT: "does not fit",
    }[fit.overall]


def criterion_line(one: Criterion) -> str:
    """One criterion in a line."""
    grade = "" if one.grade is Grade.MEASURE else f"{one.grade}. "
    return f"  {one.name}: {grade}{one.sentence} [{one.source}]"


def fit_parts(fit: Fit) -> dict[str, Any]:
    """The parts of a judgement that every answer has, as JSON."""
    return {
        "overall": fit.overall.value,
        "way": fit.way.value,
        "criteria": [
            {
                "name": one.name,
                "grade": one.grade.value,
                "text": one.sentence,
                "source": one.source,
                "standing": one.standing.value,
                "hard": one.hard,
            }
            for one in fit.criteria
        ],
        "because": [{"rule": one.rule, "source": one.source, "standing": one.standing.value} for one in fit.because],
        "to_measure": [one.name for one in fit.to_measure],
    }
