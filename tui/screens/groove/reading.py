"""From what was typed to what is shown: runs in a worker's thread, touches no widget."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

import catalog
from catalog import orings
from catalog.orings.groove import Groove, GrooveKind, Motion
from tui.fields.field import Asked as Reading
from tui.fields.field import FieldError
from tui.fields.grooves import CENTRED
from tui.fields.quantities import in_mm
from tui.fields.units import kept
from tui.fields.words import in_a_form
from tui.operations import groove as question
from tui.screens.groove.draft import Slot

if TYPE_CHECKING:
    from catalog.orings.candidates import Interchange
    from catalog.orings.figures import Service
    from catalog.orings.gland import Sealing
    from catalog.orings.groove_reading import GrooveReading, GrooveTool
    from catalog.orings.match import Match, Ranking
    from catalog.orings.size_book import SizeBook
    from catalog.orings.sizes import RingSize
    from catalog.orings.span import Range
    from tui.fields.field import Look

ASSUMED = "A standard groove, not a measured one: it does not weigh the sizes."


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
    """Everything the answer depends on.

    `book`: the ring sizes there are; `look`: into the workshop, for a size of its own that is named.
    """

    kind: GrooveKind
    motion: Motion
    slots: tuple[Slot, ...]
    texts: Mapping[str, str]
    standard: Groove | None
    unit: str
    preferred: frozenset[str]
    tool: GrooveTool | None = None
    book: SizeBook | None = None
    look: Look | None = None

    @property
    def sizes(self) -> SizeBook:
        """The ring sizes there are, the standard ones until the workshop was read."""
        return self.book or orings.size_book.built_in()


NOTHING = Judged({}, None, None, "", (), None, "", ())


def judge(asked: Asked, ranking: Ranking | None) -> Judged:
    """Read every field, build the groove, weigh the measured ring by it, rank the rings that seal in it.

    A field that cannot be read gets its sentence; the others still count.
    """
    reader = _Reader(asked)
    judged = _judged(asked, ranking, reader)
    return judged._replace(readings=tuple(reader.readings))


def _judged(asked: Asked, ranking: Ranking | None, reader: _Reader) -> Judged:
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
    typed = [] if named is None else [Line(named, sealing=orings.gland.assess(named, groove, service=service))]
    rings = orings.candidates.rings_for(groove, asked.sizes.sizes, service=service, preferred=asked.preferred)
    if ranking is None:
        return Judged(reader.notes, groove, service, "", tuple(typed), None, "", rings)
    if asked.standard is not None:
        # Nobody measured this groove, so it says nothing of which ring was in it.
        assumed = tuple(
            Line(match.size, match.also, match.probability, orings.gland.assess(match.size, groove, service=service))
            for match in ranking.matches
        )
        return Judged(
            reader.notes, groove, service, "", (*typed, *assumed), ranking.none_probability, ASSUMED, rings
        )  # fmt: skip
    joint = orings.joint.with_groove(ranking, groove, service=service)
    measured = (_line(one.match, one.sealing, one.probability) for one in joint.joints)
    return Judged(
        reader.notes, groove, service, "", (*typed, *measured), joint.none_probability, joint.told_apart, rings
    )


def _line(match: Match, sealing: Sealing, probability: float) -> Line:
    return Line(match.size, match.also, match.probability, sealing, probability)


def instead(
    ring: RingSize, groove: Groove, service: Service | None, preferred: Collection[str], book: SizeBook
) -> Interchange:
    """What may replace a ring in the groove, and what only looks as if it would."""
    return orings.candidates.interchange(ring, groove, book.sizes, service=service, preferred=preferred)


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
    middle = orings.span.between(value.minimum, value.maximum)
    half = middle.maximum - middle.nominal
    places = 4 if unit == "in" else 3
    text = catalog.quantity.format_length(middle.nominal, unit, decimals=places).removesuffix(f" {unit}")
    if half <= 0:
        return text
    return f"{text}±{catalog.quantity.format_length(half, unit, decimals=places).removesuffix(f' {unit}')}"


class _Reader:
    """Reads every field that is shown, notes what is said at each, and puts groove, ring and service together."""

    def __init__(self, asked: Asked) -> None:
        self._asked = asked
        self._units = Reading(kept(asked.unit), look=asked.look)
        self._slots = {slot.key: slot for slot in asked.slots}
        self.notes: dict[str, Note] = {}
        self.readings: list[GrooveReading] = []
        self._values = {slot.key: self._value(slot) for slot in asked.slots}

    def _text(self, key: str) -> str:
        return self._asked.texts.get(key, "").strip() if key in self._slots else ""

    def _refuse(self, key: str, problem: Exception | str) -> None:
        self.notes[key] = Note(error=in_a_form(str(problem)))

    def _value(self, slot: Slot) -> Any:
        """What a field holds, None where it is empty or can't be read; either is noted."""
        if not (text := self._text(slot.key)):
            return None
        try:
            value = slot.field.from_text(text, self._units)
        except FieldError as problem:
            self._refuse(slot.key, problem)
            return None
        self.notes[slot.key] = Note(echo=slot.field.echo(value, self._units))
        return value

    def _size(self, key: str) -> Range | None:
        """A size of the groove with the ± that was typed, or its tool's."""
        typed = self._values[key]
        if typed is None:
            return None
        try:
            name = self._slots[key].field.name
            read = orings.measured_groove.reading_of(self._asked.kind, name, *in_mm(typed), self._asked.tool)
            value = read.range
        except ValueError as problem:
            self._refuse(key, problem)
            return None
        self.readings.append(read)
        printed = self._asked.standard is not None
        limit = "as printed" if printed else _limit(read, self._asked.unit)
        self.notes[key] = self.notes[key]._replace(limit=limit)
        return value

    def ring(self) -> RingSize | None:
        """The ring that was named."""
        key = self._values["ring"]
        return None if key is None else self._asked.sizes.by_key(key)

    def service(self) -> Service | None:
        """What the ring meets at work, None where nothing was typed."""
        return question.service_from(self._values)

    def groove(self) -> Groove | None:
        """The groove as measured, or the standard one while its fields stand untouched."""
        asked = self._asked
        read = {slot.key: self._size(slot.key) for slot in asked.slots if slot.size and slot.key != "chamfer"}
        if asked.standard is not None:
            self.readings = []
            return self._guided(asked.standard)
        if any(self.notes[key].error for key in read if key in self.notes) or not self._complete(read):
            return None
        built = self._built(read)
        return None if built is None else self._guided(built)

    def _built(self, read: Mapping[str, Range | None]) -> Groove | None:
        asked = self._asked
        sizes = {self._slots[key].field.name: value for key, value in read.items() if value is not None}
        if asked.kind is GrooveKind.PORT:
            if self._values["chamfer"] is None:
                return None
            sizes["chamfer"] = orings.span.span(self._values["chamfer"])
        try:
            return orings.measured_groove.built(asked.kind, asked.motion, sizes)
        except ValueError as problem:
            self._refuse(self._blamed(read), problem)
            return None

    def _guided(self, groove: Groove) -> Groove | None:
        """The groove with its clearance and play; what cannot be is said at the field and leaves no groove."""
        if any(self.notes.get(key, Note()).error for key in ("clearance", "play")):
            return None
        clearance, play = self._values.get("clearance"), self._values.get("play")
        mm = None if play is None else play.mm
        try:
            gap = None if clearance is None else clearance.mm
            return orings.groove.guided(groove, clearance=gap, play=mm, centred=play == CENTRED)
        except ValueError as problem:
            self._refuse("clearance" if mm is None else "play", problem)
            return None

    def _needs(self) -> tuple[list[str], list[str]]:
        """The keys of what this kind of groove must have, and of what it must have one of."""
        takes = orings.measured_groove.TAKES[self._asked.kind]
        by_name = {slot.field.name: slot.key for slot in self._asked.slots}
        return [by_name[name] for name in takes.must], [by_name[name] for name in takes.either]

    def _complete(self, read: Mapping[str, Range | None]) -> bool:
        must, either = self._needs()
        there = [key for key in either if read[key] is not None]
        if len(there) > 1:
            one, other = (self._slots[key].name.lower() for key in either)
            self._refuse(either[1], f"Give the {one} or the {other}, not both. Empty one of them.")
            return False
        return all(self._text(key) for key in must) and (not either or bool(there))

    def _blamed(self, read: Mapping[str, Range | None]) -> str:
        """The field that a sentence about two sizes stands at."""
        _, either = self._needs()
        if either:
            return next(key for key in either if read[key] is not None)
        return "mouth" if self._asked.kind is GrooveKind.PORT else "width"

    def missing(self) -> str:
        """What is still to be typed, in a sentence; "" where a field has an error to be read first."""
        for slot in self._asked.slots:
            if (slot.size or slot.key in ("clearance", "play")) and (error := self.notes.get(slot.key, Note()).error):
                return f"“{slot.name}” can't be read. {error}"
        must, either = self._needs()
        lacking = [self._slots[key].name.lower() for key in must if not self._text(key)]
        if either and not any(map(self._text, either)):
            lacking.append(" or ".join(self._slots[key].name.lower() for key in either))
        return f"Still to measure: {', '.join(lacking)}." if lacking else ""


def _limit(read: GrooveReading, unit: str) -> str:
    """The ± a size was taken with, and of which tool: "±0.04 caliper"."""
    off = f"±{read.plus_minus_mm / 25.4:.4f}" if unit == "in" else f"±{read.plus_minus_mm:.2g}"
    if read.tool is orings.groove_reading.GrooveTool.STATED:
        return "as typed"
    return f"{off} {'gauge' if read.tool is orings.groove_reading.GrooveTool.DEPTH_GAUGE else read.tool.value}"
