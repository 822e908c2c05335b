"""Money, currencies, rates and shares as typed: one meaning, exact, and one sentence for what can't be."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.purchasing.money import written
from tui.fields.field import Asked, Field, FieldError
from tui.fields.money import Currency, InCurrency, Money
from tui.fields.orders import Numbers
from tui.fields.plain import File, Share

MONEY = Money("freight", "Freight")


def asked(currency: str = "EUR") -> Asked:
    return Asked(values={"currency": currency})


@pytest.mark.parametrize(
    ("text", "currency", "minor"),
    [
        ("9.90", "EUR", 990), ("9,90", "EUR", 990), ("9", "EUR", 900), ("9.9 eur", "EUR", 990), ("EUR 9.9", "EUR", 990),
        ("1.500", "EUR", 150), ("120", "JPY", 120), ("1.234", "KWD", 1234), ("0", "EUR", 0),
    ],
)  # fmt: skip
def test_an_amount_is_exact_in_minor_units(text: str, currency: str, minor: int) -> None:
    """How many decimals a currency has: ISO 4217."""
    assert MONEY.from_text(text, asked(currency)) == minor


@given(st.integers(0, 10**12), st.sampled_from(["EUR", "JPY", "KWD"]))
def test_what_is_written_reads_back(minor: int, currency: str) -> None:
    text = written(minor, currency)
    assert MONEY.from_text(text, asked(currency)) == minor
    assert MONEY.echo(minor, asked(currency)) == text


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        (MONEY, "much", "is not an amount, as 9.90 EUR"),
        (MONEY, "-1", "is not an amount"),
        (MONEY, "9.999", "smallest coin"),
        (MONEY, "1,234.50", "is not an amount"),
        (MONEY, "9 USD", "is not an amount, as 9.90 EUR"),
        (Currency("currency", "Currency"), "EURO", "three letters"),
        (Share("share", "Share"), "120", "from 0 to 100"),
        (Share("share", "Share"), "1/0", "from 0 to 100"),
        (Numbers("job", "Jobs"), "x", "is not a whole number"),
        (File("file", "File"), " ", "Nothing is typed"),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(field: Field[object], text: str, told: str) -> None:
    with pytest.raises(FieldError) as refused:
        field.from_text(text, asked())
    assert told in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_share_is_exact_and_its_sign_may_stand() -> None:
    share = Share("share", "Share")
    assert {share.from_text(text, Asked()) for text in ("12.5", "12,5 %", "12.5%")} == {Fraction(1, 8)}


def test_rates_are_exact_and_need_the_currency() -> None:
    field = InCurrency("currency", "Currency")
    found = field.from_words({"currency": "eur", "rate": "USD=0.92\ngbp=1,15"}, Asked())
    assert found is not None
    assert (found.currency, found.rates) == ("EUR", {"USD": Fraction(23, 25), "GBP": Fraction(23, 20)})
    assert field.from_words({}, Asked()) is None
    for words in ({"rate": "USD=1"}, {"currency": "EUR", "rate": "USD"}, {"currency": "EUR", "rate": "USD=0"}):
        with pytest.raises(FieldError):
            field.from_words(words, Asked())


def test_a_files_name_is_kept_as_typed() -> None:
    assert File("file", "File").from_text("two  spaces.csv", Asked()) == "two  spaces.csv"
