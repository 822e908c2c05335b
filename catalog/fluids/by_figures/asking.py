"""Figures as a person types them, `dry=232C wet=157C`, and which judge they belong to."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Final, NamedTuple

from catalog.fluids.by_figures.brake import brake_fluid
from catalog.fluids.by_figures.clutch import NEWEST, wet_clutch
from catalog.fluids.by_figures.consistency import penetration
from catalog.fluids.by_figures.coolant import BASES, coolant
from catalog.fluids.by_figures.figured import Figured
from catalog.fluids.by_figures.two_stroke import two_stroke
from catalog.fluids.by_figures.urea import aus32
from catalog.fluids.by_figures.used_oil import used_oil
from catalog.fluids.rules import canonical
from catalog.quantity import Kind, parse

_NAME: Final = re.compile(r"([A-Za-z][A-Za-z0-9]*)\s*=")
_NUMBER: Final = re.compile(r"[+-]?(?:\d{1,6}(?:[.,]\d{0,6})?|[.,]\d{1,6})")
_LONGEST: Final = 300
_G_PER_CM3: Final = 10.0
"""Below this a density was typed in g/cm³ (kg/L), not in kg/m³."""


class Read(NamedTuple):
    """What was read: numbers by name, temperatures in °C; words by name."""

    numbers: Mapping[str, float]
    words: Mapping[str, str]


class _Subject(NamedTuple):
    """What belongs together: the names of its numbers, its temperatures and its words, and the judge."""

    what: str
    numbers: tuple[str, ...]
    temperatures: tuple[str, ...]
    words: Mapping[str, tuple[str, ...]]
    judge: Callable[[str, Read], Figured]


def _brake(required: str, read: Read) -> Figured:
    used = read.words.get("state") == "used"
    return brake_fluid(required, dry_c=read.numbers.get("dry"), wet_c=read.numbers.get("wet"), used=used)


def _urea(required: str, read: Read) -> Figured:
    given = dict(read.numbers)
    if given.get("density", _G_PER_CM3) < _G_PER_CM3:
        given["density"] *= 1000
    return aus32(required, **given)


def _two_stroke(required: str, read: Read) -> Figured:
    return two_stroke(required, **read.numbers)


def _clutch(required: str, read: Read) -> Figured:
    given = {name: read.numbers.get(name) for name in ("dfi", "sfi", "sti")}
    return wet_clutch(required, **given, edition=int(read.numbers.get("edition", NEWEST)))


def _coolant(required: str, read: Read) -> Figured:
    return coolant(
        required,
        glycol_pct=read.numbers.get("glycol"),
        freezes_c=read.numbers.get("freezes"),
        coldest_c=read.numbers.get("coldest"),
        base=BASES.get(read.words.get("base", ""), ""),
        sold=read.words.get("sold", ""),
    )


def _grease(required: str, read: Read) -> Figured:
    return penetration(required, worked=read.numbers["penetration"])


def _used(required: str, read: Read) -> Figured:
    if not required:
        raise ValueError("Say the grade the oil was sold as, such as VG 46 or 15W-40.")
    given = {name: read.numbers.get(name) for name in ("v40", "v100", "new")}
    return used_oil(required, **given)


SUBJECTS: Final = (
    _Subject("brake fluid", (), ("dry", "wet"), {"state": ("new", "used")}, _brake),
    _Subject("AUS 32", ("urea", "density", "refraction", "biuret"), (), {}, _urea),
    _Subject(
        "two-stroke oil", ("lubricity", "torque", "detergency", "skirt", "smoke", "blocking"), (), {}, _two_stroke
    ),
    _Subject("motorcycle oil", ("dfi", "sfi", "sti", "edition"), (), {}, _clutch),
    _Subject(
        "coolant",
        ("glycol",),
        ("freezes", "coldest"),
        {"base": ("eg", "pg"), "sold": ("prediluted", "mixed")},
        _coolant,
    ),
    _Subject("grease", ("penetration",), (), {}, _grease),
    _Subject("oil in use", ("v40", "v100", "new"), (), {}, _used),
)
NAMES: Final = {one.what: (*one.numbers, *one.temperatures, *one.words) for one in SUBJECTS}
"""The names that may be typed, by what they speak of."""


def judge_text(text: str, required: str = "", *, bare_temperature: str = "°C") -> Figured:
    """Judge figures as typed, such as `dry=232C wet=157C`, where `required` (a class or grade, or nothing) is asked.

    A temperature without a unit is in `bare_temperature`. Raises ValueError with one sentence for the person who typed.
    """
    pieces = _pieces(text)
    subject = _subject(tuple(pieces))
    numbers: dict[str, float] = {}
    words: dict[str, str] = {}
    for name, typed in pieces.items():
        if name in subject.words:
            words[name] = _word(name, typed, subject.words[name])
        elif name in subject.temperatures:
            numbers[name] = _temperature(name, typed, bare_temperature)
        elif subject.judge is _used:
            numbers[name] = _viscosity(name, typed)
        else:
            numbers[name] = _number(name, typed)
    if subject.what == "grease" and "penetration" not in numbers:
        raise ValueError("Type the worked penetration in tenths of a millimetre, such as penetration=280.")
    return subject.judge(canonical(required) if required.strip() else "", Read(numbers, words))


def judge_needs(text: str, needs: Sequence[str], *, bare_temperature: str = "°C") -> Figured:
    """Judge figures against whichever of several requirements they speak of; the first that fits.

    Raises ValueError with the sentence of the first requirement if none fits.
    """
    problem: ValueError | None = None
    for need in needs or ("",):
        try:
            return judge_text(text, need, bare_temperature=bare_temperature)
        except ValueError as found:
            problem = problem or found
    raise problem or ValueError("Nothing is asked.")


def _pieces(text: str) -> dict[str, str]:
    line = " ".join(text.split())
    if len(line) > _LONGEST:
        raise ValueError(f"That is {len(line)} letters; type at most {_LONGEST}.")
    found = list(_NAME.finditer(line))
    if not found or line[: found[0].start()].strip(" ,;"):
        raise ValueError("Figures are typed as name=value, such as dry=232C wet=157C or urea=32.5 density=1090.")
    pieces: dict[str, str] = {}
    for one, after in zip(found, [*found[1:], None], strict=True):
        name = one[1].casefold()
        if name in pieces:
            raise ValueError(f"{name} is given twice; keep one.")
        pieces[name] = line[one.end() : after.start() if after else len(line)].strip(" ,;")
    return pieces


def _subject(names: tuple[str, ...]) -> _Subject:
    known = {name for one in NAMES.values() for name in one}
    strange = next((name for name in names if name not in known), None)
    if strange is not None:
        listed = "; ".join(f"{what}: {', '.join(of)}" for what, of in NAMES.items())
        raise ValueError(f"{strange[:20]} is not a figure that is judged here. {listed}.")
    fits = [one for one in SUBJECTS if all(name in NAMES[one.what] for name in names)]
    if not fits:
        raise ValueError(f"{', '.join(names)} are figures of different fluids; ask them one by one.")
    return fits[0]


def _word(name: str, typed: str, known: tuple[str, ...]) -> str:
    if typed.casefold() not in known:
        raise ValueError(f"{name} is {' or '.join(known)}; type for example {name}={known[0]}.")
    return typed.casefold()


def _number(name: str, typed: str) -> float:
    plain = typed.removesuffix("%").strip()
    if not _NUMBER.fullmatch(plain):
        raise ValueError(f"{name}: {typed[:20] or 'nothing'} is not a number; type for example {name}=32.5.")
    return float(plain.replace(",", "."))


def _viscosity(name: str, typed: str) -> float:
    if not typed:
        raise ValueError(f"{name}: the viscosity is missing; type for example {name}=46.")
    return float(parse(typed, kind=Kind.VISCOSITY, bare_unit="mm²/s").to("mm²/s"))


def _temperature(name: str, typed: str, bare: str) -> float:
    if not typed:
        raise ValueError(f"{name}: the temperature is missing; type for example {name}=230C.")
    return float(parse(typed, kind=Kind.TEMPERATURE, bare_unit=bare).to("°C"))
