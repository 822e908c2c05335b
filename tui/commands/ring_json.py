"""The answer about a ring as JSON. The contract stands in `tui/schemas/ring.schema.json`; lengths are in mm."""

from __future__ import annotations

from typing import Any

from catalog.orings.evidence import Reading
from catalog.orings.match import Match, Ranking
from catalog.orings.sizes import RingSize

SCHEMA = "kitwright.ring/1"


def ring_object(ranking: Ranking, line: int | None = None) -> dict[str, Any]:
    """One ring's answer; `line` is its line in a batch."""
    readings = ranking.evidence.readings
    return {
        "schema": SCHEMA,
        **({} if line is None else {"line": line}),
        "readings": [
            {
                "what": reading.dimension.value,
                "value_mm": _mm(reading.value_mm),
                "plus_minus_mm": _mm(reading.plus_minus_mm),
                "tool": reading.tool.value,
            }
            for reading in readings
        ],
        "condition": ranking.evidence.condition.value,
        "matches": [_match(match, readings) for match in ranking.matches],
        "none_probability": round(ranking.none_probability, 6),
        "denial": None
        if ranking.denial is None
        else {
            "complete": ranking.denial.complete,
            "lists": [{"name": one.name, "complete": one.complete, "why": one.why} for one in ranking.denial.lists],
            "as_measured": None
            if ranking.denial.as_measured is None
            else {
                "name": ranking.denial.as_measured.label,
                "id_mm": _mm(ranking.denial.as_measured.id_mm),
                "cross_section_mm": _mm(ranking.denial.as_measured.cross_section_mm),
            },
        },
        "called": None if ranking.called is None else ranking.called.label,
        "doubt": ranking.doubt,
        "conflict": ranking.conflict,
        "next_measurement": None
        if ranking.next_measurement is None
        else {
            "what": ranking.next_measurement.dimension.value,
            "tool": ranking.next_measurement.tool.value,
            "why": ranking.next_measurement.why,
        },
        "neighbours": None
        if ranking.neighbours is None
        else {"below": _size(ranking.neighbours.below), "above": _size(ranking.neighbours.above)},
        "because": [
            {"rule": one.rule, "source": one.source, "standing": one.standing.value} for one in ranking.because
        ],
        "cord": None
        if ranking.cord is None
        else {"width_mm": _mm(ranking.cord.width_mm), "cut_length_mm": _mm(ranking.cord.cut_length_mm)},
    }


def error_object(line: int, problem: str) -> dict[str, Any]:
    """A row of a batch that could not be read."""
    return {"schema": SCHEMA, "line": line, "error": problem}


def residual_names(readings: tuple[Reading, ...]) -> list[str]:
    """The key of each reading's residual: what was read; a second reading of the same is `width_2`."""
    names: list[str] = []
    for reading in readings:
        name = reading.dimension.value
        names.append(name if name not in names else f"{name}_2")
    return names


def _match(match: Match, readings: tuple[Reading, ...]) -> dict[str, Any]:
    return {
        "standard": match.size.series.value,
        "designation": match.size.designation,
        "name": match.size.label,
        "id_mm": _mm(match.size.id_mm),
        "cross_section_mm": _mm(match.size.cross_section_mm),
        "probability": round(match.probability, 6),
        "residuals": {
            name: round(residual, 4) for name, residual in zip(residual_names(readings), match.residuals, strict=True)
        },
        "also": [size.label for size in match.also],
        "standing": match.size.standing.value,
    }


def _size(size: RingSize | None) -> dict[str, Any] | None:
    if size is None:
        return None
    return {
        "standard": size.series.value,
        "designation": size.designation,
        "name": size.label,
        "id_mm": _mm(size.id_mm),
        "cross_section_mm": _mm(size.cross_section_mm),
        "standing": size.standing.value,
    }


def _mm(value: float) -> float:
    return round(value, 4)
