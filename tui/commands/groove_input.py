"""A groove, a ring and a service as typed on the command line, for `kitwright groove`."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings import groove as build
from catalog.orings import sizes
from catalog.orings.evidence import Dimension
from catalog.orings.figures import ROOM_TEMPERATURE_C, Service
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.groove_reading import REACHES, GrooveReading, GrooveTool, groove_reading
from catalog.orings.instruments import reading as ring_reading
from catalog.orings.sizes import RingSize, Series
from catalog.orings.span import Range, span
from catalog.orings.standard_grooves import groove_for
from catalog.quantity import Kind
from catalog.standing import Standing
from tui.commands.judging import length, naming, number, one_of, quantity
from tui.commands.parsing import UsageError, shown, unknown, whole

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
# What --tool can name, as it is typed; a stated ± is no tool.
TOOLS: Final = {tool.value.replace(" ", "-"): tool for tool in GrooveTool if tool is not GrooveTool.STATED}


class Read(NamedTuple):
    """The groove that was typed, with each reading, its ± and its tool; no readings where a table gave it."""

    groove: Groove
    readings: tuple[GrooveReading, ...] = ()


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


def groove_of(arguments: argparse.Namespace, ring: RingSize | None) -> Read:
    """The groove that was typed, or the standard one for the ring. Raises UsageError with one sentence."""
    kind, motion = kind_of(arguments), motion_of(arguments)
    radial = kind in (GrooveKind.PISTON, GrooveKind.ROD)
    if motion is not Motion.STATIC and not radial:
        raise UsageError(f"a {_said(kind)} groove stands still; leave out --reciprocating and --pneumatic")
    if not radial:
        _no_play(arguments, kind)
    if arguments.standard:
        return Read(_guided(arguments, _standard(arguments, kind, motion, ring)))
    given = {name: getattr(arguments, name) for name in DIMENSIONS if getattr(arguments, name) is not None}
    _complete(kind, given)
    angle = given.pop("chamfer", None)
    tools = _tools(arguments.tool, given)
    readings = {name: _read(name, text, tools.get(name), arguments.unit) for name, text in given.items()}
    with naming("the groove"):
        built = _built(kind, motion, {name: one.range for name, one in readings.items()}, angle)
    return Read(_guided(arguments, built), tuple(readings.values()))


def _no_play(arguments: argparse.Namespace, kind: GrooveKind) -> None:
    face = kind is not GrooveKind.PORT
    what = "a face is pressed flat" if face else "the plug's flange is pressed flat"
    if arguments.play is not None or arguments.centred:
        raise UsageError(f"a {_said(kind)} groove has no play: {what}; leave out --play and --centred")
    if not face and arguments.clearance is not None:
        raise UsageError("a port has no clearance: the plug's flange meets its face; leave out --clearance")


def _guided(arguments: argparse.Namespace, groove: Groove) -> Groove:
    clearance = None if arguments.clearance is None else _gap("--clearance", arguments.clearance, arguments.unit)
    play = None if arguments.play is None else _gap("--play", arguments.play, arguments.unit)
    if play and arguments.centred:
        raise UsageError("give --play, or --centred where something holds the part in the middle; not both")
    with naming("--clearance" if play is None else "--play"):
        return build.guided(groove, clearance=clearance, play=play, centred=arguments.centred)


def _tools(texts: list[str], given: Mapping[str, str]) -> dict[str, GrooveTool]:
    """`micrometer` is for every reading, `depth=rule` for one; the particular wins over the general."""
    words = [word for text in texts for word in text.replace(",", " ").lower().split()]
    general = [word for word in words if "=" not in word]
    if len(set(general)) > 1:
        raise UsageError(
            "--tool: two tools for every reading; say which is which, as in --tool depth=rule,root=caliper"
        )
    tools = dict.fromkeys(REACHES, _tool(general[0])) if general else {}
    for word in words:
        name, equals, tool = word.partition("=")
        if not equals:
            continue
        known = [one.replace("_", "-") for one in given]
        if name.replace("_", "-") not in known:
            raise UsageError(f"--tool: {unknown(name, known)}")
        tools[name.replace("-", "_")] = _tool(tool)
    return tools


def _tool(word: str) -> GrooveTool:
    if word not in TOOLS:
        raise UsageError(f"--tool: {unknown(word, list(TOOLS))}")
    return TOOLS[word]


def _read(name: str, text: str, tool: GrooveTool | None, unit: str) -> GrooveReading:
    option = _option(name)
    value, plus_minus = length(option, text, unit)
    with naming(option):
        return groove_reading(name, value, plus_minus, tool)


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
    with naming("the ring"):
        inner = ring_reading(Dimension.ID, inside, plus_minus=inside_off)
        width = ring_reading(Dimension.WIDTH, section, plus_minus=section_off)
    return RingSize(
        *(Series.STOCK, f"{inside:g}x{section:g}", inside, inner.plus_minus_mm, section, width.plus_minus_mm),
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


def _gap(option: str, text: str, unit: str) -> float:
    """A gap in mm, at its most where a ± was typed."""
    if text.strip() == "0":
        return 0.0
    value, plus_minus = length(option, text, unit)
    return value + (plus_minus or 0.0)


def _built(kind: GrooveKind, motion: Motion, read: Mapping[str, Range], angle: str | None) -> Groove:
    if kind is GrooveKind.PORT:
        chamfer = span(number("--chamfer", (angle or "").strip().removesuffix("°"), "12"))
        return build.port(read["neck"], read["mouth"], chamfer, label=LABEL, source=SOURCE)
    if kind is GrooveKind.PISTON:
        return build.piston(
            *(read["root"], read["width"]),
            bore=read.get("bore"),
            depth=read.get("depth"),
            motion=motion,
            label=LABEL,
            source=SOURCE,
        )
    if kind is GrooveKind.ROD:
        return build.rod(
            *(read["rod"], read["width"]),
            groove_diameter=read.get("groove_diameter"),
            depth=read.get("depth"),
            motion=motion,
            label=LABEL,
            source=SOURCE,
        )
    face = build.face_inside if kind is GrooveKind.FACE_INSIDE else build.face_outside
    # A face joint is taken as metal on metal unless a gap was measured.
    return face(read["groove_diameter"], read["depth"], read["width"], label=LABEL, source=SOURCE)


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
