"""Orders as CSV and as a mail."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.purchasing.money import Exchange, written
from models.purchasing.offers import Break, Offer, Serves, ShortLine, Supplier
from models.purchasing.order_text import HEADERS, neutral, order_csv, order_mail
from models.purchasing.orders import SupplierOrder
from models.purchasing.plan import Plan, plan

TODAY = date(2026, 3, 2)


def _order(sku: str = "R-24.99x3.53", name: str = "O-ring, FKM", currency: str = "EUR") -> SupplierOrder:
    offer = Offer("Alder", sku, 10, (Break(1, 1250),), (Serves("ring"),), lead_days=3, name=name)
    made = plan([ShortLine("L1", "ring", 12)], [offer], [Supplier("Alder", currency, freight=490)], today=TODAY)
    assert isinstance(made, Plan)
    return made.orders[0]


def test_csv_reads_back_as_written() -> None:
    rows = list(csv.reader(io.StringIO(order_csv(_order()), newline="")))
    assert rows == [
        list(HEADERS),
        ["R-24.99x3.53", "O-ring, FKM", "2", "10", "12.50", "25.00", "EUR", "2026-03-05"],
    ]
    assert order_csv(_order()).count("\r\n") == 2


def test_mail() -> None:
    assert order_mail(_order(), shop="Orchard co-op workshop", ordered=TODAY) == (
        "Order from Orchard co-op workshop to Alder, 2026-03-02\n\n"
        "2 × R-24.99x3.53, O-ring, FKM\n    12.50 EUR each, 25.00 EUR\n\n"
        "Goods 25.00 EUR\nFreight 4.90 EUR\nTotal 29.90 EUR\n"
    )


# OWASP, "CSV Injection": cells that start with one of these may be run.
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", " =", "\u00a0+", "＝"])
def test_no_cell_starts_a_formula(start: str) -> None:
    hostile = f"{start}HYPERLINK(1)"
    rows = list(csv.reader(io.StringIO(order_csv(_order(sku=hostile, name=hostile)), newline="")))
    assert rows[1][0] == rows[1][1] == f"'{hostile}"


@given(st.text(max_size=20))
def test_neutral_keeps_the_text(text: str) -> None:
    made = neutral(text)
    assert made in (text, f"'{text}")
    assert not made.lstrip().startswith(("=", "+", "-", "@"))


def test_a_mail_line_stays_one_line() -> None:
    mail = order_mail(_order(name="ring\r\nBcc: someone\x1b[2J"), shop="Shop\nX", ordered=TODAY)
    assert len(mail.splitlines()) == len(order_mail(_order(), shop="Shop", ordered=TODAY).splitlines())
    assert "\x1b" not in mail


@pytest.mark.parametrize(
    ("minor", "currency", "text"),
    # Decimals from ISO 4217.
    [
        (123456, "EUR", "1234.56 EUR"),
        (5, "EUR", "0.05 EUR"),
        (-7, "EUR", "-0.07 EUR"),
        (1234, "JPY", "1234 JPY"),
        (1234, "KWD", "1.234 KWD"),
    ],
)
def test_money_is_written_with_its_decimals(minor: int, currency: str, text: str) -> None:
    assert written(minor, currency) == text


def test_a_rate_between_whole_units_counts_decimals() -> None:
    from fractions import Fraction

    # 1 USD = 150 JPY: 1 cent is 1.5 yen.
    assert Exchange("JPY", {"USD": Fraction(150)}).minor_rate("USD") == Fraction(3, 2)
