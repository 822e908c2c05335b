"""A groove, a ring and a service as typed on the command line, for `kitwright groove`."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings import groove as build
from catalog.orings import sizes
from catalog.orings.figures import ROOM_TEMPERATURE_C, Service
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.sizes import RingSize, Series
from catalog.orings.span import Range, span
from catalog.orings.standard_grooves import groove_for
from catalog.quantity import Kind
from catalog.standing import Standing
from tui.commands.judging import dimension, length, naming, number, one_of, quantity
from tui.commands.parsing import UsageError, shown, whole

LABEL: Final = "as measured"
SOURCE: Final = "measured"
DIMENSIONS: Final = ("root", "bore", "rod", "groove_diameter", "depth", "width", "neck", "mouth", "chamfer")


class Takes(NamedTuple):
    """What a kind of groove needs: all of `must`, and exactly one of `either`."""

    must: tuple[str, ...]
    either: tuple[str, ...] = ()


TAKES: Final[Mapping[GrooveKind, Takes]] = MappingProxyType(
    {
        GrooveKind.PISTON: Takes(("root", "width"), ("bore", "depth")),
        GrooveKind.ROD: Takes(("rod", "width"), ("groove_diameter", "depth")),
        GrooveKind.FACE_INSIDE: Takes(("groove_diameter", "depth", "width")),
        GrooveKind.FACE_OUTSIDE: Takes(("groove_diameter", "depth", "width")),
        GrooveKind.PORT: Takes(("neck", "mouth", "chamfer")),
    }
)
# One dimension is enough to tell these kinds; a groove diameter alone could be three of them.
_TELLS: Final[Mapping[str, GrooveKind]] = MappingProxyType(
    {
        "root": GrooveKind.PISTON,
        "bore": GrooveKind.PISTON,
        "rod": GrooveKind.ROD,
        "neck": GrooveKind.PORT,
        "mouth": GrooveKind.PORT,
        "chamfer": GrooveKind.PORT,
    }
)


def kind_of(arguments: argparse.Namespace) -> GrooveKind:
    """The kind of groove, said or told by a dimension that only one kind has."""
    names = [kind.value.replace("_", "-") for kind in GrooveKind]
    if arguments.kind is not None:
        return GrooveKind(one_of("--kind", arguments.kind, names).replace("-", "_"))
    for name, kind in _TELLS.items():
        if getattr(arguments, name) is not None:
            return kind
    raise UsageError(f"--kind is missing; type one of: {', '.join(names)}")


def motion_of(arguments: argparse.Namespace) -> Motion:
    """Whether the ring stands still or slides."""
    if arguments.pneumatic:
        return Motion.PNEUMATIC
    return Motion.RECIPROCATING if arguments.reciprocating else Motion.STATIC


def groove_of(arguments: argparse.Namespace, ring: RingSize | None) -> Groove:
    """The groove that was typed, or the standard one for the ring. Raises UsageError with one sentence."""
    kind, motion = kind_of(arguments), motion_of(arguments)
    if motion is not Motion.STATIC and kind not in (GrooveKind.PISTON, GrooveKind.ROD):
        raise UsageError(f"a {_said(kind)} groove stands still; leave out --reciprocating and --pneumatic")
    if arguments.standard:
        return _standard(arguments, kind, motion, ring)
    given = {name: getattr(arguments, name) for name in DIMENSIONS if getattr(arguments, name) is not None}
    _complete(kind, given)
    clearance = None if arguments.clearance is None else _gap(arguments.clearance, arguments.unit)
    angle = given.pop("chamfer", None)
    read = {name: dimension(_option(name), text, arguments.unit) for name, text in given.items()}
    with naming("the groove"):
        return _built(kind, motion, read, angle, clearance)


def ring_of(arguments: argparse.Namespace) -> RingSize | None:
    """The ring that was named or measured, or None."""
    measured = (arguments.ring_id, arguments.ring_width)
    if arguments.ring is not None:
        if any(measured):
            raise UsageError("give the ring by --ring or by --ring-id and --ring-width, not both")
        found = sizes.find(arguments.ring)
        if found is None:
            raise UsageError(
                f"--ring: {shown(arguments.ring)} is no standard size; type it like AS568-214, P22A or 25x3.55, "
                "or give --ring-id and --ring-width"
            )
        return found
    if not any(measured):
        return None
    if not all(measured):
        raise UsageError("a measured ring needs both --ring-id and --ring-width")
    inside, inside_off = length("--ring-id", arguments.ring_id, arguments.unit)
    section, section_off = length("--ring-width", arguments.ring_width, arguments.unit)
    return RingSize(
        *(Series.STOCK, f"{inside:g}x{section:g}", inside, inside_off or 0.0, section, section_off or 0.0),
        *("measured", Standing.PUBLISHED, "as measured, no standard size"),
    )


def service_of(arguments: argparse.Namespace) -> Service | None:
    """Swell, temperature, pressure and hardness, or None where none was given."""
    if not any((arguments.swell, arguments.temperature, arguments.pressure, arguments.hardness)):
        return None
    swell = 0.0 if arguments.swell is None else number("--swell", arguments.swell.strip().removesuffix("%"))
    warm = ROOM_TEMPERATURE_C
    if arguments.temperature is not None:
        warm = quantity("--temperature", arguments.temperature, Kind.TEMPERATURE, "°C")
    pressure = None
    if arguments.pressure is not None:
        pressure = quantity("--pressure", arguments.pressure, Kind.PRESSURE, "bar")
    hardness = 70 if arguments.hardness is None else whole("--hardness", arguments.hardness, 50, 95)
    service = Service(volume_swell=swell, temperature_c=warm, pressure_bar=pressure, shore_a=hardness)
    with naming("--swell or --temperature"):
        _ = service.ring_factor
    return service


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _said(kind: GrooveKind) -> str:
    return kind.value.replace("_", "-")


def _complete(kind: GrooveKind, given: Mapping[str, str]) -> None:
    takes = TAKES[kind]
    wanted = ", ".join(map(_option, takes.must))
    if takes.either:
        wanted += f", and {' or '.join(map(_option, takes.either))}"
    for name in given:
        if name not in takes.must + takes.either:
            raise UsageError(f"{_option(name)} is no dimension of a {_said(kind)} groove; it takes {wanted}")
    missing = [name for name in takes.must if name not in given]
    if missing:
        raise UsageError(f"{_option(missing[0])} is missing; a {_said(kind)} groove takes {wanted}")
    if takes.either and sum(name in given for name in takes.either) != 1:
        raise UsageError(f"give either {' or '.join(map(_option, takes.either))}, one of them and not both")


def _gap(text: str, unit: str) -> float:
    if text.strip() == "0":
        return 0.0
    return length("--clearance", text, unit)[0]


def _built(
    kind: GrooveKind, motion: Motion, read: Mapping[str, Range], angle: str | None, clearance: float | None
) -> Groove:
    if kind is GrooveKind.PORT:
        chamfer = span(number("--chamfer", (angle or "").strip().removesuffix("°"), "12"))
        return build.port(read["neck"], read["mouth"], chamfer, label=LABEL, source=SOURCE)
    if kind is GrooveKind.PISTON:
        return build.piston(
            *(read["root"], read["width"]),
            bore=read.get("bore"),
            depth=read.get("depth"),
            motion=motion,
            clearance=clearance,
            label=LABEL,
            source=SOURCE,
        )
    if kind is GrooveKind.ROD:
        return build.rod(
            *(read["rod"], read["width"]),
            groove_diameter=read.get("groove_diameter"),
            depth=read.get("depth"),
            motion=motion,
            clearance=clearance,
            label=LABEL,
            source=SOURCE,
        )
    face = build.face_inside if kind is GrooveKind.FACE_INSIDE else build.face_outside
    # A face joint is taken as metal on metal unless a gap was measured.
    dimensions = (read["groove_diameter"], read["depth"], read["width"])
    return face(*dimensions, clearance=clearance or 0.0, label=LABEL, source=SOURCE)


def _standard(arguments: argparse.Namespace, kind: GrooveKind, motion: Motion, ring: RingSize | None) -> Groove:
    if ring is None:
        raise UsageError("--standard needs the ring it is for; add --ring, such as --ring P22A")
    if any(getattr(arguments, name) is not None for name in DIMENSIONS):
        raise UsageError("--standard takes the dimensions from a table; leave out the measured ones")
    found = groove_for(ring, kind, motion)
    if found is None:
        raise UsageError(
            f"no table has a {_said(kind)} groove for a ring {ring.cross_section_mm:g} mm wide; measure it"
        )
    return found
