"""Prices and packs as suppliers write them: exact, or refused."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.supplier_lists.cells import neutral, plain
from models.supplier_lists.figures import FigureError, Price, from_number, likely_mark, pack, price
from models.words import Unit


@pytest.mark.parametrize(
    ("text", "mark", "currency", "expected"),
    [
        ("12.50", ".", "EUR", (1250, 1)),
        ("12,5", ",", "EUR", (1250, 1)),
        ("1.234,56", ",", "EUR", (123456, 1)),
        ("1,234.56", ".", "USD", (123456, 1)),
        ("1 234,56", ",", "EUR", (123456, 1)),
        ("1'234.50", ".", "CHF", (123450, 1)),
        ("€ 7", ".", "EUR", (700, 1)),
        ("7.- EUR", ".", "EUR", (700, 1)),
        ("0.0345", ".", "EUR", (345, 100)),
        ("1500", ".", "JPY", (1500, 1)),  # ISO 4217: the yen has no decimals, the Kuwaiti dinar three
        ("1.2345", ".", "KWD", (12345, 10)),
        ("", ".", "EUR", None),
        ("on request", ".", "EUR", None),
        ("P.O.A.", ".", "EUR", None),
        ("auf Anfrage", ",", "EUR", None),
        ("-", ".", "EUR", None),
        ("0", ".", "EUR", (0, 1)),
    ],
)
def test_prices(text: str, mark: str, currency: str, expected: tuple[int, int] | None) -> None:
    assert price(text, mark, currency) == expected


@pytest.mark.parametrize(
    "text",
    [
        "abc",
        "-1",
        "12,50",
        "1,2,3",
        "12.50 USD",
        "$",
        "1e5",
        "£3",
        "12.50.1",
        "=1+1",
        "1,23,456",
        "9" * 30,
        "NaN",
    ],
)
def test_what_is_no_price_of_this_list_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(FigureError) as raised:
        price(text, ".", "EUR")
    assert 10 < len(str(raised.value)) < 200


@given(
    st.decimals(min_value=0, max_value=10**9, places=6), st.sampled_from(["EUR", "JPY", "KWD"]), st.sampled_from(".,")
)
def test_a_price_is_kept_exactly(amount: Decimal, currency: str, mark: str) -> None:
    found = price(f"{amount:f}".replace(".", mark), mark, currency)
    assert found is not None
    places = {"EUR": 2, "JPY": 0, "KWD": 3}[currency]
    assert Fraction(found.minor, found.per) == Fraction(amount) * 10**places


def test_one_price_is_written_in_one_way() -> None:
    assert price("3.00", ".", "EUR", per=100) == price("0.03", ".", "EUR") == Price(3, 1)


# NIST SP 811 (2008), Appendix B: the US gallon is 3.785 411 784 L.
@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("10/pk", "", (10, Unit.EACH)),
        ("10 pcs/pack", "", (10, Unit.EACH)),
        ("bag of 50", "", (50, Unit.EACH)),
        ("1.000 per box", "", (1000, Unit.EACH)),
        ("100", "", (100, Unit.EACH)),
        ("100 pcs", "", (100, Unit.EACH)),
        ("1.000", "Stk", (1000, Unit.EACH)),
        ("5 gal", "", (18_927_059, Unit.MICROLITRE)),
        ("20", "L", (20_000_000, Unit.MICROLITRE)),
        ("4 x 5 L", "", (20_000_000, Unit.MICROLITRE)),
        ("0,5", "l", (500_000, Unit.MICROLITRE)),
        ("", "ea", (1, Unit.EACH)),
        ("", "", (1, Unit.EACH)),
    ],
)
def test_packs(text: str, unit: str, expected: tuple[int, Unit]) -> None:
    assert pack(text, unit, ",") == expected


@pytest.mark.parametrize(
    ("text", "unit"), [("0", ""), ("1,5", "pcs"), ("-1", ""), ("12 oz", ""), ("3", "furlongs"), ("x", "")]
)
def test_what_is_no_pack_is_refused(text: str, unit: str) -> None:
    with pytest.raises(FigureError):
        pack(text, unit, ",")


def test_the_decimal_mark_is_seen_where_it_can_be() -> None:
    assert likely_mark(["1,50", "12,00", "3"])[0] == ","
    assert likely_mark(["1,234.50", "0.5"])[0] == "."
    assert likely_mark(["1.234", "5.678"])[1] == 0.5
    assert likely_mark([])[1] == 0.5


def test_a_spreadsheets_number_has_fifteen_digits() -> None:
    assert [from_number(one) for one in (0.1 + 0.2, 12.0, 1e-7, 1234567.89)] == ["0.3", "12", "0.0000001", "1234567.89"]


@given(st.text(max_size=12))
def test_neutral_cells_are_themselves_again(cell: str) -> None:
    assert plain(neutral(cell)) == cell
    assert neutral(cell)[:1] not in {"=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠"}
