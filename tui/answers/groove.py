"""Whether a ring seals in a groove, which others do, and what only looks as if it would."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final, Literal

import catalog
from tui.answers.advice import cautions
from tui.answers.answer import Answer, said
from tui.answers.chances import percent
from tui.answers.figures import Span, span_of
from tui.answers.reasons import Reason, Standing, reasons_of
from tui.answers.sizes import MM_PER_INCH, Size, size_of
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.orings import figures as reckoned
    from catalog.orings import gland
    from catalog.orings.back_up import BackUps as Printed
    from catalog.orings.candidates import Interchange
    from catalog.orings.figures import Service as AtWork
    from catalog.orings.groove import Groove as Measured
    from catalog.orings.groove_reading import GrooveReading as Read
    from catalog.orings.joint import JointRanking
    from catalog.orings.play import Guide
    from catalog.orings.verdict import Reason as Judged

Verdict = Literal["seals", "marginal", "will not"]
VERDICTS: Final[Mapping[str, str]] = MappingProxyType(
    {"seals": "seals", "marginal": "marginal", "will not": "will not seal"}
)
"""A verdict as a sentence has it."""
LIKELY: Final = 0.01
NOTHING: Final = "No standard ring seals in this groove. Measure it again, or have one cut from cord."
UNJUDGED: Final = "it decides whether pressure pushes the ring out."
"""Why the clearance is asked for under pressure."""
_INNER: Final = {"piston": "groove root", "rod": "rod", "face_outside": "groove ID", "port": "neck"}
_OUTER: Final = {
    "piston": "bore",
    "rod": "groove bottom",
    "face_inside": "groove OD",
    "port": "mouth of the chamfer",
}


@dataclass(frozen=True)
class GrooveReading:
    """A size as it was measured, mm, with the limit of error it was taken with."""

    dimension: Literal["root", "bore", "rod", "groove_diameter", "depth", "width", "neck", "mouth"]
    value_mm: float
    plus_minus_mm: float
    tool: Literal["caliper", "micrometer", "depth gauge", "rule", "stated"]

    def said(self, unit: str) -> str:
        """It in both units, with its ± and where the ± is from."""
        value = catalog.quantity.both_units(self.value_mm, first=unit)
        if not self.plus_minus_mm:
            return f"{value}, exact"
        whose = "" if self.tool == "stated" else f" ({self.tool})"
        return f"{value} ± {self.plus_minus_mm:.2g} mm{whose}"


@dataclass(frozen=True)
class Groove:
    """A groove as understood. `clearance_mm`: gap on diameter, None where unknown; `play_mm`: guide clearance as given.

    `readings` is empty where a table gave the groove; `centred`: said to be guided so.
    """

    kind: Literal["piston", "rod", "face_inside", "face_outside", "port"]
    motion: Literal["static", "reciprocating", "pneumatic"]
    inner_mm: Span | None
    outer_mm: Span | None
    depth_mm: Span | None
    width_mm: Span | None
    chamfer_deg: Span | None
    clearance_mm: float | None
    play_mm: float | None
    centred: bool
    readings: tuple[GrooveReading, ...]
    label: str
    source: str

    def said(self, unit: str) -> str:
        """It in words and both units, each reading with the ± it was taken with."""
        parts = [f"{self.kind.replace('_', '-')} groove, {self.motion}"]
        by_name = {one.dimension: one for one in self.readings}
        for name, value, names in (
            (_INNER.get(self.kind, ""), self.inner_mm, ("root", "rod", "neck", "groove_diameter")),
            (_OUTER.get(self.kind, ""), self.outer_mm, ("bore", "groove_diameter", "mouth")),
            ("depth with clearance", self.depth_mm, ("depth",)),
            ("width", self.width_mm, ("width",)),
        ):
            if value is not None:
                reading = next((by_name[one] for one in names if one in by_name), None)
                parts.append(f"{name} {value.said(unit) if reading is None else reading.said(unit)}")
        if self.chamfer_deg is not None:
            parts.append(f"chamfer {self.chamfer_deg.nominal:g}° from the axis")
        if self.clearance_mm:
            parts.append(f"gap on diameter {catalog.quantity.both_units(self.clearance_mm, first=unit)}")
        if self.play_mm:
            parts.append(f"play on diameter {catalog.quantity.both_units(self.play_mm, first=unit)}")
        if self.source != "measured":
            parts.append(f"from {self.label} [{self.source}]")
        return "; ".join(parts)


@dataclass(frozen=True)
class Service:
    """What the ring meets at work."""

    volume_swell_pct: float
    temperature_c: float
    pressure_bar: float | None
    hardness_shore_a: int


@dataclass(frozen=True)
class Figures:
    """The figures of a ring in a groove, percent or mm; None where the kind of groove has no such figure."""

    squeeze_pct: Span
    squeeze_mm: Span
    stretch_pct: Span | None
    od_compression_pct: Span | None
    width_loss_pct: Span
    width_mm: Span
    fill_pct: Span | None
    depth_mm: Span

    def lines(self, when: str) -> list[str]:
        """A table of them: least, nominal, most."""
        percents = (
            ("squeeze %", self.squeeze_pct),
            ("stretch %", self.stretch_pct),
            ("OD held in %", self.od_compression_pct),
            ("width lost to stretch %", self.width_loss_pct),
            ("fill %", self.fill_pct),
        )
        lengths = (
            ("squeeze", self.squeeze_mm),
            ("width after stretch", self.width_mm),
            ("gap it lies in", self.depth_mm),
        )
        rows = [(name, *(f"{one:.1f}" for one in value.all)) for name, value in percents if value is not None]
        rows += [(f"{name} mm", *(f"{one:.3f}" for one in value.all)) for name, value in lengths]
        rows += [(f"{name} in", *(f"{one / MM_PER_INCH:.4f}" for one in value.all)) for name, value in lengths]
        return table((when, "least", "nominal", "most"), rows, right=(1, 2, 3))


@dataclass(frozen=True)
class Criterion:
    """One judged figure."""

    about: str
    verdict: Verdict
    text: str
    rule: str
    source: str
    standing: Standing

    @property
    def sourced(self) -> str:
        """Its source, and how far that is trusted where the source does not say so itself."""
        trusted = catalog.standing.Standing(self.standing).words
        return self.source if trusted == self.source else f"{self.source}; {trusted}"

    @property
    def words(self) -> str:
        """What it comes to, with its source."""
        return f"{self.verdict}: {self.text} [{self.sourced}]"


@dataclass(frozen=True)
class Sealing:
    """A ring judged in the groove. `margin`: 1 in the middle of every band, 0 at a limit, below 0 past it.

    `fitted`: its figures as fitted, `served` at work; `criteria` worst first; `because`: the rules that decided.
    `on_shelf` is None where the shelf was not asked.
    """

    size: Size
    verdict: Verdict
    margin: float
    fitted: Figures
    served: Figures | None
    reasons: tuple[Criterion, ...]
    because: tuple[Reason, ...]
    on_shelf: bool | None

    @property
    def row(self) -> tuple[str, ...]:
        """It as a row of a table."""
        size, fitted = self.size, self.fitted
        squeeze = fitted.squeeze_pct
        notes = (*(["on the shelf"] if self.on_shelf else []), *([size.unchecked] if size.unchecked else []))
        return (
            size.name,
            VERDICTS[self.verdict],
            f"{self.margin:.2f}",
            f"{squeeze.least:.0f}/{squeeze.nominal:.0f}/{squeeze.most:.0f}",
            "" if fitted.stretch_pct is None else f"{fitted.stretch_pct.nominal:.1f}",
            "" if fitted.fill_pct is None else f"{fitted.fill_pct.most:.0f}",
            f"{size.id_mm:.2f} × {size.cross_section_mm:.2f}",
            f"{size.id_mm / MM_PER_INCH:.3f} × {size.cross_section_mm / MM_PER_INCH:.3f}",
            "; ".join(notes),
        )


HEADER: Final = ("size", "here", "margin", "squeeze %", "stretch %", "most fill %", "ID × width mm", "in", "")


@dataclass(frozen=True)
class LookAlike(Sealing):
    """A ring near in size but not to be trusted in this groove. `why`: the first reason against it."""

    why: Criterion


@dataclass(frozen=True)
class RingMatch:
    """What the measured ring can be: by its readings alone, and with the groove as evidence too."""

    size: Size
    probability: float
    probability_by_readings: float
    verdict: Verdict


@dataclass(frozen=True)
class Identity:
    """Which sizes the measured ring can be, likeliest first. `told_apart`: what the groove decided."""

    matches: tuple[RingMatch, ...]
    none_probability: float
    told_apart: str

    def lines(self, limit: int, unit: str) -> list[str]:
        """The likely ones in a table, with how sure and whether they seal here."""
        likely = [one for one in self.matches if max(one.probability, one.probability_by_readings) >= LIKELY][:limit]
        rows = [
            (
                one.size.name,
                percent(one.probability_by_readings),
                VERDICTS[one.verdict],
                percent(one.probability),
                catalog.quantity.both_units(one.size.id_mm, first=unit),
                catalog.quantity.both_units(one.size.cross_section_mm, first=unit),
            )
            for one in likely
        ]
        header = ("it can be", "by readings", "here", "with the groove", "ID", "width")
        none = f"none of these: {percent(self.none_probability)}"
        return [self.told_apart, *table(header, rows, right=(1, 3)), none]


@dataclass(frozen=True)
class Turn:
    """With more play than this the verdict is that."""

    over_mm: float
    verdict: Verdict


@dataclass(frozen=True)
class Play:
    """How the part was taken to lie. `pushed_over_mm`: how far the gap opens on one side, half the play.

    `turns`: where nobody measured the play, what more of it would do.
    """

    taken: Literal[
        "no play in this kind of groove",
        "play as given",
        "clearance taken as play",
        "guided centred, as said",
        "play unknown, taken as centred",
    ]
    pushed_over_mm: float
    words: str
    turns: tuple[Turn, ...]


@dataclass(frozen=True)
class BackUps:
    """Groove widths with back-up rings as a table prints them. `room_for`: how many this groove has room for."""

    table: str
    width_with_one_mm: float
    width_with_two_mm: float
    room_for: Literal[0, 1, 2]
    source: str
    standing: Standing
    words: str

    @property
    def sourced(self) -> str:
        """The table, and how far it is trusted."""
        return f"{self.source}; {catalog.standing.Standing(self.standing).words}"

    @property
    def line(self) -> str:
        """The widths and the room, with their source."""
        return f"Back-up rings: {self.words} [{self.sourced}]."


@dataclass(frozen=True)
class GrooveAnswer(Answer):
    """A ring judged in a groove, or the rings that seal in it. Lengths in mm.

    `ring`: the one that was asked about, None where none was. `rings`: what else seals, or without a ring every one
    that seals or is marginal; best first, cut to what was asked for. `look_alikes`: near in size, but not to be trusted
    here. `back_ups`: for the ring asked about, or the best one. `to_measure`: before this is trusted.
    """

    SCHEMA: ClassVar[str] = "kitwright.groove/2"

    groove: Groove
    service: Service | None
    ring: Sealing | None
    identity: Identity | None
    rings: tuple[Sealing, ...]
    rings_in_all: int
    look_alikes: tuple[LookAlike, ...]
    look_alikes_in_all: int
    play: Play
    back_ups: BackUps | None
    to_measure: tuple[str, ...]
    caution: str
    unit: str = said("mm")
    limit: int = said(10)
    shelf_first: bool = said(False)

    @property
    def found(self) -> bool:
        """Whether the ring asked about may be used here, or any ring."""
        return bool(self.rings) if self.ring is None else self.ring.verdict != "will not"

    def words(self) -> list[str]:
        """The verdict first, then the figures, then why, then what was understood."""
        lines = self._ranked() if self.ring is None else self._judged(self.ring)
        if self.identity is not None:
            lines += ["", "The ring that was measured:", *self.identity.lines(self.limit, self.unit)]
        if self.back_ups is not None:
            lines += ["", self.back_ups.line]
        lines += ["", f"Understood: {self.groove.said(self.unit)}."]
        lines += [self.play.words] if self.play.words else []
        lines += [f"Measure this before you trust it: {what}" for what in self.to_measure]
        return [*lines, *cautions("relieve", "no-hand"), self.caution]

    def _judged(self, own: Sealing) -> list[str]:
        size = own.size
        unchecked = f" [{size.unchecked}]" if size.unchecked else ""
        lines = [
            f"{size.name}: {VERDICTS[own.verdict]} ({size.dimensions(self.unit)}){unchecked}",
            margin_words(own.margin),
            "",
            *own.fitted.lines("as fitted"),
        ]
        if own.served is not None:
            lines += ["", *own.served.lines("in service")]
        lines += ["", "Why:", *(f"  {one.words}" for one in own.reasons), ""]
        if self.rings:
            lines += [f"Also seals here{_cut(len(self.rings), self.rings_in_all)}:", *self._table()]
        else:
            lines.append("No other standard size seals here.")
        if self.look_alikes:
            cut = _cut(len(self.look_alikes), self.look_alikes_in_all)
            lines += ["", f"Near in size, but not to be trusted here{cut}:"]
            lines += [f"  {one.size.name}: {VERDICTS[one.verdict]}. {one.why.text}" for one in self.look_alikes]
        return lines

    def _ranked(self) -> list[str]:
        if not self.rings:
            return [NOTHING]
        best = self.rings[0]
        first = "what is on the shelf first, then " if self.shelf_first else ""
        cut = _cut(len(self.rings), self.rings_in_all)
        return [
            f"{best.size.name}: {VERDICTS[best.verdict]} ({best.size.dimensions(self.unit)})",
            margin_words(best.margin),
            "",
            f"Rings for this groove, {first}most margin in the worst case first{cut}:",
            *self._table(),
        ]

    def _table(self) -> list[str]:
        return table(HEADER, [one.row for one in self.rings], right=(2, 3, 4, 5))


def margin_words(margin: float) -> str:
    """The margin, with what it means."""
    return f"Margin in the worst case: {margin:.2f} (1 is mid-band, 0 is at a limit, below 0 is past it)."


def _cut(shown: int, of: int) -> str:
    return f" ({shown} of {of})" if of > shown else ""


# From the catalog's records


def groove_of(groove: Measured, readings: Sequence[Read]) -> Groove:
    """A groove as answers tell it."""
    return Groove(
        kind=groove.kind.value,
        motion=groove.motion.value,
        inner_mm=span_of(groove.inner),
        outer_mm=span_of(groove.outer),
        depth_mm=span_of(groove.depth),
        width_mm=span_of(groove.width),
        chamfer_deg=span_of(groove.chamfer),
        clearance_mm=None if groove.clearance is None else round(groove.clearance, 4),
        play_mm=None if groove.play is None else round(groove.play, 4),
        centred=groove.centred,
        readings=tuple(
            GrooveReading(one.name, round(one.value_mm, 4), round(one.plus_minus_mm, 4), one.tool.value)  # type: ignore[arg-type]
            for one in readings
        ),
        label=groove.label,
        source=groove.source,
    )


def service_of(service: AtWork | None) -> Service | None:
    """What the ring meets at work, as answers tell it."""
    if service is None:
        return None
    return Service(service.volume_swell, service.temperature_c, service.pressure_bar, service.shore_a)


def criterion_of(reason: Judged) -> Criterion:
    """One judged figure as answers tell it."""
    return Criterion(
        about=reason.about,
        verdict=reason.verdict.value,
        text=reason.text,
        rule=reason.rule,
        source=reason.source,
        standing=reason.standing.value,
    )


def _figures_of(figures: reckoned.Figures) -> Figures:
    return Figures(
        squeeze_pct=span_of(figures.squeeze),
        squeeze_mm=span_of(figures.squeeze_mm),
        stretch_pct=span_of(figures.stretch),
        od_compression_pct=span_of(figures.od_compression),
        width_loss_pct=span_of(figures.width_loss),
        width_mm=span_of(figures.section_mm),
        fill_pct=span_of(figures.fill),
        depth_mm=span_of(figures.depth_mm),
    )


def sealing_of(sealing: gland.Sealing, shelf: Collection[str] | None = None) -> Sealing:
    """A judged ring as answers tell it; `shelf`: the sizes that lie there, None where nobody asked."""
    return Sealing(
        size=size_of(sealing.ring),
        verdict=sealing.verdict.value,
        margin=round(sealing.margin, 4),
        fitted=_figures_of(sealing.fitted),
        served=None if sealing.served is None else _figures_of(sealing.served),
        reasons=tuple(map(criterion_of, sealing.reasons)),
        because=reasons_of(sealing.because),
        on_shelf=None if shelf is None else sealing.ring.key in shelf,
    )


def look_alikes_of(found: Interchange, limit: int, shelf: Collection[str] | None) -> tuple[LookAlike, ...]:
    """What only looks as if it would do, as answers tell it."""
    return tuple(
        LookAlike(**vars(sealing_of(one.sealing, shelf)), why=criterion_of(one.why))
        for one in found.look_alikes[:limit]
    )


def identity_of(found: JointRanking, limit: int) -> Identity:
    """What a measured ring can be, as answers tell it: so many, and all that are likely by either evidence."""
    told = [
        one
        for at, one in enumerate(found.joints)
        if at < limit or max(one.probability, one.match.probability) >= LIKELY
    ]
    return Identity(
        tuple(
            RingMatch(
                size_of(one.match.size),
                round(one.probability, 6),
                round(one.match.probability, 6),
                one.sealing.verdict.value,
            )
            for one in told
        ),
        round(found.none_probability, 6),
        found.told_apart,
    )


def play_of(groove: Measured, guide: Guide) -> Play:
    """How the part was taken to lie, as answers tell it."""
    turns = tuple(Turn(round(one.play_mm, 4), one.verdict.value) for one in guide.turns)
    return Play(groove.guiding.value, round(groove.pushed_mm / 2, 4), guide.words, turns)


def back_ups_of(found: Printed | None) -> BackUps | None:
    """Widths with back-up rings, as answers tell them."""
    if found is None:
        return None
    return BackUps(
        table=found.table,
        width_with_one_mm=round(found.width_one_mm, 4),
        width_with_two_mm=round(found.width_two_mm, 4),
        room_for=found.room,  # type: ignore[arg-type]
        source=found.source,
        standing=found.standing.value,
        words=found.words,
    )
