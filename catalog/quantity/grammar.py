"""The grammar of what a person types, and nothing of it is ever evaluated.

    quantity = amount [ ("±" | "+/-" | "+-") number [unit] ]
    amount   = [sign] number [unit]
             | number unit { ["+"] number unit }         a sum: `5 qt + 1 pt`, `1 gal 1 qt`
    number   = digits ["." | ","] [digits] | [digits (" " | "-")] digits "/" digits

A length may also be what a caliper sends over its serial line, `01A+00024.990`: see `instrument`.

Decisions where a reader might differ:
- A bare number takes the session's unit, but a bare *fraction* in a metric session is read as inches: nobody writes
  63/64 of a millimetre, and rules and drills are marked in such inches. `echo` says so. A fraction whose denominator
  no inch rule has (3/10) is asked about instead.
- A comma is a decimal comma. With exactly three digits behind it (1,125) it could set off thousands: asked about.
- A space never sets off thousands: `1 000 mm` is refused.
- A sum stays within one family of units (metric, inch, US, imperial). Without a plus sign its units must shrink.
"""

from __future__ import annotations

import re
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.quantity import instrument, saybolt
from catalog.quantity.characters import clean
from catalog.quantity.conversion import convert, convert_difference, ratio
from catalog.quantity.errors import QuantityError, excerpt
from catalog.quantity.typed import Typed
from catalog.quantity.units import BY_NAME, Kind, System, Unit, example, find

LARGEST: Final = Fraction(10_000_000)
SMALLEST: Final = Fraction(1, 1_000_000)
"""A number outside these, in whatever unit it was typed, is a slip: nothing in a workshop needs it."""

_PLAIN: Final = re.compile(r"([0-9]{1,4})(?:\.([0-9]{1,4}))?")
"""What most readings are typed as, and files hold by the thousand: digits with a point and nothing else."""
_PLUS_MINUS: Final = re.compile(r"±|\+ ?/ ?-|\+-")
_NUMBER: Final = re.compile(
    r"(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+) ?/ ?(?P<bottom>[0-9]+)|(?P<decimal>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
)
_UNIT: Final = re.compile(r"""["'A-Za-z°µ](?:(?! ?\+| [0-9.,]).)*""")
_EXPONENT: Final = re.compile(r"[0-9.,][eE][+-]?[0-9]")
_RANGE: Final = re.compile(r" ?- ?(?![0-9]+ ?/)[.,]?[0-9]")
_RULE_MARKS: Final = frozenset({2, 4, 8, 16, 32, 64, 128})
_SUMS: Final = MappingProxyType({Kind.LENGTH: "5 ft 2 in", Kind.VOLUME: "5 qt + 1 pt"})
_DIGITS: Final = "0123456789"
_COLDEST: Final = MappingProxyType({"°C": Fraction("-273.15"), "°F": Fraction("-459.67"), "K": Fraction(0)})


class _Number(NamedTuple):
    value: Fraction
    is_fraction: bool


class _Term(NamedTuple):
    number: _Number
    unit: Unit | None
    after_plus: bool


def parse(text: str, *, kind: Kind, bare_unit: str) -> Typed:
    """Read what a person typed as a quantity of `kind`; a number without a unit is in `bare_unit`.

    Raises `QuantityError`, whose text is one sentence for the person who typed. Time is bounded by the length cap.
    """
    if kind is Kind.LENGTH and (digits := _PLAIN.fullmatch(text)) is not None and (plain := _value_of(digits)):
        return Typed(plain, find(bare_unit, kind).name, None, kind)
    sent = instrument.number_in(text) if kind is Kind.LENGTH else None
    line = clean(text if sent is None else sent, kind)
    _refuse_foreign_notation(line, kind)
    parts = _PLUS_MINUS.split(line)
    if len(parts) > 2:
        raise QuantityError(f"{excerpt(line)} has more than one ±; type for example {_tolerance_example(kind)}.")
    terms, negative = _terms(parts[0].strip(), kind, line)
    tolerance = _tolerance(parts[1].strip(), kind, line) if len(parts) == 2 else None

    unit, inches_assumed = _settle_unit(terms, tolerance, kind, find(bare_unit, kind), line)
    value = _total(terms, unit, kind, line)
    value = -value if negative else value
    _check_range(value, unit, kind, line)
    plus_minus = None if tolerance is None else _plus_minus(tolerance, value, unit, kind, line)
    numbers = [t.number for t in (*terms, tolerance) if t]
    said_as_fraction = (
        terms[0].number.is_fraction
        and all(n.is_fraction or n.value.denominator == 1 for n in numbers)
        and (tolerance is None or tolerance.unit in (None, unit))
    )
    return Typed(value, unit.name, plus_minus, kind, said_as_fraction, inches_assumed)


def _value_of(digits: re.Match[str]) -> Fraction:
    whole, after = digits[1], digits[2] or ""
    return Fraction(int(whole + after), 10 ** len(after))


def length_mm(text: str, bare_unit: str = "mm") -> tuple[float, float | None]:
    """Read a length: its value and, where typed, its ±, both in millimetres. Raises `QuantityError`."""
    typed = parse(text, kind=Kind.LENGTH, bare_unit=bare_unit)
    plus_minus = typed.plus_minus_in("mm")
    return float(typed.to("mm")), None if plus_minus is None else float(plus_minus)


def _tolerance_example(kind: Kind) -> str:
    return {Kind.LENGTH: "24.9 ± 0.1 mm", Kind.TEMPERATURE: "20 ± 2 °C"}.get(kind, f"10 ± 0.5 {_first_unit(kind)}")


def _first_unit(kind: Kind) -> str:
    return next(name for name, unit in BY_NAME.items() if unit.kind is kind)


def _refuse_foreign_notation(line: str, kind: Kind) -> None:
    """Name the common notations that are none of ours before the grammar trips over their pieces."""
    if _EXPONENT.search(line):
        raise QuantityError(
            f"{excerpt(line)} has an exponent; write the number out, for example 1500 instead of 1.5e3."
        )
    if "**" in line:
        raise QuantityError(f"{excerpt(line)} has '**' in it and nothing is calculated here; type {example(kind)}.")


def _terms(text: str, kind: Kind, line: str) -> tuple[list[_Term], bool]:
    negative = text.startswith("-")
    body = text[1:].lstrip() if text[:1] in ("-", "+") and text else text
    if not _starts_a_number(body):
        raise QuantityError(f"{excerpt(line)} does not start with a number; type for example {example(kind)}.")
    if negative and kind is not Kind.TEMPERATURE:
        raise QuantityError(f"{excerpt(line)} is negative and a {kind} cannot be; type it without the minus sign.")
    terms: list[_Term] = []
    position, after_plus = 0, False
    while position < len(body):
        number, position = _number(body, position, kind, line)
        position = _skip_space(body, position)
        unit: Unit | None = None
        if match := _UNIT.match(body, position):
            unit = _find_unit(match.group(), kind, line)
            position = _skip_space(body, match.end())
        terms.append(_Term(number, unit, after_plus))
        after_plus = body[position : position + 1] == "+"
        if after_plus:
            position = _skip_space(body, position + 1)
            if position == len(body):
                raise QuantityError(f"{excerpt(line)} ends with a plus sign; type for example {example(kind)}.")
        elif position < len(body) and unit is None:
            raise QuantityError(_stray(body[position:], kind, line))
    return terms, negative


def _tolerance(text: str, kind: Kind, line: str) -> _Term:
    if not text:
        raise QuantityError(f"{excerpt(line)} has no number after the ±; type for example {_tolerance_example(kind)}.")
    if not _starts_a_number(text):
        raise QuantityError(
            f"What follows the ± in {excerpt(line)} is not a plain number; type for example {_tolerance_example(kind)}."
        )
    number, position = _number(text, 0, kind, line)
    rest = text[position:].strip()
    return _Term(number, _find_unit(rest, kind, line) if rest else None, after_plus=False)


def _find_unit(text: str, kind: Kind, line: str) -> Unit:
    if _RANGE.search(text):
        raise QuantityError(_range_sentence(kind, line))
    if text.endswith("-"):
        raise QuantityError(
            f"{excerpt(line)} has a minus sign after a unit; type sums with a plus sign, a range with ±."
        )
    return find(text, kind)


def _range_sentence(kind: Kind, line: str) -> str:
    return f"{excerpt(line)} looks like a range; type its middle and a ±, for example {_tolerance_example(kind)}."


def _stray(rest: str, kind: Kind, line: str) -> str:
    """Say why `rest` cannot follow a number."""
    if rest[0] in _DIGITS or rest[0] == ".":
        return (
            f"{excerpt(line)} has two numbers with no unit between them; "
            "type thousands without a space, and a fraction as 1 1/8."
        )
    if _RANGE.match(rest):
        return _range_sentence(kind, line)
    return f"{excerpt(rest)} after the number in {excerpt(line)} is not a unit; type for example {example(kind)}."


def _starts_a_number(text: str) -> bool:
    return bool(text) and text[0] in _DIGITS + ".,"


def _skip_space(text: str, position: int) -> int:
    return position + 1 if text[position : position + 1] == " " else position


def _number(text: str, position: int, kind: Kind, line: str) -> tuple[_Number, int]:
    match = _NUMBER.match(text, position)
    if match is None:
        raise QuantityError(f"{excerpt(line)} has no number where one belongs; type for example {example(kind)}.")
    if text[match.end() : match.end() + 1] in (".", ","):
        raise QuantityError(
            f"{excerpt(line)} has too many points or commas in a number; type for example {example(kind)}."
        )
    if match["decimal"] is not None:
        return _Number(_decimal(match["decimal"], line), is_fraction=False), match.end()
    top, bottom = int(match["top"]), int(match["bottom"])
    if bottom == 0:
        raise QuantityError(f"{excerpt(line)} divides by zero; type a fraction such as 63/64.")
    if match["whole"] is not None and top >= bottom:
        raise QuantityError(
            f"The fraction after the whole number in {excerpt(line)} is not below one; type it as in 1 1/8."
        )
    return _Number(int(match["whole"] or 0) + Fraction(top, bottom), is_fraction=True), match.end()


def _decimal(text: str, line: str) -> Fraction:
    whole, comma, digits = text.partition(",")
    if comma and len(digits) == 3 and 1 <= len(whole) <= 3 and whole.strip("0"):
        raise QuantityError(
            f"{excerpt(line)} may mean {whole}.{digits} or {whole}{digits}; type one of those two without a comma."
        )
    return Fraction(text.replace(",", ".").rstrip(".") or "0")


def _settle_unit(terms: list[_Term], tolerance: _Term | None, kind: Kind, bare: Unit, line: str) -> tuple[Unit, bool]:
    """Say which unit the value is in, and whether inches were assumed for a bare fraction."""
    if len(terms) > 1 and any(t.unit is None for t in terms):
        sample = _SUMS.get(kind, example(kind))
        raise QuantityError(f"Each number in {excerpt(line)} needs its unit; type for example {sample}.")
    first = terms[0]
    fraction = first.number.is_fraction
    after = tolerance.unit if tolerance else None
    own = first.unit
    settled = own or after or bare
    metric = kind is Kind.LENGTH and settled.system is System.METRIC
    if tolerance and tolerance.unit is None and tolerance.number.is_fraction and metric and not fraction:
        raise QuantityError(f"The ± of {excerpt(line)} is a fraction without a unit; type mm or in after both numbers.")
    if own is None and fraction and metric:
        if after is None and first.number.value.denominator in _RULE_MARKS:
            return BY_NAME["in"], True
        raise QuantityError(
            f"The fraction in {excerpt(line)} may be of an inch or of a {settled.name}; type its unit after it."
        )
    return settled, False


def _total(terms: list[_Term], unit: Unit, kind: Kind, line: str) -> Fraction:
    if len(terms) == 1:
        return terms[0].number.value
    if kind not in _SUMS:
        raise QuantityError(f"{excerpt(line)} is a sum, and a {kind} is typed as one number; type {example(kind)}.")
    total = Fraction(0)
    larger: Unit | None = None
    for term in terms:
        assert term.unit is not None
        if term.unit.system is not unit.system:
            raise QuantityError(
                f"{excerpt(line)} adds {unit.name} and {term.unit.name}, two families of units; type all of it in one."
            )
        if larger is not None and not term.after_plus and ratio(larger, term.unit) <= 1:
            raise QuantityError(
                f"{excerpt(line)} puts {term.unit.name} after {larger.name} without a plus sign; "
                "type a plus sign if both are to be added."
            )
        total += convert(term.number.value, term.unit, unit)
        larger = term.unit
    return total


def _check_range(value: Fraction, unit: Unit, kind: Kind, line: str) -> None:
    if kind is Kind.LENGTH and value == 0:
        raise QuantityError(f"{excerpt(line)} is zero and a length cannot be; type what was measured.")
    if abs(value) > LARGEST:
        raise QuantityError(f"{excerpt(line)} is larger than any {kind} here; type at most {LARGEST} {unit.name}.")
    if value and abs(value) < SMALLEST:
        raise QuantityError(f"{excerpt(line)} is smaller than any {kind} here; type at least 0.000001 {unit.name}.")
    if unit.name == "SUS" and value < Fraction(saybolt.LEAST_SUS):
        raise QuantityError(f"{excerpt(line)} cannot be: Saybolt seconds start at 32; type a thinner oil in mm²/s.")
    coldest = _COLDEST.get(unit.name)
    if coldest is not None and value < coldest:
        raise QuantityError(f"{excerpt(line)} is below absolute zero ({float(coldest):g} {unit.name}); type it again.")


def _plus_minus(tolerance: _Term, value: Fraction, unit: Unit, kind: Kind, line: str) -> Fraction:
    own = tolerance.unit or unit
    if own is not unit and "SUS" in (own.name, unit.name):
        raise QuantityError(f"The ± of {excerpt(line)} is in another unit than Saybolt seconds; type both in one.")
    plus_minus = convert_difference(tolerance.number.value, own, unit, about=value)
    if plus_minus < SMALLEST:
        raise QuantityError(f"The ± of {excerpt(line)} is zero or nearly so; type how far off the reading may be.")
    if plus_minus > LARGEST or (kind is not Kind.TEMPERATURE and plus_minus >= value):
        raise QuantityError(f"The ± of {excerpt(line)} is not smaller than the value; type a smaller one.")
    return plus_minus
