"""A threaded port or plug, measured, to the port standard and its ring; and which gauge check settles a doubt."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from enum import StrEnum
from functools import cache
from math import isfinite
from pathlib import Path
from typing import NamedTuple

from catalog.orings.sizes import RingSize, Series, by_key
from catalog.publications import named
from catalog.standing import Standing

TABLE = Path(__file__).parent.parent / "data" / "ports" / "ports.csv"
MM_PER_INCH = 25.4
# A pitch gauge tells 1.27 from 1.25 mm only with care; a count over a rule does not.
PITCH_NEAR_MM = 0.03


class ThreadForm(StrEnum):
    """UN 60° inch, M 60° metric, G 55° parallel pipe, R 55° taper pipe, NPT 60° taper pipe."""

    UN = "UN"
    M = "M"
    G = "G"
    R = "R"
    NPT = "NPT"

    @property
    def tapered(self) -> bool:
        """True for the threads that seal by wedging, taper 1 in 16."""
        return self in (ThreadForm.R, ThreadForm.NPT)

    @property
    def flank_angle(self) -> int:
        """Degrees between the flanks."""
        return 55 if self in (ThreadForm.G, ThreadForm.R) else 60


class PortSeal(StrEnum):
    """How the joint seals: O-ring in the port's chamfer, bonded washer on its face, or the taper itself."""

    CHAMFER = "chamfer"
    BONDED_WASHER = "bonded washer"
    TAPER = "taper"


class Port(NamedTuple):
    """One port of a standard, mm. `ring`: its O-ring, None where it seals otherwise."""

    standard: str
    thread: str
    form: ThreadForm
    major_mm: float
    pitch_mm: float
    threads_per_inch: float | None
    seal: PortSeal
    ring: RingSize | None
    chamfer_deg: float | None
    source: str
    standing: Standing
    note: str

    @property
    def pitch_label(self) -> str:
        """`20 threads per inch (1.270 mm)` or `1.5 mm pitch`."""
        if self.threads_per_inch is None:
            return f"{self.pitch_mm:g} mm pitch"
        return f"{self.threads_per_inch:g} threads per inch ({self.pitch_mm:.3f} mm)"

    @property
    def male_mm(self) -> tuple[float, float]:
        """Smallest and largest major diameter of the male thread: ISO 965-1 6g, formula from memory."""
        if self.form.tapered:
            return self.major_mm - _taper_drop(self), self.major_mm
        tolerance = (180 * self.pitch_mm ** (2 / 3) - 3.15 / self.pitch_mm**0.5) / 1000
        return self.major_mm - (15 + 11 * self.pitch_mm) / 1000 - tolerance, self.major_mm

    @property
    def female_mm(self) -> tuple[float, float]:
        """Smallest and largest minor diameter of the female thread: ISO 965-1 6H; pipe threads their own depth."""
        depth = 1.0825 if self.form.flank_angle == 60 else 1.2807
        minor = self.major_mm - depth * self.pitch_mm
        if self.form.tapered:
            return minor - _taper_drop(self), minor + 0.2
        return minor, minor + 0.23 * self.pitch_mm**0.7


def _taper_drop(port: Port) -> float:
    # A taper of 1 in 16 over the length a caliper may land on, about seven threads.
    return 7 * port.pitch_mm / 16


class ThreadReading(NamedTuple):
    """What was measured. `diameter_mm`: over the crests of a male thread, across the crests of a female one.

    Give `pitch_mm` or `threads_per_inch`, or neither if there is no gauge. `seal`: what is seen: a chamfer around the
    port's mouth, a flat face with a bonded washer, a taper.
    """

    diameter_mm: float
    plus_minus_mm: float = 0.1
    pitch_mm: float | None = None
    threads_per_inch: float | None = None
    male: bool = True
    seal: PortSeal | None = None


class PortMatch(NamedTuple):
    """A port that the reading may be of. `off_mm`: how far the reading lies outside the thread's limits (0: inside)."""

    port: Port
    off_mm: float
    agrees: bool


class PortAnswer(NamedTuple):
    """Candidates, likeliest first; `checks`: what settles the doubt between them, empty where there is none.

    `text`: the answer in a sentence, also when nothing fits.
    """

    candidates: tuple[PortMatch, ...]
    checks: tuple[str, ...]
    text: str

    @property
    def settled(self) -> bool:
        """True when one port is left."""
        return len(self.candidates) == 1


def _ring(row: dict[str, str]) -> RingSize | None:
    if row["ring_key"]:
        return by_key(row["ring_key"])
    if not row["ring_id_mm"]:
        return None
    inner, width = float(row["ring_id_mm"]), float(row["ring_section_mm"])
    return RingSize(
        Series.STOCK,
        f"{inner:g}x{width:g}",
        inner,
        float(row["ring_id_tol_mm"]),
        width,
        float(row["ring_section_tol_mm"]),
        row["source"],
        Standing(row["standing"]),
        f"ring of the {row['standard']} port {row['thread']}",
    )


@cache
def ports() -> tuple[Port, ...]:
    """Every port of every standard."""
    with TABLE.open(encoding="utf-8", newline="") as handle:
        return tuple(
            Port(
                row["standard"],
                row["thread"],
                ThreadForm(row["form"]),
                float(row["major_mm"]),
                float(row["pitch_mm"]),
                float(row["threads_per_inch"]) if row["threads_per_inch"] else None,
                PortSeal(row["seal"]),
                _ring(row),
                float(row["chamfer_deg"]) if row["chamfer_deg"] else None,
                named(row["source"]),
                Standing(row["standing"]),
                row["note"],
            )
            for row in csv.DictReader(handle)
        )


def ports_for(reading: ThreadReading) -> PortAnswer:
    """The ports a measured thread may be, and the checks that tell them apart.

    Raises ValueError in one sentence for a diameter, ± or pitch that cannot be.
    """
    pitch = _pitch(reading)
    found = []
    for port in ports():
        off = _off(port, reading)
        if off <= reading.plus_minus_mm and (pitch is None or _pitch_fits(port, reading, pitch)):
            found.append(PortMatch(port, max(0.0, off), reading.seal is None or port.seal is reading.seal))
    seen = [match for match in found if match.agrees] or found
    seen.sort(key=lambda match: (match.off_mm, match.port.standing is Standing.MEMORY, match.port.standard))
    checks = _checks(seen, reading, pitch)
    return PortAnswer(tuple(seen), checks, _text(seen, checks))


def _pitch(reading: ThreadReading) -> float | None:
    for name, value in (("diameter", reading.diameter_mm), ("±", reading.plus_minus_mm)):
        if not isfinite(value) or value <= 0:
            raise ValueError(f"The {name} ({value:g} mm) must be above zero; type for example 11.1 and 0.1.")
    if reading.pitch_mm is not None and reading.threads_per_inch is not None:
        raise ValueError("Give the pitch in mm or as threads per inch, not both.")
    if (tpi := reading.threads_per_inch) is not None:
        if not 4 <= tpi <= 80:
            raise ValueError(f"{tpi:g} threads per inch is outside 4 to 80; count the threads over 25.4 mm again.")
        return MM_PER_INCH / tpi
    if (pitch := reading.pitch_mm) is not None and not 0.3 <= pitch <= 6:
        raise ValueError(f"A pitch of {pitch:g} mm is outside 0.3 to 6 mm; type for example 1.5.")
    return reading.pitch_mm


def _off(port: Port, reading: ThreadReading) -> float:
    low, high = port.male_mm if reading.male else port.female_mm
    return max(low - reading.diameter_mm, reading.diameter_mm - high)


def _pitch_fits(port: Port, reading: ThreadReading, pitch: float) -> bool:
    if reading.threads_per_inch is not None and port.threads_per_inch is not None:
        return abs(port.threads_per_inch - reading.threads_per_inch) < 0.3
    return abs(port.pitch_mm - pitch) <= PITCH_NEAR_MM


def _named(matches: Iterable[PortMatch]) -> str:
    return " or ".join(dict.fromkeys(f"{match.port.standard} {match.port.thread}" for match in matches))


def _checks(found: list[PortMatch], reading: ThreadReading, pitch: float | None) -> tuple[str, ...]:
    if len(found) < 2:
        return _confirm(found, reading, pitch)
    checks = []
    pitches = {match.port.pitch_label: match.port.pitch_mm for match in found}
    if len(pitches) > 1:
        told = "; ".join(
            f"{label}: {_named(match for match in found if match.port.pitch_label == label)}" for label in pitches
        )
        near = max(pitches.values()) - min(pitches.values()) < 2 * PITCH_NEAR_MM
        gauge = "Lay inch and metric pitch gauges on ten threads" if near else "Lay a thread-pitch gauge on it"
        checks.append(f"{gauge}: {told}.")
    tapers = [match for match in found if match.port.form.tapered]
    if tapers and len(tapers) < len(found):
        checks.append(
            f"Lay a straight edge along the crests: a taper of 1 in 16 is {_named(tapers)}, a straight thread the rest."
        )
    angles = {match.port.form.flank_angle for match in found}
    if len(angles) > 1:
        pipe = [match for match in found if match.port.form.flank_angle == 55]
        checks.append(f"Try a 55° and a 60° gauge: 55° is {_named(pipe)}.")
    checks += _sealing_check(found)
    if len({match.port.major_mm for match in found}) > 1 and pitch is not None and reading.plus_minus_mm > 0.05:
        checks.append("Measure the diameter with a caliper to ±0.05 mm on clean crests.")
    return tuple(checks)


def _confirm(found: list[PortMatch], reading: ThreadReading, pitch: float | None) -> tuple[str, ...]:
    """One port left: still say what would unmask another thread of nearly its size."""
    if not found:
        return ()
    port = found[0].port
    if pitch is None:
        return (f"Confirm with a thread-pitch gauge: {port.thread} has {port.pitch_label}.",)
    inch_read, inch = reading.threads_per_inch is not None, port.threads_per_inch is not None
    if inch_read is not inch or (reading.pitch_mm is not None and abs(port.pitch_mm - pitch) > 0.005):
        return (f"Lay inch and metric pitch gauges on ten threads: {port.thread} has {port.pitch_label}.",)
    return ()


def _sealing_check(found: list[PortMatch]) -> list[str]:
    straight = [match for match in found if not match.port.form.tapered]
    ringed = [match for match in straight if match.port.seal is PortSeal.CHAMFER]
    washered = [match for match in straight if match.port.seal is PortSeal.BONDED_WASHER]
    if not ringed or not washered:
        return []
    text = f"Look at the port's mouth: a chamfer that holds an O-ring is {_named(ringed)}"
    text += f"; thread up to a flat face, with a bonded washer, is {_named(washered)}."
    if any(match.port.standard == "ISO 6149-1" for match in ringed):
        text += " ISO 6149-1 ports are marked by a ridge around the spot face, or the letter M or the word metric."
    return [text]


def _text(found: list[PortMatch], checks: tuple[str, ...]) -> str:
    if not found:
        return (
            "No port in the tables has this thread. Measure the crests again and lay a thread-pitch gauge on; "
            "if it stands, the port is not one of these standards."
        )
    first = found[0].port
    seal = f"sealed by {first.seal}, no O-ring"
    if first.ring is not None:
        seal = f"ring {first.ring.label} ({first.ring.id_mm:.2f} × {first.ring.cross_section_mm:.2f} mm)"
    if len(found) == 1:
        return " ".join((f"{first.standard} {first.thread}: {seal}.", *checks))
    return f"{len(found)} ports fit; the likeliest is {first.standard} {first.thread}: {seal}. " + " ".join(checks)
