"""One picture for each table: a ring to scale, a class and what stands in for it, an element, a thread, a joint."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from statistics import fmean
from typing import TYPE_CHECKING, Final, NamedTuple

from catalog import fasteners, filters, fluids, orings
from tui.screens.catalog.elements import size_of
from tui.screens.catalog.entries import size_entry
from tui.screens.catalog.joints import port_entries
from tui.seal_sections import SECTIONS, SHAFT_SEAL, UNDER, WASHER
from tui.widgets.canvas import Canvas
from tui.widgets.cells import clean, fit
from tui.widgets.judge.element_in_housing import EndShape, InHousing, housing_lines
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.thread_profile import Profile, profile_lines
from tui.widgets.ring_drawing import ring_lines

if TYPE_CHECKING:
    from tui.screens.catalog.elements import ElementEntry
    from tui.screens.catalog.entries import Entry as RingEntry
    from tui.screens.catalog.reference import Entry

OPENINGS_SHOWN: Final = 4
UM_PER_INCH: Final = 25_400
WORDS_ROOM: Final = 23
"""What is not the name's of a line that says whether a class may stand in."""


class Frame(NamedTuple):
    """The room for a picture, the unit its words are in, and whether only plain characters are drawn."""

    columns: int
    rows: int
    unit: str
    plain: bool


def ring(entry: RingEntry, frame: Frame) -> list[str]:
    """From above and cut through, with the size's own tolerance."""
    size = entry.size
    inside = orings.read_limits.Extent(size.id_mm - size.id_tol_mm, size.id_mm + size.id_tol_mm)
    width = orings.read_limits.Extent(
        size.cross_section_mm - size.cross_section_tol_mm, size.cross_section_mm + size.cross_section_tol_mm
    )
    off = size.id_tol_mm + 2 * size.cross_section_tol_mm
    outside = orings.read_limits.Extent(size.od_mm - off, size.od_mm + off, read=False)
    return ring_lines(
        orings.read_limits.ReadLimits(inside, outside, width), frame.columns, frame.rows, frame.unit, plain=frame.plain
    )


def fluid(entry: Entry, frame: Frame) -> list[str]:
    """The class, and beneath it each class that has a rule for standing in: yes, with care, never."""
    marks: dict[str, Mark] = {}
    for rule in fluids.rules.built_in():
        if rule.required == entry.name:
            if rule.kind in (fluids.rules.RuleKind.UPGRADE, fluids.rules.RuleKind.ALLOWED):
                mark = Mark.CARE if rule.condition else Mark.GOOD
            else:
                mark = (
                    Mark.CARE
                    if rule.kind in (fluids.rules.RuleKind.CAUTION, fluids.rules.RuleKind.PARTIAL)
                    else Mark.BAD
                )
            marks[rule.offered] = max(mark, marks.get(rule.offered, mark), key=list(Mark).index)
    branch, last, stem = ("|-", "`-", "|") if frame.plain else ("├─", "└─", "│")
    lines = [f" {clean(entry.name)} is asked for", f" {stem}"]
    if not marks:
        return [fit(line, frame.columns) for line in (lines[0], f" {last} by the tables nothing else stands in")]
    words = {
        Mark.GOOD: "may stand in",
        Mark.CARE: "with conditions",
        Mark.BAD: "must not",
    }
    ranked = sorted(marks, key=lambda name: (tuple(words).index(marks[name]), name))
    room = max(1, frame.rows - len(lines))
    kept = ranked if len(ranked) <= room else ranked[: room - 1]
    wide = min(max(map(len, kept), default=1), max(8, frame.columns - WORDS_ROOM))
    for at, name in enumerate(kept):
        end = at == len(ranked) - 1
        mark = marks[name]
        lines.append(f" {last if end else branch} {mark.glyph(plain=frame.plain)} {fit(name, wide)} {words[mark]}")
    if len(kept) < len(ranked):
        lines.append(f" {last} and {len(ranked) - len(kept)} more")
    return [fit(line, frame.columns) for line in lines]


def element(entry: ElementEntry, frame: Frame) -> list[str]:
    """Its outline on its side, to scale: ends or gasket and thread."""
    of = entry.element
    if of is None or of.od_mm is None or of.length_mm is None:
        return [
            fit("No drawing: its diameter or its length", frame.columns),
            fit("is not known. Measure both.", frame.columns),
        ]
    ends = [EndShape(str(end.form) if end.form else "?", end.id_mm) for end in (of.first, of.second)]
    gasket = of.gasket
    sizes = f"{size_of(of.od_mm, frame.unit)} × {size_of(of.length_mm, frame.unit)} {frame.unit}"
    shape = InHousing(
        of.od_mm, of.length_mm, ends[0], ends[1], screwed=of.kind is filters.element.Kind.SPIN_ON,
        thread_mm=of.thread.diameter_mm if of.thread else None,
        gasket_mm=(gasket.id_mm, gasket.od_mm, gasket.thickness_mm or 4.0) if gasket.id_mm and gasket.od_mm else None,
        sizes=sizes, ends=("this end", "that end"),
    )  # fmt: skip
    return housing_lines(shape, frame.columns, frame.rows, plain=frame.plain)


def thread(entry: Entry, frame: Frame) -> list[str]:
    """Its profile from the side."""
    found = fasteners.sizes.find_thread(entry.name)
    if found is None:
        return []
    profile = Profile(found.diameter_mm, found.pitch_mm, found.designation, found.tapered)
    return profile_lines(profile, frame.columns, frame.rows, plain=frame.plain)


def medium(entry: Entry, frame: Frame) -> list[str]:
    """A sieve's wires and openings to scale, a ratio's share held back, a number on its scale; a thread's profile."""
    if entry.group == "thread":
        return thread(entry, frame)
    if entry.group == "mesh":
        return _sieve(entry, frame)
    canvas = Canvas(frame.columns, min(frame.rows, 4), plain=frame.plain)
    if entry.group == "beta":
        share = filters.media.efficiency_pct(float(entry.name.removeprefix("β "))) / 100
        words = f"held back: {entry.metric[0]}"
    else:
        share = int(entry.name.removeprefix("ISO 4406 ")) / (filters.cleanliness.OVER_SCALE - 1)
        words = f"on the scale of 0 to {filters.cleanliness.OVER_SCALE - 1}; each step is twice as dirty"
    wide = canvas.width - 2
    canvas.box(0, 2, wide, 10)
    for x in range(round(share * wide)):
        canvas.line(x, 2, x, 10)
    canvas.write(0, 3, words)
    return canvas.lines()


def _sieve(entry: Entry, frame: Frame) -> list[str]:
    sieve = next(one for one in filters.media.sieves() if f"{one.mesh} mesh" == entry.name)
    canvas = Canvas(frame.columns, frame.rows, plain=frame.plain)
    tall = (frame.rows - 1) * 4 - 1
    # A mesh number counts the openings of an inch (common practice, no source), so the rest of each is wire.
    share = min(0.9, sieve.opening_um * float(sum(map(Fraction, sieve.mesh.split()))) / UM_PER_INCH)
    step = tall / (OPENINGS_SHOWN - share / 2)
    wire = max(1, round(step * (1 - share)))
    for at in range(OPENINGS_SHOWN + 1):
        for thick in range(wire):
            place = at * step + thick
            if place <= tall:
                canvas.line(0, place, tall, place)
                canvas.line(place, 0, place, tall)
    canvas.write(0, frame.rows - 1, f"wires and openings of {entry.figures}, to scale"[: frame.columns])
    return canvas.lines()


def port(entry: Entry, frame: Frame) -> list[str]:
    """How the joint seals, in section, and the ring that sits in it."""
    lines = [*SECTIONS[entry.group], UNDER[entry.group]]
    sized = next(
        (one.ring for row, one in zip(port_entries(), orings.joints.ports(), strict=True) if row is entry),
        None,
    )
    room = frame.rows - len(lines) - 1
    if sized is not None and room >= 3:
        lines += ["", *ring(size_entry(sized), frame._replace(rows=room))]
    return [fit(line, frame.columns) for line in lines]


def groove(entry: Entry, frame: Frame) -> list[str]:
    """The groove in section with its ring in it, not yet pressed together, to scale at its middle figures."""
    depth, width = (fmean(map(float, one.split(" to "))) for one in entry.metric)
    section = float(entry.name.split()[0])
    canvas = Canvas(frame.columns, frame.rows - 1, plain=frame.plain)
    scale = min((canvas.height - 4) / max(section, depth), (canvas.width - 12) / width)
    bottom, middle = canvas.height - 2, canvas.width / 2
    half, top = scale * width / 2, bottom - scale * depth
    canvas.line(1, top, middle - half, top)
    canvas.line(middle - half, top, middle - half, bottom)
    canvas.line(middle - half, bottom, middle + half, bottom)
    canvas.line(middle + half, bottom, middle + half, top)
    canvas.line(middle + half, top, canvas.width - 2, top)
    canvas.circle(middle, bottom - scale * section / 2, scale * section / 2)
    return [fit(line, frame.columns) for line in (*canvas.lines(), "the line is the mating surface; to scale")]


def seal(entry: Entry, frame: Frame) -> list[str]:
    """From above to scale, and where each size is measured."""
    inside, outside = (float(part.strip().split()[0]) for part in entry.metric[0].split("×")[:2])
    words: Sequence[str] = SHAFT_SEAL if entry.group == "shaft seal" else WASHER
    rows = frame.rows - len(words) - 1
    lines: list[str] = []
    if rows >= 5:
        canvas = Canvas(frame.columns, rows, plain=frame.plain)
        radius = min(canvas.height / 2 - 1, canvas.width / 2 - 1)
        canvas.ring(radius + 1, canvas.height / 2 - 0.5, radius, radius * inside / outside)
        lines = [*canvas.lines(), ""]
    return [fit(line, frame.columns) for line in (*lines, *words)]
