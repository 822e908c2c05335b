"""Which ring to put in where a measured one was, and which standard size that was, each with how sure that is."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, ClassVar, Final, Literal, NamedTuple

import catalog
import models
from catalog import orings
from tui.answers.answer import SAID, Answer, said
from tui.answers.chances import percent
from tui.answers.reasons import Reason, Standing, reasons_of, why_lines
from tui.answers.sizes import MM_PER_INCH, UNCHECKED, Standard, size_dimensions
from tui.answers.to_fit import (
    RUBBER_NOT_JUDGED,
    JointKind,
    Met,
    Next,
    RubberInService,
    ToFit,
    at_stake_of,
    here_of,
    next_of,
    to_do_of,
    to_fit_of,
)
from tui.commands.output import table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.orings import match as ranked
    from catalog.orings.decide import Decision
    from catalog.orings.denial import Denial as Told
    from catalog.orings.evidence import Evidence
    from catalog.orings.evidence import Reading as Taken
    from catalog.orings.neighbours import Neighbours as Beside
    from catalog.orings.next_step import NextStep
    from catalog.orings.sizes import RingSize

Dimension = Literal["id", "od", "width", "around", "cut_length"]
Tool = Literal["caliper", "micrometer", "rule", "tape", "cone", "stated"]
Condition = Literal["new", "used", "flattened", "swollen", "shrunk", "not-said"]
SHOWN: Final = 5
"""How many rings to fit the text lists; the JSON has them all."""
LEAST: Final = 0.1
OFF_BY: Final = (
    "off by: how far each reading lies from what the size would show, looking so; ±1 is the tolerance's edge."
)


@dataclass(frozen=True)
class Reading:
    """A reading as it was understood, with its limit of error; lengths in mm."""

    what: Dimension
    value_mm: float
    plus_minus_mm: float
    tool: Tool

    @property
    def called(self) -> str:
        """What was measured, as a person says it."""
        return orings.evidence.Dimension(self.what).words

    def said(self, unit: str) -> str:
        """It in both units, with its ±."""
        by = "as stated" if self.tool == "stated" else f"by {self.tool}"
        return (
            f"{self.called} {catalog.quantity.both_units(self.value_mm, first=unit)} ± {self.plus_minus_mm:.2g} mm {by}"
        )


@dataclass(frozen=True)
class Near:
    """A standard size beside the readings; lengths in mm."""

    standard: Standard
    designation: str
    name: str
    id_mm: float
    cross_section_mm: float
    standing: Standing

    def said(self, unit: str) -> str:
        """Its name and its dimensions in both units."""
        unchecked = f" [{UNCHECKED}]" if self.standing == "memory" else ""
        return f"{self.name}, {size_dimensions(self.id_mm, self.cross_section_mm, unit)}{unchecked}"


@dataclass(frozen=True)
class Match:
    """A size that it can be, with its further names in `also`; lengths in mm.

    `residuals`: by reading, in tolerances; ±1 is the edge of what the standard allows.
    """

    standard: Standard
    designation: str
    name: str
    id_mm: float
    cross_section_mm: float
    probability: float
    residuals: dict[str, float]
    also: tuple[str, ...]
    standing: Standing

    @property
    def unchecked(self) -> str:
        """That nobody here has seen its row in print; "" where somebody has."""
        return UNCHECKED if self.standing == "memory" else ""


@dataclass(frozen=True)
class ListOfSizes:
    """A list that has rings of this width, and whether it is whole there."""

    name: str
    complete: bool
    why: str


@dataclass(frozen=True)
class AsMeasured:
    """A round metric size near the readings that may be made though no list of ours has it; lengths in mm."""

    name: str
    id_mm: float
    cross_section_mm: float


@dataclass(frozen=True)
class Denial:
    """How far it is sure that it is no standard size: where every list that has such rings is complete."""

    headline: str
    complete: bool
    lists: tuple[ListOfSizes, ...]
    as_measured: AsMeasured | None


@dataclass(frozen=True)
class Neighbours:
    """The nearest sizes of about the same width, with the ID below and above."""

    below: Near | None
    above: Near | None


@dataclass(frozen=True)
class Cord:
    """A length of cord to make a ring from, mm."""

    width_mm: float
    cut_length_mm: float


@dataclass(frozen=True)
class RingAnswer(Answer):
    """Which ring to fit, best first, and what the old one can be, likeliest size first; lengths in mm.

    `line`: in a batch, the line of the file; `own`: its columns that are the user's own, as they stood. `alone`: in a
    box from one machine, what the ring would be called without the others; null where that is the same. `joint`: where
    the ring sits, `met`: what it meets, null where nobody said. `critical`: somebody may be hurt where it fails.
    `at_stake`: where the best ring will not do. `here`: how such rings went at this very position before; `of_machine`:
    what the machine's other rings are, where that changed the answer. `none_probability`: that it is none of the sizes
    in our tables; `denial` says how far that is sure. `called`: the size whose trade fractions were typed in place of
    readings. `conflict`: that the readings can't be of one ring; then nothing else is said, and `wrong_reading` is the
    one to take again. `rubbers`: how the rubbers on the shelf do in what it meets.
    `photo`: what is to be known of readings that a picture gave.
    """

    SCHEMA: ClassVar[str] = "kitwright.ring/2"

    line: int | None
    own: dict[str, str]
    readings: tuple[Reading, ...]
    condition: Condition
    joint: JointKind | None
    critical: bool
    met: Met | None
    to_fit: tuple[ToFit, ...]
    at_stake: str | None
    here: str | None
    of_machine: str | None
    matches: tuple[Match, ...]
    alone: str | None
    none_probability: float
    denial: Denial | None
    called: str | None
    doubt: str
    conflict: str | None
    wrong_reading: str | None
    next_measurement: Next | None
    neighbours: Neighbours | None
    because: tuple[Reason, ...]
    cord: Cord | None
    photo: str | None = None
    rubbers: tuple[RubberInService, ...] = ()
    unit: str = said("mm")
    standard: bool = said(True)
    to_do: str = said("")
    settled: bool = said(False)
    as_csv: bool = said(False)
    decided: Any = field(default=None, metadata={SAID: True})
    """The `Decision` it tells of, for a screen that takes the ring to a kit."""

    @property
    def found(self) -> bool:
        """Whether some standard size is likelier than none of them."""
        return self.standard

    def words(self) -> list[str]:
        """The ring to fit first, then why, then the sizes that it was; of a batch's ring one line."""
        if self.as_csv:
            return [csv_line([str(self.line), *self.own.values(), *self._cells()])]
        if self.line is not None:
            own = ", ".join(value for value in self.own.values() if value)
            alone = f"; by itself {self.alone}" if self.alone is not None else ""
            return [f"line {self.line}{f' ({own})' if own else ''}: {self.in_one_line}{alone}"]
        if self.conflict is not None:
            return [self.conflict, "", self._understood(), "", *why_lines(self.because)]
        lines = []
        if self.to_do and (self.found or self.settled):
            first = self.to_fit[0]
            whose = "" if first.name in self.to_do else f"{first.name} comes nearest ({percent(first.seals)}): "
            lines += [f"{self.to_do}.", f"{whose}{first.size_words(self.unit)}. {first.shelf_words()}"]
            lines += [one for one in (self.here, self.of_machine) if one is not None]
            lines += [RUBBER_NOT_JUDGED if self.met is None else self.met.words(self.to_fit)]
            lines += [f"{one.words}." for one in self.rubbers]
            lines += [self.at_stake] if self.at_stake is not None else []
            lines += [f"Next: {self.next_measurement.why}"] if self.next_measurement is not None else []
            lines += ["", f"It was {self.headline}" if self.found else self.headline, self.doubt]
        else:
            lines += [self.headline, self.doubt]
            lines += [f"Next: {self.next_measurement.why}"] if self.next_measurement is not None else []
        if not self.found:
            lines += self._instead()
        lines += self._others()
        lines += ["", self._understood()]
        if self.matches:
            lines += ["", *self._table(), f"{percent(self.none_probability)}  none of the sizes in our tables"]
            lines += ["", OFF_BY]
        return [*lines, "", *why_lines(self.because)]

    @property
    def in_one_line(self) -> str:
        """The ring to fit and the size it was, for a list."""
        if self.conflict is not None:
            return self.conflict
        if not self.to_do or not (self.found or self.settled):
            return self.headline
        return f"{self.to_do}; it was {self.headline}" if self.found else f"{self.to_do}; {self.headline}"

    def _cells(self) -> list[str]:
        """What a list of rings says of each, in the order of `CSV_COLUMNS`."""
        best = self.to_fit[0] if self.to_fit else None
        rows = best.on_shelf or () if best is not None else ()
        first, second = (*self.matches[:2], None, None)[:2]
        return [
            best.name if best is not None else "",
            "yes" if self.settled else "no",
            f"{best.seals:.4f}" if best is not None else "",
            "" if best is None or best.on_shelf is None else str(sum(row.free for row in rows)),
            ", ".join(dict.fromkeys(row.bin for row in rows)),
            first.name if first is not None and self.found else "none of our sizes" if self.conflict is None else "",
            f"{first.probability:.4f}" if first is not None and self.found else f"{self.none_probability:.4f}",
            second.name if second is not None else "",
            f"{second.probability:.4f}" if second is not None else "",
            "" if self.next_measurement is None else self.next_measurement.why,
            self.conflict or "",
        ]

    def _understood(self) -> str:
        read = "; ".join(one.said(self.unit) for one in self.readings)
        look = "look not given" if self.condition == "not-said" else f"{self.condition} ring"
        by_picture = "" if self.photo is None else f"\n{self.photo}"
        return f"Understood ({look}): {read}.{by_picture}"

    def _others(self) -> list[str]:
        """The rings that could go in beside the best one."""
        if len(self.to_fit) < 2 or not self.found:
            return []
        kept = [one for one in self.to_fit if one.seals >= LEAST][:SHOWN]
        if len(kept) < 2:
            return []
        rows = [(one.name, percent(one.seals), percent(one.marginal), one.why) for one in kept]
        return ["", *table(("could go in", "seals", "marginal", ""), rows, right=(1, 2))]

    @property
    def headline(self) -> str:
        """The size that it was, in one line."""
        if self.conflict is not None:
            return "These readings cannot be of one ring"
        if not self.found:
            told = self.denial
            start, sure = no_size(told), percent(self.none_probability)
            if told is not None and told.as_measured is not None:
                return f"{told.as_measured.name} metric, as measured: {start[0].lower()}{start[1:]} ({sure})"
            return f"{start} ({sure})"
        best = self.matches[0]
        size = size_dimensions(best.id_mm, best.cross_section_mm, self.unit)
        unchecked = f" [{best.unchecked}]" if best.unchecked else ""
        return f"{best.name} ({percent(best.probability)}): {size}{unchecked}"

    def _table(self) -> list[str]:
        names = [one.called for one in self.readings]
        rows = [
            (
                one.name,
                percent(one.probability),
                f"{one.id_mm:.2f}",
                f"{one.cross_section_mm:.2f}",
                f"{one.id_mm / MM_PER_INCH:.3f}",
                f"{one.cross_section_mm / MM_PER_INCH:.3f}",
                ", ".join(f"{name} {off:+.1f}" for name, off in zip(names, one.residuals.values(), strict=True)),
                "; ".join(self._notes(one)),
            )
            for one in self.matches
        ]
        return table(("size", "chance", "ID mm", "width", "ID in", "width", "off by", ""), rows, right=(1, 2, 3, 4, 5))

    def _notes(self, one: Match) -> list[str]:
        return [
            *(["its trade name"] if self.called in (one.name, *one.also) else []),
            *([one.unchecked] if one.unchecked else []),
            *([f"also {', '.join(one.also)}"] if one.also else []),
        ]

    def _instead(self) -> list[str]:
        lines = []
        if self.neighbours is not None:
            for word, size in (("below", self.neighbours.below), ("above", self.neighbours.above)):
                lines += [f"Nearest size {word}: {size.said(self.unit)}"] if size is not None else []
        if self.cord is not None:
            width, length = (
                catalog.quantity.both_units(one, first=self.unit)
                for one in (self.cord.width_mm, self.cord.cut_length_mm)
            )
            lines.append(f"To make one: cord of width {width}, cut {length} long.")
        return lines


CSV_COLUMNS: Final = (
    "fit", "sure", "seals", "free", "bins", "was", "probability", "or_was", "or_probability", "next", "trouble"
)  # fmt: skip
"""What a list of rings says of each, beside its line and the user's own columns."""


def csv_line(cells: Sequence[str]) -> str:
    """A line of a CSV file that no spreadsheet runs as a formula."""
    text = io.StringIO()
    csv.writer(text, lineterminator="").writerow([models.csv_cells.neutral(cell) for cell in cells])
    return text.getvalue()


def no_size(denial: Denial | Told | None) -> str:
    """What is said where nothing fits, in a few words."""
    return denial.headline if denial is not None else "No size in our tables"


# From the catalog's records


class BatchRow(NamedTuple):
    """A row of a batch: its line, the user's own columns, and what the ring would be called by itself."""

    line: int
    own: dict[str, str]
    alone: str | None = None
    as_csv: bool = False


def called(ranking: ranked.Ranking) -> str:
    """What a ring is called in a list: its likeliest size, or that it is none."""
    return ranking.matches[0].size.label if ranking.found else "no size of our tables"


def ring_answer(
    decision: Decision,
    following: NextStep | None,
    unit: str,
    *,
    limit: int = 10,
    row: BatchRow | None = None,
    of_machine: str | None = None,
    met: Met | None = None,
) -> RingAnswer:
    """A decision as an answer, with at most `limit` rings to fit; `row`: of a batch; the rest: see the answer."""
    ranking, joint = decision.ranking, decision.wanted.joint
    to_fit = to_fit_of(decision, limit)
    evidence, cord, clash = ranking.evidence, ranking.cord, ranking.conflict
    to_do = to_do_of(decision, following)
    return RingAnswer(
        line=None if row is None else row.line,
        own={} if row is None else row.own,
        readings=readings_of(evidence),
        condition=evidence.condition.value,
        joint=None if joint is None else joint.value,
        critical=decision.wanted.critical,
        met=met,
        to_fit=to_fit,
        at_stake=at_stake_of(decision),
        here=here_of(decision),
        of_machine=of_machine,
        matches=tuple(_match(one, evidence.readings) for one in ranking.matches[:limit]),
        alone=None if row is None or row.alone in (None, called(ranking)) else row.alone,
        none_probability=round(ranking.none_probability, 6),
        denial=_denial(ranking.denial),
        called=None if ranking.called is None else ranking.called.label,
        doubt=ranking.doubt,
        conflict=None if clash is None else clash.words,
        wrong_reading=None if clash is None else residual_names(evidence.readings)[clash.at],
        next_measurement=next_of(following),
        neighbours=_neighbours(ranking.neighbours),
        because=reasons_of(ranking.because),
        cord=None if cord is None else Cord(_mm(cord.width_mm), _mm(cord.cut_length_mm)),
        rubbers=() if met is None else met.verdicts(to_fit),
        unit=unit,
        standard=ranking.found,
        to_do="" if to_do is None else to_do.words,
        settled=to_do is not None and to_do.settled,
        as_csv=row is not None and row.as_csv,
        decided=decision,
    )


def readings_of(evidence: Evidence) -> tuple[Reading, ...]:
    """Each reading as it was understood."""
    return tuple(
        Reading(one.dimension.value, _mm(one.value_mm), _mm(one.plus_minus_mm), one.tool.value)
        for one in evidence.readings
    )


def residual_names(readings: Sequence[Taken]) -> list[str]:
    """The key of each reading's residual: what was read; a second reading of the same is `width_2`."""
    names: list[str] = []
    for reading in readings:
        name = reading.dimension.value
        names.append(name if name not in names else f"{name}_2")
    return names


def _match(match: ranked.Match, readings: Sequence[Taken]) -> Match:
    size = match.size
    off = zip(residual_names(readings), match.residuals, strict=True)
    return Match(
        standard=size.series.value,
        designation=size.designation,
        name=size.label,
        id_mm=_mm(size.id_mm),
        cross_section_mm=_mm(size.cross_section_mm),
        probability=round(match.probability, 6),
        residuals={name: round(residual, 4) for name, residual in off},
        also=tuple(one.label for one in match.also),
        standing=size.standing.value,
    )


def _denial(denial: Told | None) -> Denial | None:
    if denial is None:
        return None
    near = denial.as_measured
    return Denial(
        denial.headline,
        denial.complete,
        tuple(ListOfSizes(one.name, one.complete, one.why) for one in denial.lists),
        None if near is None else AsMeasured(near.label, _mm(near.id_mm), _mm(near.cross_section_mm)),
    )


def _neighbours(near: Beside | None) -> Neighbours | None:
    return None if near is None else Neighbours(_near(near.below), _near(near.above))


def _near(size: RingSize | None) -> Near | None:
    if size is None:
        return None
    return Near(
        size.series.value,
        size.designation,
        size.label,
        _mm(size.id_mm),
        _mm(size.cross_section_mm),
        size.standing.value,
    )


def _mm(value: float) -> float:
    return round(value, 4)
