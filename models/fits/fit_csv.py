"""Fit records as CSV, so that two shops can share them. RFC 4180, UTF-8, one record a row, header as in `COLUMNS`.

- `machine`, `position`: the names; `size`: the size key (`as568:214`); `rubber`, `hardness_shore_a`, `note`, if any.
- `condition` of the ring that was measured; `readings`: `what value ± tool`, parted by `;`, mm: `id 24.9 0.1 caliper`.
- `groove_kind`, `groove_motion`; `groove`: `name lowest nominal highest`, parted by `;`, in mm, a chamfer in degrees;
  `groove_clearance` in mm; `groove_play` in mm or `centred`, empty where unknown; `groove_label`, `groove_source`.
- `who` confirmed it and `at` which moment (ISO 8601).
- `went`: how it went after a run (`dry`, `wept`, `leaked`), as `went_by` said at the moment `went_at`; empty: not said.

A cell that a spreadsheet could run as a formula has an apostrophe before it (see `csv_cells`).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, NamedTuple

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.ran import Outcome
from catalog.orings.span import Range
from models import outside
from models.csv_cells import neutral, plain
from models.errors import InvalidInputError
from models.fits.fit_records import FitRow, NewFit, Origin, Saying
from models.fits.readings import to_store
from models.fits.written import SPANS, decimal
from models.inventory.items import check_hardness, clean_size_key
from models.outside import Record, look_through
from models.text import NOTE_LENGTH, clean

COLUMNS: Final = (
    *("machine", "position", "size", "rubber", "hardness_shore_a", "condition", "readings"),
    *("groove_kind", "groove_motion", "groove", "groove_clearance", "groove_play", "groove_label", "groove_source"),
    *("note", "who", "at"),
    *("went", "went_by", "went_at"),
)
CENTRED: Final = "centred"
_NEEDED: Final = ("machine", "position", "size")


class FileFit(NamedTuple):
    """One record of a file, with the line it stands on."""

    line: int
    machine: str
    position: str
    fit: NewFit


class FileRead(NamedTuple):
    """What a file holds: the records that could be read, and (line, sentence) for each that could not."""

    fits: tuple[FileFit, ...]
    refused: tuple[tuple[int, str], ...]


def to_csv(rows: Iterable[FitRow]) -> str:
    """Records as CSV text."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in rows:
        writer.writerow([neutral(cell) for cell in _cells(row)])
    return text.getvalue()


def _cells(row: FitRow) -> tuple[str, ...]:
    groove = row.groove
    readings = [f"{one.what} {decimal(one.value_mm)} {decimal(one.plus_minus_mm)} {one.tool}" for one in row.readings]
    spans = [
        f"{name} {' '.join(map(decimal, span))}"
        for name in SPANS
        if groove is not None and (span := getattr(groove, name)) is not None
    ]
    return (
        row.machine_name,
        row.position_name,
        row.size_key,
        row.rubber,
        "" if row.hardness_shore_a is None else str(row.hardness_shore_a),
        row.readings[0].condition.value if row.readings else "",
        "; ".join(readings),
        groove.kind.value if groove else "",
        groove.motion.value if groove else "",
        "; ".join(spans),
        "" if groove is None or groove.clearance is None else decimal(groove.clearance),
        _play(groove),
        groove.label if groove else "",
        groove.source if groove else "",
        row.note,
        row.who,
        row.at.astimezone(UTC).isoformat(),
        "" if row.went is None else row.went.outcome.value,
        "" if row.went is None else row.went.who,
        "" if row.went is None else row.went.at.astimezone(UTC).isoformat(),
    )


def _play(groove: Groove | None) -> str:
    if groove is None:
        return ""
    if groove.centred:
        return CENTRED
    return "" if groove.play is None else decimal(groove.play)


def from_csv(text: str) -> FileRead:
    """Read a text of fit records, as `streamed` does a file."""
    fits: list[FileFit] = []
    refused: list[tuple[int, str]] = []
    for one in _rows(io.StringIO(text.removeprefix("\ufeff"), newline="")):
        (fits if isinstance(one, FileFit) else refused).append(one)  # type: ignore[arg-type]
    return FileRead(tuple(fits), tuple(refused))


def streamed(file: Path, refused: Callable[[tuple[int, str]], object]) -> Iterator[FileFit]:
    """Every record of a file, one after another; a bad row goes to `refused` with its line and the rest are read.

    UTF-8, or UTF-16 or 32 that show to be so. Raises `InvalidInputError` where it is no such file.
    """
    look_through(file)
    with file.open("rb") as raw:
        found = outside.alphabet(raw.read(outside.SAMPLE), file.name) or "utf-8"
        raw.seek(0)
        try:
            for one in _rows(Record(io.TextIOWrapper(raw, found, newline=""), file.name)):
                if isinstance(one, FileFit):
                    yield one
                else:
                    refused(one)
        except UnicodeDecodeError as fault:
            raise InvalidInputError(f"{file.name} is not UTF-8 text.", "Save it as CSV in UTF-8.") from fault


def _rows(lines: Iterable[str]) -> Iterator[FileFit | tuple[int, str]]:
    reader = csv.DictReader(lines, strict=True)
    try:
        missing = [name for name in _NEEDED if name not in (reader.fieldnames or ())]
        if missing:
            raise InvalidInputError(
                f"The file has no column {', '.join(missing)}.", f"Its first line must name them: {', '.join(COLUMNS)}."
            )
        for row in reader:
            line = reader.line_num
            cells = {name: plain(cell or "").strip() for name, cell in row.items() if name is not None}
            if isinstance(lines, Record):
                lines.letters = 0
            try:
                yield _fit(line, cells)
            except (InvalidInputError, ValueError) as fault:
                yield line, str(fault)
    except csv.Error as fault:
        raise InvalidInputError(f"Line {reader.line_num} is not CSV: {fault}.", "Export the file again.") from fault


def _fit(line: int, cells: dict[str, str]) -> FileFit:
    def cell(name: str) -> str:
        return cells.get(name, "")

    evidence = _evidence(cell("readings"), cell("condition"))
    to_store(evidence)
    hardness = int(cell("hardness_shore_a")) if cell("hardness_shore_a") else None
    check_hardness(hardness)
    fit = NewFit(
        clean_size_key(cell("size")),
        evidence,
        clean(cell("rubber"), "rubber", limit=20, empty=True).upper(),
        hardness,
        clean(cell("note"), "note", limit=NOTE_LENGTH, empty=True),
        _groove(cells),
        _origin(cell("who"), cell("at")),
        _went(cell("went"), cell("went_by"), cell("went_at")),
    )
    return FileFit(line, clean(cell("machine"), "machine"), clean(cell("position"), "position"), fit)


def _went(word: str, who: str, at: str) -> Saying | None:
    if not word:
        return None
    if word.casefold() not in list(Outcome):
        raise InvalidInputError(f"How it went, “{word}”, can't be read.", f"Write {', '.join(Outcome)}, or nothing.")
    return Saying(Outcome(word.casefold()), _origin(who, at))


def _origin(who: str, at: str) -> Origin | None:
    if not who and not at:
        return None
    moment = datetime.fromisoformat(at)
    return Origin(clean(who, "name of who confirmed it"), moment if moment.tzinfo else moment.replace(tzinfo=UTC))


def _evidence(readings: str, condition: str) -> Evidence | None:
    if not readings:
        return None
    found = []
    for part in readings.split(";"):
        words = part.split()
        if len(words) != 4:
            raise InvalidInputError(f"The reading “{part.strip()}” can't be read.", "Write it as: id 24.9 0.1 caliper.")
        found.append(Reading(Dimension(words[0]), float(words[1]), float(words[2]), Tool(words[3])))
    return Evidence(tuple(found), Condition(condition) if condition else Condition.NOT_SAID)


def _groove(cells: dict[str, str]) -> Groove | None:
    kind = cells.get("groove_kind", "")
    if not kind:
        return None
    spans: dict[str, Range] = {}
    for part in filter(None, (one.strip() for one in cells.get("groove", "").split(";"))):
        name, *numbers = part.split()
        if name not in SPANS or len(numbers) != 3:
            raise InvalidInputError(f"The groove's “{part}” can't be read.", "Write it as: depth 2.7 2.75 2.8.")
        low, nominal, high = (float(one) for one in numbers)
        if not 0 <= low <= nominal <= high <= 20_000:
            raise InvalidInputError(f"The groove's {name} of {low:g} to {high:g} can't be.", "Write lowest to highest.")
        spans[name] = Range(low, nominal, high)
    clearance = cells.get("groove_clearance", "")
    if clearance and not 0 <= float(clearance) <= 20_000:
        raise InvalidInputError(f"The groove's clearance of {clearance} can't be.", "Write mm, from 0 up.")
    play = cells.get("groove_play", "")
    if play and play != CENTRED and not 0 <= float(play) <= 20_000:
        raise InvalidInputError(f"The groove's play of {play} can't be.", f"Write mm, from 0 up, or {CENTRED}.")
    return Groove(
        GrooveKind(kind),
        Motion(cells.get("groove_motion") or Motion.STATIC),
        spans.get("inner"),
        spans.get("outer"),
        spans.get("depth"),
        spans.get("width"),
        spans.get("chamfer"),
        float(clearance) if clearance else None,
        clean(cells.get("groove_label", ""), "groove's name", empty=True),
        clean(cells.get("groove_source", ""), "groove's source", empty=True),
        float(play) if play and play != CENTRED else None,
        play == CENTRED,
    )
