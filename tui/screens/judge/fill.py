"""Fill: marks, what drained, what was poured; how much more, how far over, and which packs to open."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Note, Ruling, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.sight_glass import Glass, SightGlass

if TYPE_CHECKING:
    from catalog.fluids.fill import Level, Marks, Pour
    from catalog.fluids.packs import Opened, Pack
    from tui.screens.judge.reading import Reader

MOST_POURS = 40
# Drums and totes are drawn from, not opened for one fill.
LARGEST_PACK = 25_000_000
# Between digits a comma is a decimal comma; elsewhere it parts two pours.
_PART = re.compile(r"(?<!\d),|,(?!\d)|;")
_REUSED = re.compile(r"\b(?:reused?|back|clean)\b", re.IGNORECASE)


class FillPanel(Panel):
    """The tally of one fill."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("low", "Low mark", "holds at low", heading="The system holds", quantity="volume"),
        Ask("full", "Full mark", "holds at full", quantity="volume"),
        Ask("before", "Held", "before, if known", quantity="volume"),
        Ask("drained", "Drained", "came out", heading="What you did", quantity="volume"),
        Ask("pours", "Poured", "6 qt, 5 qt, 1 L reused", wide=True),
        Ask("packs", "Packs", "1 gal=2, 1 qt; empty: the usual ones", wide=True, heading="Packs on hand"),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "low": "11 qt", "full": "12 qt", "drained": "10 qt", "pours": "6 qt, 4 qt", "packs": "1 qt, 1 gal",
    }  # fmt: skip
    CAUTION = "Check the level at the mark. The machine's manual has the last word."
    HEADING = "Volume"
    EMPTY = "Type what the system holds at the full mark. Then what was poured, pour by pour."

    def drawing(self) -> Widget:
        """The glass."""
        return SightGlass(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Where the level stands and what is missing."""
        from catalog.fluids.fill import State, marks, tally
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        low, full, before = _volume(reader, "low"), _volume(reader, "full"), _volume(reader, "before")
        drained, pours = _volume(reader, "drained"), _pours(reader)
        packs = _packs(reader)
        if reader.wrong:
            return nothing("Put right what is marked; the level follows.", reader.notes)
        if full is None and low is None:
            return nothing(self.EMPTY, reader.notes)
        try:
            at = marks(low if low is not None else full or 0, full if full is not None else low or 0)
        except ValueError as problem:
            reader.refuse("low", problem)
            return nothing(self.EMPTY, reader.notes)
        try:
            level = tally(at, pours, drained=drained or 0, held_before=before)
        except ValueError as problem:
            reader.refuse("pours" if "poured" in str(problem) else "drained", problem)
            return nothing("Put right what is marked; the level follows.", reader.notes)
        mark = {State.AT_FULL: Mark.GOOD, State.BETWEEN: Mark.GOOD, State.AT_LOW: Mark.CARE}.get(level.state, Mark.BAD)
        if level.state is State.BELOW_LOW:
            mark = Mark.CARE
        first = _first(reader)
        says = [_lead(level, first)]
        if before is None and drained:
            says.append("What it held before is not typed, so it is taken as drained empty.")
        lines = _lines(level, at, first) + _packs_lines(level, packs, first, reader)
        glass = Glass(
            level.share(at), float(at.low / at.full), float(level.left_in / at.full), _short(level.held, first),
            _short(at.low, first), _short(at.full, first), level.state is State.OVER, at.low == at.full,
        )  # fmt: skip
        return Ruling(mark, level.state.value, tuple(says), tuple(lines), glass, reader.notes)


def _volume(reader: Reader, key: str) -> Fraction | None:
    from catalog.quantity import Kind

    return reader.quantity(key, Kind.VOLUME, "µL")


def _parts(reader: Reader, key: str) -> list[str]:
    parts = [part.strip() for part in _PART.split(reader.text(key)) if part.strip()]
    if len(parts) > MOST_POURS:
        reader.refuse(key, f"That is {len(parts)} volumes; type {MOST_POURS} at most, adding up the small ones.")
        return []
    return parts


def _read(reader: Reader, key: str, parts: Sequence[str]) -> list[Fraction]:
    from catalog.quantity import Kind, QuantityError, parse

    found, echoes = [], []
    for number, part in enumerate(parts, start=1):
        try:
            typed = parse(part, kind=Kind.VOLUME, bare_unit=reader.units.volume)
            found.append(typed.to("µL"))
            echoes.append(typed.echo())
        except QuantityError as problem:
            reader.refuse(key, f"Volume {number}: {problem}")
            return []
    if echoes:
        reader.echo(key, "; ".join(echoes))
    return found


def _pours(reader: Reader) -> list[Pour]:
    from catalog.fluids.fill import Pour

    parts = _parts(reader, "pours")
    reused = [bool(_REUSED.search(part)) for part in parts]
    volumes = _read(reader, "pours", [_REUSED.sub("", part).strip() for part in parts])
    return [Pour(volume, again) for volume, again in zip(volumes, reused, strict=False)]


def _packs(reader: Reader) -> list[Pack] | None:
    from catalog.fluids.packs import Pack, usual_packs

    parts = _parts(reader, "packs")
    if not parts:
        system = "US" if _first(reader) == "US qt" else "metric"
        return [
            Pack(pack.volume, pack.name)
            for pack in usual_packs()
            if pack.system == system and "brake" not in pack.use and pack.volume <= LARGEST_PACK
        ]
    sizes = [part.partition("=") for part in parts]
    counts = [_count(reader, size.strip(), sign, count.strip()) for size, sign, count in sizes]
    if reader.notes.get("packs", Note()).error:
        return None
    volumes = _read(reader, "packs", [size for size, _, _ in sizes])
    if volumes and any(count is not None for count in counts):
        echo = reader.notes["packs"].echo.split("; ")
        there = [said if count is None else f"{said}, {count} there" for said, count in zip(echo, counts, strict=True)]
        reader.echo("packs", "; ".join(there))
    return [
        Pack(volume, size.strip(), count) for volume, (size, _, _), count in zip(volumes, sizes, counts, strict=False)
    ] or None


def _count(reader: Reader, size: str, sign: str, count: str) -> int | None:
    """How many of a pack there are; None for as many as wanted."""
    if not sign:
        return None
    if count.isascii() and count.isdigit() and len(count) <= 4:
        return int(count)
    reader.refuse("packs", f"“{count or '='}” is no number of packs; type it like {size or '1 gal'}=2.")
    return None


def _first(reader: Reader) -> str:
    """The unit to show first: of the family that the marks were typed in."""
    from catalog.quantity import Kind, QuantityError, parse

    for key in ("full", "low"):
        try:
            typed = parse(reader.text(key), kind=Kind.VOLUME, bare_unit=reader.units.volume)
        except QuantityError:
            continue
        return "US qt" if typed.unit.startswith("US") else "L"
    return reader.units.volume


def _said(volume: Fraction, first: str) -> str:
    from catalog.quantity import format_volume

    words = format_volume(volume / 1_000_000, first=first)
    # On the glass and in the lead one unit each is enough; gallons are said in the lines.
    return re.sub(r", [\d.]+ US gal", "", words)


def _lead(level: Level, first: str) -> str:
    if level.over:
        return f"Over-filled by {_said(level.over, first)}. Drain it back to the full mark before the machine runs."
    if level.to_low:
        return f"Pour {_said(level.to_low, first)} more to the low mark, {_said(level.to_full, first)} to the full one."
    if level.to_full:
        return f"Up to {_said(level.to_full, first)} more may go in."
    return "Nothing more goes in."


def _lines(level: Level, at: Marks, first: str) -> list[Line]:
    from catalog.quantity import format_volume

    rows: list[tuple[Mark, str, Fraction]] = []
    if level.over:
        rows.append((Mark.BAD, "too much", level.over))
    else:
        if level.to_low:
            rows.append((Mark.CARE, "more to low mark", level.to_low))
        rows.append((Mark.NOTE, "more to full mark", level.to_full))
    rows += [
        (Mark.NOTE, "in the system now", level.held),
        (Mark.NOTE, "of it stayed in", level.left_in),
        (Mark.NOTE, "of it from packs", level.fresh),
        (Mark.NOTE, "of it poured back", level.reused),
        (Mark.NOTE, "goes to disposal", level.lost),
    ]
    rows += [] if at.low == at.full else [(Mark.NOTE, "low mark", at.low)]
    rows.append((Mark.NOTE, "full mark", at.full))
    # The list says the figure where it says a word elsewhere: the figure is the answer here.
    return [
        Line(mark, _short(volume, first), name, format_volume(volume / 1_000_000, first=first))
        for mark, name, volume in rows
    ]


def _short(volume: Fraction, first: str) -> str:
    """The volume in one unit, where room is short."""
    return re.split(r"[,(]", _said(volume, first))[0].strip()


def _packs_lines(level: Level, packs: Sequence[Pack] | None, first: str, reader: Reader) -> list[Line]:
    from catalog.fluids.packs import to_open

    if not packs or not level.to_full:
        return []
    found: list[Line] = []
    for name, need in (("packs, to low mark", level.to_low), ("packs, to full mark", level.to_full)):
        if not need:
            continue
        try:
            opened = to_open(need, packs)
        except ValueError as problem:
            reader.refuse("packs", problem)
            return []
        mark, word = (Mark.BAD, "short") if opened.missing else (Mark.NOTE, "open")
        found.append(Line(mark, word, name, _opened(opened, first), "least left over, then fewest packs"))
    return found


def _opened(opened: Opened, first: str) -> str:
    what = ", ".join(f"{count} × {pack.name}" for pack, count in opened.packs)
    if opened.missing:
        short = f"SHORT {_said(opened.missing, first)}"
        return f"{what}, all there is: {short}." if what else f"{short}: nothing is there."
    return f"{what}; {_said(opened.left_over, first)} stays in the pack." if opened.left_over else f"{what}, all of it."
