"""The answer about a ring as plain text: the size first, then how sure, then why."""

from __future__ import annotations

from catalog.orings.match import Match, Ranking
from catalog.orings.sizes import MM_PER_INCH, RingSize
from catalog.quantity import both_units
from catalog.standing import Standing
from tui.commands.output import table

FROM_MEMORY = "unchecked row"


def ring_lines(ranking: Ranking, unit: str) -> list[str]:
    """The whole answer, line by line."""
    lines = [ring_line(ranking, unit), ranking.doubt]
    if ranking.conflict:
        lines.append(ranking.conflict)
    if ranking.next_measurement is not None:
        following = ranking.next_measurement
        lines.append(f"Next: measure the {following.dimension.words} with a {following.tool.value}. {following.why}")
    if not ranking.found:
        lines += _instead(ranking, unit)
    lines += ["", _readings(ranking, unit)]
    if ranking.matches:
        lines += ["", *_matches(ranking), f"{percent(ranking.none_probability)}  none of the sizes in our tables"]
        lines += ["", "off by: each reading's distance from the nominal in tolerances; the standard allows ±1."]
    lines += ["", "Why:", *(f"  {one.words}" for one in ranking.because)]
    return lines


def ring_line(ranking: Ranking, unit: str) -> str:
    """The answer in one line."""
    if not ranking.found:
        told = ranking.denial
        start = told.headline if told is not None else "No size in our tables"
        sure = percent(ranking.none_probability)
        if told is not None and told.as_measured is not None:
            return f"{told.as_measured.label} metric, as measured: {start[0].lower()}{start[1:]} ({sure})"
        return f"{start} ({sure})"
    match = ranking.matches[0]
    return f"{match.size.label} ({percent(match.probability)}): {dimensions(match.size, unit)}{_memory(match)}"


def percent(probability: float) -> str:
    """A probability as a person says it; never a certainty that the numbers don't have."""
    if probability > 0.995:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{probability:.0%}".replace("%", " %")


def dimensions(size: RingSize, unit: str) -> str:
    """ID and width in both units."""
    return f"ID {both_units(size.id_mm, first=unit)}, width {both_units(size.cross_section_mm, first=unit)}"


def _memory(match: Match) -> str:
    return f" [{FROM_MEMORY}]" if match.size.standing is Standing.MEMORY else ""


def _readings(ranking: Ranking, unit: str) -> str:
    read = (
        f"{reading.dimension.words} {both_units(reading.value_mm, first=unit)}"
        f" ± {reading.plus_minus_mm:.2g} mm by {reading.tool.value}"
        for reading in ranking.evidence.readings
    )
    return f"Understood ({ranking.evidence.condition.value} ring): {'; '.join(read)}."


def _matches(ranking: Ranking) -> list[str]:
    names = [reading.dimension.words for reading in ranking.evidence.readings]
    rows = [
        (
            match.size.label,
            percent(match.probability),
            f"{match.size.id_mm:.2f}",
            f"{match.size.cross_section_mm:.2f}",
            f"{match.size.id_mm / MM_PER_INCH:.3f}",
            f"{match.size.cross_section_mm / MM_PER_INCH:.3f}",
            ", ".join(f"{name} {residual:+.1f}" for name, residual in zip(names, match.residuals, strict=True)),
            "; ".join([*_called(ranking, match), *([FROM_MEMORY] if _memory(match) else []), *_also(match)]),
        )
        for match in ranking.matches
    ]
    return table(("size", "how sure", "ID mm", "width", "ID in", "width", "off by", ""), rows, right=(1, 2, 3, 4, 5))


def _called(ranking: Ranking, match: Match) -> list[str]:
    return ["its trade name"] if ranking.called in (match.size, *match.also) else []


def _also(match: Match) -> list[str]:
    return [f"also {', '.join(size.label for size in match.also)}"] if match.also else []


def _instead(ranking: Ranking, unit: str) -> list[str]:
    lines = []
    if ranking.neighbours is not None:
        for word, size in (("below", ranking.neighbours.below), ("above", ranking.neighbours.above)):
            if size is not None:
                memory = f" [{FROM_MEMORY}]" if size.standing is Standing.MEMORY else ""
                lines.append(f"Nearest size {word}: {size.label}, {dimensions(size, unit)}{memory}")
    if ranking.cord is not None:
        width, length = (both_units(value, first=unit) for value in ranking.cord)
        lines.append(f"To make one: cord of width {width}, cut {length} long.")
    return lines
