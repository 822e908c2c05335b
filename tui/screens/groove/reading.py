"""From what was typed to what is shown: runs in a worker's thread, touches no widget, imports the catalog inside."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING, NamedTuple

from catalog.orings.groove import Groove, GrooveKind, Motion
from tui.fields.units import kept
from tui.screens.groove.draft import Slot

if TYPE_CHECKING:
    from catalog.orings.candidates import Interchange
    from catalog.orings.figures import Service
    from catalog.orings.gland import Sealing
    from catalog.orings.groove_reading import GrooveReading, GrooveTool
    from catalog.orings.match import Match, Ranking
    from catalog.orings.sizes import RingSize
    from catalog.orings.span import Range
    from catalog.quantity import Typed

MEASURED = "measured"
CENTRED = ("centred", "centered", "c")
ASSUMED = "A standard groove, not a measured one: it does not weigh the sizes."
# What a person types for a ring is short; the longest label has 13 letters.
LONGEST_NAME = 40
_NUMBER = re.compile(r"[+-]?(?:\d{1,6}(?:[.,]\d{0,6})?|[.,]\d{1,6})")


class Note(NamedTuple):
    """What is said at a field: what was understood and its limits, or one sentence about what is wrong."""

    echo: str = ""
    error: str = ""
    limit: str = ""


class Line(NamedTuple):
    """A ring of the list: how likely by its readings and with the groove, and how it seals. None: not known."""

    ring: RingSize
    also: tuple[RingSize, ...] = ()
    by_readings: float | None = None
    sealing: Sealing | None = None
    with_groove: float | None = None


class Judged(NamedTuple):
    """Everything the screen shows. `missing` says what is still to be typed; `told` what the groove decided."""

    notes: Mapping[str, Note]
    groove: Groove | None
    service: Service | None
    missing: str
    lines: tuple[Line, ...]
    none_probability: float | None
    told: str
    rings: tuple[Sealing, ...]
    readings: tuple[GrooveReading, ...] = ()


class Asked(NamedTuple):
    """Everything the answer depends on."""

    kind: GrooveKind
    motion: Motion
    slots: tuple[Slot, ...]
    texts: Mapping[str, str]
    standard: Groove | None
    unit: str
    preferred: frozenset[str]
    tool: GrooveTool | None = None


NOTHING = Judged({}, None, None, "", (), None, "", ())
_MUST: Mapping[GrooveKind, tuple[str, ...]] = {
    GrooveKind.PISTON: ("root", "width"),
    GrooveKind.ROD: ("rod", "width"),
    GrooveKind.FACE_INSIDE: ("outer", "depth", "width"),
    GrooveKind.FACE_OUTSIDE: ("inner", "depth", "width"),
    GrooveKind.PORT: ("neck", "mouth", "chamfer"),
}
_EITHER: Mapping[GrooveKind, tuple[str, str]] = {
    GrooveKind.PISTON: ("bore", "depth"),
    GrooveKind.ROD: ("bottom", "depth"),
}


def judge(asked: Asked, ranking: Ranking | None) -> Judged:
    """Read every field, build the groove, weigh the measured ring by it, rank the rings that seal in it.

    A field that cannot be read gets its sentence; the others still count.
    """
    reader = _Reader(asked)
    judged = _judged(asked, ranking, reader)
    return judged._replace(readings=tuple(reader.readings))


def _judged(asked: Asked, ranking: Ranking | None, reader: _Reader) -> Judged:
    from catalog.orings.candidates import rings_for
    from catalog.orings.gland import assess
    from catalog.orings.joint import with_groove

    named = reader.ring()
    service = reader.service()
    groove = reader.groove()
    missing = "" if groove is not None else reader.missing()
    if groove is None:
        typed = [] if named is None else [Line(named)]
        matches = ranking.matches if ranking is not None else ()
        lines = (*typed, *(Line(match.size, match.also, match.probability) for match in matches))
        none = ranking.none_probability if ranking is not None else None
        return Judged(reader.notes, None, service, missing, lines, none, "", ())
    typed = [] if named is None else [Line(named, sealing=assess(named, groove, service=service))]
    rings = rings_for(groove, service=service, preferred=asked.preferred)
    if ranking is None:
        return Judged(reader.notes, groove, service, "", tuple(typed), None, "", rings)
    if asked.standard is not None:
        # Nobody measured this groove, so it says nothing of which ring was in it.
        assumed = tuple(
            Line(match.size, match.also, match.probability, assess(match.size, groove, service=service))
            for match in ranking.matches
        )
        return Judged(
            reader.notes, groove, service, "", (*typed, *assumed), ranking.none_probability, ASSUMED, rings
        )  # fmt: skip
    joint = with_groove(ranking, groove, service=service)
    measured = (_line(one.match, one.sealing, one.probability) for one in joint.joints)
    return Judged(
        reader.notes, groove, service, "", (*typed, *measured), joint.none_probability, joint.told_apart, rings
    )


def _line(match: Match, sealing: Sealing, probability: float) -> Line:
    return Line(match.size, match.also, match.probability, sealing, probability)


def instead(ring: RingSize, groove: Groove, service: Service | None, preferred: Collection[str]) -> Interchange:
    """What may replace a ring in the groove, and what only looks as if it would."""
    from catalog.orings.candidates import interchange

    return interchange(ring, groove, service=service, preferred=preferred)


def standard_texts(groove: Groove, unit: str) -> dict[str, str]:
    """A standard groove as it would be typed, by the fields' keys."""
    names = {
        GrooveKind.PISTON: ("root", "bore"),
        GrooveKind.ROD: ("rod", "bottom"),
        GrooveKind.FACE_INSIDE: ("", "outer"),
        GrooveKind.FACE_OUTSIDE: ("inner", ""),
        GrooveKind.PORT: ("neck", "mouth"),
    }[groove.kind]
    sizes = {names[0]: groove.inner, names[1]: groove.outer, "depth": groove.depth, "width": groove.width}
    return {key: _as_typed(value, unit) for key, value in sizes.items() if key and value is not None}


def _as_typed(value: Range, unit: str) -> str:
    from catalog.orings.span import between
    from catalog.quantity import format_length

    middle = between(value.minimum, value.maximum)
    half = middle.maximum - middle.nominal
    places = 4 if unit == "in" else 3
    text = format_length(middle.nominal, unit, decimals=places).removesuffix(f" {unit}")
    if half <= 0:
        return text
    return f"{text}±{format_length(half, unit, decimals=places).removesuffix(f' {unit}')}"


class _Reader:
    def __init__(self, asked: Asked) -> None:
        self._asked = asked
        self.notes: dict[str, Note] = {}
        self.readings: list[GrooveReading] = []

    def _text(self, key: str) -> str:
        shown = any(slot.key == key for slot in self._asked.slots)
        return self._asked.texts.get(key, "").strip() if shown else ""

    def _refuse(self, key: str, problem: Exception | str) -> None:
        self.notes[key] = Note(error=str(problem))

    def _typed(self, key: str) -> Typed | None:
        from catalog.quantity import Kind, parse

        text = self._text(key)
        if not text:
            return None
        try:
            return parse(text, kind=Kind.LENGTH, bare_unit=self._asked.unit)
        except ValueError as problem:
            self._refuse(key, problem)
            return None

    def _length(self, key: str) -> Range | None:
        """A size of the groove with the ± that was typed, or its tool's."""
        from catalog.orings.groove_reading import groove_reading

        if (typed := self._typed(key)) is None:
            return None
        stated = typed.plus_minus_in("mm")
        try:
            read = groove_reading(
                key, float(typed.to("mm")), None if stated is None else float(stated), self._asked.tool
            )
            value = read.range
        except ValueError as problem:
            self._refuse(key, problem)
            return None
        self.readings.append(read)
        printed = self._asked.standard is not None
        self.notes[key] = Note(echo=typed.echo(), limit="as printed" if printed else _limit(read, self._asked.unit))
        return value

    def _gap(self, key: str, zero: str) -> float | None:
        """A clearance or play, mm, at its most where a ± was typed."""
        if self._text(key) in ("0", "0.0", "0,0"):
            self.notes[key] = Note(echo=zero)
            return 0.0
        if (typed := self._typed(key)) is None:
            return None
        self.notes[key] = Note(echo=typed.echo())
        return float(typed.to("mm")) + float(typed.plus_minus_in("mm") or 0)

    def _number(self, key: str, example: str, low: float, high: float) -> float | None:
        text = self._text(key).removesuffix("%").removesuffix("°").strip()
        if not text:
            return None
        value = float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else None
        if value is None or not low <= value <= high:
            self._refuse(key, f"Type a number from {low:g} to {high:g}, such as {example}.")
            return None
        return value

    def ring(self) -> RingSize | None:
        """The ring that was named."""
        from catalog.orings.sizes import find

        text = self._text("ring")
        if not text:
            return None
        size = find(text) if len(text) <= LONGEST_NAME else None
        if size is None:
            self._refuse("ring", "That is no standard size; type it like AS568-214, P22A or 25x3.55.")
        else:
            self.notes["ring"] = Note(echo=f"{size.label}: {size.id_mm:g} × {size.cross_section_mm:g} mm")
        return size

    def service(self) -> Service | None:
        """What the ring meets at work, None where nothing was typed."""
        from catalog.orings.figures import Service
        from catalog.quantity import Kind, parse

        found: dict[str, float] = {}
        for key, kind, unit in (("pressure", Kind.PRESSURE, "bar"), ("warmth", Kind.TEMPERATURE, "°C")):
            if text := self._text(key):
                try:
                    typed = parse(text, kind=kind, bare_unit=kept().bare(kind))
                    found[key] = float(typed.to(unit))
                    self.notes[key] = Note(echo=typed.echo())
                except ValueError as problem:
                    self._refuse(key, problem)
        for key, example, low, high in (("hardness", "70", 50, 95), ("swell", "10", -50, 200)):
            if (value := self._number(key, example, low, high)) is not None:
                found[key] = value
                self.notes[key] = Note(echo=f"{value:g} %" if key == "swell" else f"{value:g} Shore A")
        if found.get("pressure", 0.0) < 0:
            self._refuse("pressure", "A pressure is above zero; on a vacuum leave it empty.")
            found.pop("pressure")
        if not found:
            return None
        usual = Service()
        service = Service(
            volume_swell=found.get("swell", usual.volume_swell),
            temperature_c=found.get("warmth", usual.temperature_c),
            pressure_bar=found.get("pressure"),
            shore_a=round(found.get("hardness", usual.shore_a)),
        )
        try:
            _ = service.ring_factor
        except ValueError as problem:
            self._refuse("warmth", problem)
            return service._replace(temperature_c=usual.temperature_c)
        return service

    def groove(self) -> Groove | None:
        """The groove as measured, or the standard one while its fields stand untouched."""

        asked = self._asked
        read = {slot.key: self._length(slot.key) for slot in asked.slots if slot.size and slot.key != "chamfer"}
        clearance = self._gap("gap", "0: metal meets metal")
        if asked.standard is not None:
            self.readings = []
            return self._guided(asked.standard, clearance)
        if any(self.notes[key].error for key in read if key in self.notes) or not self._complete(read):
            return None
        built = self._built(read)
        return None if built is None else self._guided(built, clearance)

    def _built(self, read: Mapping[str, Range | None]) -> Groove | None:
        from catalog.orings import groove as build

        asked, motion = self._asked, self._asked.motion
        try:
            if asked.kind is GrooveKind.PORT:
                return self._port(read)
            width = _had(read["width"])
            if asked.kind is GrooveKind.PISTON:
                return build.piston(
                    *(_had(read["root"]), width), bore=read["bore"], depth=read["depth"], motion=motion,
                    label=MEASURED, source=MEASURED,
                )  # fmt: skip
            if asked.kind is GrooveKind.ROD:
                return build.rod(
                    *(_had(read["rod"]), width), groove_diameter=read["bottom"], depth=read["depth"], motion=motion,
                    label=MEASURED, source=MEASURED,
                )  # fmt: skip
            inside = asked.kind is GrooveKind.FACE_INSIDE
            face = build.face_inside if inside else build.face_outside
            seat = _had(read["outer" if inside else "inner"])
            return face(seat, _had(read["depth"]), width, label=MEASURED, source=MEASURED)
        except ValueError as problem:
            self._refuse(self._blamed(read), problem)
            return None

    def _guided(self, groove: Groove, clearance: float | None) -> Groove | None:
        """The groove with its clearance and play; what cannot be is said at the field and leaves no groove."""
        from catalog.orings.groove import guided

        centred = self._text("play").lower() in CENTRED
        play = None
        if centred:
            self.notes["play"] = Note(echo="something holds it in the middle")
        else:
            play = self._gap("play", "0: no play")
        if any(self.notes.get(key, Note()).error for key in ("gap", "play")):
            return None
        try:
            return guided(groove, clearance=clearance, play=play, centred=centred)
        except ValueError as problem:
            self._refuse("gap" if play is None else "play", problem)
            return None

    def _port(self, read: Mapping[str, Range | None]) -> Groove | None:
        from catalog.orings import groove as build
        from catalog.orings.span import span

        angle = self._number("chamfer", "12", 0, 45)
        if angle is None:
            return None
        self.notes["chamfer"] = Note(echo=f"{angle:g}° from the axis")
        return build.port(_had(read["neck"]), _had(read["mouth"]), span(angle), label=MEASURED, source=MEASURED)

    def _complete(self, read: Mapping[str, Range | None]) -> bool:
        kind = self._asked.kind
        one, other = _EITHER.get(kind, ("", ""))
        if one and read[one] is not None and read[other] is not None:
            names = {slot.key: slot.name.lower() for slot in self._asked.slots}
            self._refuse(other, f"Give the {names[one]} or the depth, not both. Empty one of them.")
            return False
        there = all(self._text(key) for key in _MUST[kind])
        return there and (not one or read[one] is not None or read[other] is not None)

    def _blamed(self, read: Mapping[str, Range | None]) -> str:
        """The field that a sentence about two sizes stands at."""
        one, other = _EITHER.get(self._asked.kind, ("", ""))
        if one:
            return one if read[one] is not None else other
        return "mouth" if self._asked.kind is GrooveKind.PORT else "width"

    def missing(self) -> str:
        """What is still to be typed, in a sentence; "" where a field has an error to be read first."""
        for slot in self._asked.slots:
            if (slot.size or slot.key in ("gap", "play")) and (error := self.notes.get(slot.key, Note()).error):
                return f"“{slot.name}” can't be read. {error}"
        names = {slot.key: slot.name.lower() for slot in self._asked.slots}
        lacking = [names[key] for key in _MUST[self._asked.kind] if not self._text(key)]
        one, other = _EITHER.get(self._asked.kind, ("", ""))
        if one and not self._text(one) and not self._text(other):
            lacking.append(f"{names[one]} or {names[other]}")
        return f"Still to measure: {', '.join(lacking)}." if lacking else ""


def _limit(read: GrooveReading, unit: str) -> str:
    """The ± a size was taken with, and of which tool: "±0.04 caliper"."""
    from catalog.orings.groove_reading import GrooveTool

    off = f"±{read.plus_minus_mm / 25.4:.4f}" if unit == "in" else f"±{read.plus_minus_mm:.2g}"
    if read.tool is GrooveTool.STATED:
        return "as typed"
    return f"{off} {'gauge' if read.tool is GrooveTool.DEPTH_GAUGE else read.tool.value}"


def _had(value: Range | None) -> Range:
    assert value is not None
    return value
