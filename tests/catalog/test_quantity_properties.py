"""What holds for every input, tried on many."""

from __future__ import annotations

import string
import sys
from fractions import Fraction
from types import FrameType

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from catalog.quantity import Kind, QuantityError, Typed, format_length, parse
from catalog.quantity.characters import LONGEST
from catalog.quantity.typed import mixed_fraction
from catalog.quantity.units import UNITS, Unit

MOST_CALLS = 3_000
"""Python calls that reading one text may take. The longest text allowed takes a few hundred."""

millimetres = st.decimals(min_value="0.01", max_value="9999", places=3)
sixty_fourths = st.integers(min_value=1, max_value=64 * 99).map(lambda n: Fraction(n, 64))
grammar_like = st.text(alphabet="0123456789 .,/-+±*'\"inmqtgalft⅛½°²e\u2009", max_size=LONGEST)


def length(text: str, bare_unit: str = "mm") -> Typed:
    return parse(text, kind=Kind.LENGTH, bare_unit=bare_unit)


# From 0.05 mm: less is 0.0000 ft to four decimals, and a length of zero is refused.
@given(st.floats(min_value=0.05, max_value=100_000), st.sampled_from(["mm", "in", "thou", "ft"]))
def test_what_is_shown_reads_back(mm: float, unit: str) -> None:
    shown = format_length(mm, unit, decimals=4)
    assert abs(length(shown).to(unit) - Fraction(repr(mm)) / length("1", unit).to("mm")) <= Fraction(1, 20_000)
    assert format_length(float(length(shown).to("mm")), unit, decimals=4) == shown


@given(sixty_fourths)
def test_a_rule_fraction_reads_back_however_it_is_written(inches: Fraction) -> None:
    text = mixed_fraction(inches)
    assert length(f"{text} in").value == inches
    assert length(f"{text.replace(' ', '-')}″").value == inches
    assert length(text, "in").value == inches
    if inches.denominator > 1:
        assert length(text, "mm").to("in") == inches


@given(millimetres)
def test_a_millimetre_is_exactly_its_share_of_an_inch(mm: object) -> None:
    typed = length(f"{mm} mm")
    share = Fraction(str(mm)) / Fraction("25.4")
    assert length(f"{share.numerator}/{share.denominator} in").to("mm") == typed.value
    assert typed.to("in") == share


@given(millimetres)
def test_a_decimal_comma_is_a_decimal_point(mm: object) -> None:
    text = f"{mm}0"  # four decimals: never three, which would be asked about
    assert length(text.replace(".", ",")) == length(text)


@given(st.integers(0, 999), st.integers(1, 7))
def test_a_sum_is_the_sum(quarts: int, pints: int) -> None:
    typed = parse(f"{quarts} qt + {pints} pt", kind=Kind.VOLUME, bare_unit="L")
    assert typed.value == quarts + Fraction(pints, 2)
    assert parse(f"{quarts} qt {pints} pt", kind=Kind.VOLUME, bare_unit="L") == typed


# Saybolt seconds are no ratio to anything: test_saybolt.py holds them.
RATIOS = tuple(unit for unit in UNITS if unit.name != "SUS")


@given(st.sampled_from(RATIOS), st.sampled_from(RATIOS), st.integers(1, 10_000))
def test_a_conversion_there_and_back_is_the_same(source: Unit, target: Unit, number: int) -> None:
    typed = parse(str(number), kind=source.kind, bare_unit=source.name)
    if source.kind is target.kind:
        there = typed.to(target.name)
        assert Typed(there, target.name, None, target.kind).to(source.name) == number
    else:
        with pytest.raises(QuantityError):
            typed.to(target.name)


@given(st.one_of(st.text(), st.text(alphabet=string.printable), grammar_like), st.sampled_from(list(Kind)))
@example("9**9**9", Kind.LENGTH)
@example("1" * LONGEST, Kind.LENGTH)
@example("1/" * (LONGEST // 2), Kind.LENGTH)
@example("1 mm+" * (LONGEST // 5), Kind.LENGTH)
@example("5 qt " * (LONGEST // 5), Kind.VOLUME)
def test_any_text_is_read_or_refused_in_few_steps(text: str, kind: Kind) -> None:
    bare = next(u.name for u in UNITS if u.kind is kind)
    parse("1 pt + 1 pt" if kind is Kind.VOLUME else "1", kind=kind, bare_unit=bare).echo()  # pay pint's import first
    calls = 0

    def count(_frame: FrameType, event: str, _argument: object) -> None:
        nonlocal calls
        calls += event == "call"

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        result: Typed | str = parse(text, kind=kind, bare_unit=bare)
    except QuantityError as error:
        result = str(error)
    finally:
        sys.setprofile(before)
    if isinstance(result, str):
        assert result.isprintable()
        assert result.endswith(".")
        assert len(result) < 220
        assert result.encode("utf-8")
    else:
        assert result.kind is kind
        assert "e+" not in result.echo()
        assert kind is Kind.TEMPERATURE or result.value >= 0
        assert result.plus_minus is None or result.plus_minus > 0
    assert calls < MOST_CALLS


@given(st.text(min_size=LONGEST + 1))
def test_a_long_text_is_refused_for_its_length_alone(text: str) -> None:
    with pytest.raises(QuantityError, match="too long"):
        length(text)


@given(grammar_like)
def test_a_minus_sign_never_subtracts_or_joins_unseen(text: str) -> None:
    """A hyphen is read only inside a mixed fraction (1-1/8), a unit (ft-lb) or +/-; elsewhere the text is refused."""
    try:
        typed = length(text.replace("±", " ") + "2 in - 1 thou")
    except QuantityError:
        return
    raise AssertionError(f"read as {typed.echo()}")
