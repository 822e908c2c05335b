"""`kitwright port`: a measured port or plug thread, or a tube's size, in; the joints it can be and their rings out."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, add_json_option, add_unit_option, shown
from tui.commands.thread_input import READINGS, USUAL, add_reading_arguments
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.fasteners.thread import Measured
    from catalog.orings.joints import Port, PortSeal, Seen
    from catalog.orings.port import PortAnswer, PortMatch

NAME = "port"
HELP = "measured port or plug thread → the joint and its ring"
DESCRIPTION = """\
Tell what was measured on a threaded port, plug or fitting and how it seals; get the
joints it can be, the ring each takes, and the check that settles a doubt. The thread is
identified as by `kitwright thread`. Without --seal no ring is named as certain.

examples:
  kitwright port --diameter 11.0mm --tpi 20
  kitwright port --diameter 11.0mm --tpi 20 --seal chamfer
  kitwright port --diameter 13.9mm --pitch 1.5mm --seal washer
  kitwright port --diameter 19.2mm --female
  kitwright port --tube 3/8 --seal chamfer
  kitwright port --diameter 13.1±0.05mm --tpi 19 --json

The diameter is over the crests of a plug; with --female across the crests of a port.
"""
EPILOG = f"""\
seal, as you see it: chamfer (a ring in a bevelled mouth), face (a flat face with a ring
  in it), cone, washer, thread (nothing but the thread). Or its kind, where you know it:
  cone-24, cone-24-ring, cone-37, cone-45, cone-60, inverted-flare, bonded-washer,
  flat-washer, banjo, metal-edge, profile-ring, retained-ring, face-ring.
tube: its outside diameter (3/8 is inches, 10mm), or its dash size (-6 is 6/16 in).
{USUAL}
exit codes: 0 a joint fits, 1 none does, 2 wrong options.
"""
SCHEMA = "kitwright.port/2"
LISTED = 24
SEALS = {
    "chamfer": "chamfer", "face": "face", "cone": "cone", "washer": "washer", "thread": "thread", "taper": "thread",
    "cone-24": "24° cone", "cone-24-ring": "24° cone with O-ring", "cone-37": "37° cone", "cone-45": "45° cone",
    "cone-60": "60° cone", "inverted-flare": "inverted flare", "bonded-washer": "bonded washer",
    "flat-washer": "flat washer", "banjo": "banjo", "metal-edge": "metal edge", "profile-ring": "profile ring",
    "retained-ring": "retained ring", "face-ring": "face ring",
}  # fmt: skip
_DASH = re.compile(r"-(\d{1,2})")
_FRACTION = re.compile(r"(?:(\d)[ -])?(\d{1,2})/(\d{1,2})\s*(?:in|\"|″)?")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--seal", metavar="WORD", help="how it seals: chamfer, face, cone, washer or thread")
    readings = parser.add_argument_group("readings")
    add_reading_arguments(readings)
    parser.add_argument("--tube", metavar="SIZE", help="or ask by the tube's size: 3/8, 10mm or -6")
    add_unit_option(parser)
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Name the port."""
    from catalog.orings.port import ports_for
    from tui.commands.judging import naming
    from tui.commands.thread_input import measured

    seal = _seal(arguments.seal)
    if arguments.tube is not None:
        if any(getattr(arguments, name) is not None for name in READINGS):
            raise UsageError("--tube and readings of a thread are two questions; ask one of them")
        return _of_tube(arguments, seal)
    reading = measured(arguments, "--diameter 11.0mm --tpi 20")
    with naming("the thread"):
        answer = ports_for(reading, seal)
    if arguments.json:
        say_json(_object(reading, answer))
    else:
        for line in _lines(reading, answer, arguments.unit):
            say(line)
    found = bool(answer.candidates) and answer.identification.none_probability <= 0.5
    return ExitCode.FOUND if found else ExitCode.NOTHING


def _seal(text: str | None) -> Seen | PortSeal | None:
    from catalog.orings.joints import PortSeal, Seen
    from tui.commands.judging import one_of

    if text is None:
        return None
    word = SEALS[one_of("--seal", text, list(SEALS))]
    return Seen(word) if word in list(Seen) else PortSeal(word)


def tube_size(text: str, unit: str) -> float:
    """A tube's outside diameter in mm: a fraction is inches, `-6` is six sixteenths, else a length."""
    from tui.commands.judging import length

    plain = text.strip()
    if dash := _DASH.fullmatch(plain):
        return int(dash[1]) * 25.4 / 16
    if (fraction := _FRACTION.fullmatch(plain)) and int(fraction[3]):
        return (int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])) * 25.4
    return length("--tube", text, unit)[0]


def _object(reading: Measured, answer: PortAnswer) -> dict[str, Any]:
    from catalog.orings.joints import QUESTION
    from tui.answers.advice import ADVICE
    from tui.answers.answer import plain
    from tui.answers.reasons import reasons_of
    from tui.commands.size_object import size_object
    from tui.commands.thread_input import readings_object

    return {
        "schema": SCHEMA,
        "asked": "readings",
        "question": QUESTION,
        "readings": {**readings_object(reading), "seal": None if answer.seal is None else answer.seal.value},
        "settled": answer.settled,
        "threads": [
            {"designation": one.thread.designation, "probability": round(one.probability, 6)}
            for one in answer.identification.candidates
        ],
        "threads_none_probability": round(answer.identification.none_probability, 6),
        "ports": [_match_object(match) for match in answer.candidates],
        "other_probability": round(answer.other_probability, 6),
        "none_probability": round(answer.none_probability, 6),
        "ring": None if answer.ring is None else size_object(answer.ring),
        "ring_probability": round(answer.ring_probability, 6),
        "ring_certain": answer.ring_certain,
        "checks": list(answer.checks),
        "text": answer.text,
        "because": plain(reasons_of(answer.because)),
        "caution": ADVICE,
    }


def _match_object(match: PortMatch) -> dict[str, Any]:
    return {
        **port_object(match.port),
        "probability": round(match.probability, 6),
        "thread_probability": round(match.thread_probability, 6),
        "agrees_with_seal": match.agrees,
    }


def port_object(port: Port) -> dict[str, Any]:
    """One joint as JSON."""
    from catalog.seals.washers import WasherKind, washers_for
    from tui.answers.answer import plain
    from tui.answers.washers import washer_of
    from tui.commands.size_object import size_object

    washers = washers_for(port.screw) if port.seal.takes_washer else ()
    if port.seal.value == "bonded washer":
        washers = tuple(one for one in washers if one.kind is WasherKind.BONDED)
    if port.seal.value == "flat washer":
        washers = tuple(one for one in washers if one.kind is WasherKind.FLAT)
    return {
        "standard": port.standard,
        "thread": port.thread,
        "designation": port.screw.designation,
        "plug": port.plug,
        "tube": port.tube or None,
        "pitch_mm": round(port.screw.pitch_mm, 4),
        "threads_per_inch": port.screw.threads_per_inch,
        "seal": port.seal.value,
        "seen": [one.value for one in port.seal.seen],
        "ring": None if port.ring is None else size_object(port.ring),
        "ring_sits": port.ring_sits or None,
        "chamfer_deg": port.chamfer_deg,
        "chamfer_source": None if port.chamfer is None else port.chamfer.source,
        "chamfer_standing": None if port.chamfer is None else port.chamfer.standing.value,
        "washers": [plain(washer_of(one)) for one in washers],
        "source": port.source,
        "standing": port.standing.value,
        "note": port.note,
    }


def _lines(reading: Measured, answer: PortAnswer, unit: str) -> list[str]:
    from tui.answers.advice import ADVICE, cautions
    from tui.answers.chances import percent
    from tui.answers.reasons import reasons_of, why_lines
    from tui.commands.thread_input import understood
    from tui.seal_sections import sections

    lines = [answer.text]
    if answer.seal is None and answer.candidates:
        lines += ["", *sections(80), "Say it with --seal chamfer, face, cone, washer or thread."]
    if answer.candidates:
        header = ("sure", "if you see", *_HEADER) if answer.seal is None else ("sure", "sealed by", *_HEADER)
        rows = [
            (
                percent(match.thread_probability if answer.seal is None else match.probability),
                _see(match.port) if answer.seal is None else match.port.seal.value,
                *_row(match.port),
            )
            for match in answer.candidates[:LISTED]
        ]
        lines += ["", *table(header, rows, right=(0,))]
        lines += dict.fromkeys(
            f"Note on {match.port.title}: {match.port.note}."
            for match in answer.candidates[:LISTED]
            if match.port.ring is not None
            and match.port.note
            and (answer.seal is None or match is not answer.candidates[0])
        )
        if answer.seal is None:
            lines.append('"sure" is the thread\'s; which of its joints it is, only the seal tells.')
        elif not any(match.agrees for match in answer.candidates[:LISTED]):
            lines.append(f"None of them is sealed by {answer.seal.value}; look at the port's mouth again.")
    lines += [*_washers(answer), "", understood(reading, unit, ("port", "plug"))]
    return [*lines, *why_lines(reasons_of(answer.because)), *cautions("relieve", "no-hand"), ADVICE]


def _see(port: Port) -> str:
    """What is seen of the seal, and its kind where that says more: `washer: bonded washer`."""
    seen = " or ".join(port.seal.seen)
    return seen if port.seal.value == seen else f"{seen}: {port.seal.value}"


_HEADER = ("joint", "thread", "tube", "ring", "ID × width mm", "in", "row")


def _row(port: Port) -> tuple[str, ...]:
    from catalog.orings.sizes import MM_PER_INCH

    ring = port.ring
    return (
        port.standard,
        port.thread,
        port.tube,
        "none" if ring is None else ring.label,
        "" if ring is None else f"{ring.id_mm:.2f} × {ring.cross_section_mm:.2f}",
        "" if ring is None else f"{ring.id_mm / MM_PER_INCH:.3f} × {ring.cross_section_mm / MM_PER_INCH:.3f}",
        "from memory" if port.standing.value == "memory" else port.standing.value,
    )


def _washers(answer: PortAnswer) -> list[str]:
    """The washers of the likeliest joints that take one."""
    from tui.answers.washers import washers_line, washers_under

    likely = [one.port for one in answer.candidates if one.probability >= 0.05 and one.port.seal.takes_washer]
    screws = {port.screw.designation: port.screw for port in likely}
    lines = [line for screw in screws.values() if (line := washers_line(screw.designation, washers_under(screw)))]
    return ["", *lines] if lines else []


def _of_tube(arguments: argparse.Namespace, seal: Seen | PortSeal | None) -> ExitCode:
    from catalog.orings.joints import QUESTION, ports_of_tube, tubes_near
    from tui.answers.advice import ADVICE
    from tui.answers.answer import plain
    from tui.answers.reasons import reasons_of, why_lines
    from tui.seal_sections import sections

    outside = tube_size(arguments.tube, arguments.unit)
    every = ports_of_tube(outside)
    found = tuple(port for port in every if seal is None or seal in (port.seal, *port.seal.seen))
    text = _tube_text(arguments.tube, outside, every, found, seal)
    if near := tubes_near(outside):
        text += f" If it was measured, it may also be the {' or '.join(near)} tube."
    because = [one for port in found for one in (port.because, *((port.chamfer,) if port.chamfer else ()))]
    if arguments.json:
        say_json(
            {
                "schema": SCHEMA,
                "asked": "tube",
                "question": QUESTION,
                "tube_mm": round(outside, 4),
                "seal": None if seal is None else seal.value,
                "ports": [port_object(port) for port in found],
                "text": text,
                "because": plain(reasons_of(because)),
                "caution": ADVICE,
            }
        )
    else:
        say(text)
        if found and seal is None:
            for line in ("", *sections(80), "Say it with --seal chamfer, face, cone, washer or thread."):
                say(line)
        if found:
            rows = [(_see(port), *_row(port)) for port in found]
            for line in ("", *table(("if you see", *_HEADER), rows)):
                say(line)
            for port in dict.fromkeys(port.note for port in found if port.note and seal is not None):
                say(f"Note: {port}.")
        for line in ("", *why_lines(reasons_of(because)), ADVICE):
            say(line)
    return ExitCode.FOUND if found else ExitCode.NOTHING


def _tube_text(
    typed: str, outside: float, every: tuple[Port, ...], found: tuple[Port, ...], seal: Seen | PortSeal | None
) -> str:
    from catalog.orings.joints import QUESTION
    from catalog.orings.port import ring_words

    size = f"Tube {typed.strip()} ({outside:.2f} mm = {outside / 25.4:.4g} in)" if len(typed) < 40 else shown(typed)
    if not every:
        return f"{size}: no joint of the tables is for this tube. Measure its outside, where it is round."
    if not found:
        return f"{size}: no joint of the tables for this tube looks like that. Look at the seal again."
    if seal is None:
        return f"{size}. {QUESTION} Until that is seen, no ring is certain."
    told = "; ".join(dict.fromkeys(f"{port.title}, {ring_words(port)}" for port in found))
    return f"{size}: {told}."
