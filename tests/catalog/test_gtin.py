"""GTIN check digits and scanner input."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.gtin import GtinError, check_digit, is_valid, normalise


@pytest.mark.parametrize(
    ("body", "digit"),
    [
        # GS1, "How to calculate a check digit manually", and GS1 Hong Kong's calculator page: worked in full.
        ("629104150021", 3),
        # GS1 India's page on the check digit: worked in full for a GTIN-13.
        ("890400021003", 7),
        # GS1 General Specifications, section 7.9.1, worked for an SSCC: the same rule on 17 digits (from memory).
        ("37610425002123456", 9),
        # The UPC-A worked in general references on check digits, "03600029145" (from memory).
        ("03600029145", 2),
        # A GTIN-8 worked in general references on EAN-8, "7351353" (from memory).
        ("7351353", 7),
    ],
)
def test_published_examples(body: str, digit: int) -> None:
    assert check_digit(body) == digit


def test_every_length_is_the_same_number_with_zeros_before_it() -> None:
    """GS1 General Specifications: a GTIN is stored right-aligned in 14 digits; leading zeros don't change the check."""
    assert normalise("036000291452").padded == normalise("0036000291452").padded == "00036000291452"
    assert normalise("73513537") == ("73513537", "00000073513537")


@pytest.mark.parametrize(
    "scanned",
    [
        "6291041500213",
        "6291041500213\r\n",
        "\t6291041500213\n",
        " 6 291041 500213 ",
        "629-1041-500213",
        "]E06291041500213",
        "]C10106291041500213",
        "]C1010629104150021317281231",
        "]d20106291041500213\x1d10LOT7",
        "]Q3\x1d0106291041500213",
        "(01)06291041500213(17)281231",
    ],
)
def test_what_a_scanner_types(scanned: str) -> None:
    assert normalise(scanned).padded == "06291041500213"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "Nothing was scanned"),
        (" \r\n", "Nothing was scanned"),
        ("6291041500214", "the last digit would be 3"),
        ("62910415002", "11 digits"),
        ("24.99X3.53", "not a row of digits"),
        ("٦٢٩١٠٤١٥٠٠٢١٣", "not a row of digits"),
        ("]C110LOT7", "no element 01"),
        ("9" * 500, "500 digits"),
    ],
)
def test_one_clear_sentence_for_what_is_wrong(text: str, part: str) -> None:
    with pytest.raises(GtinError, match=part) as caught:
        normalise(text)
    assert len(str(caught.value)) < 160


@given(st.sampled_from([7, 11, 12, 13]).flatmap(lambda n: st.text("0123456789", min_size=n, max_size=n)), st.data())
def test_every_wrong_digit_is_caught(body: str, data: st.DataObject) -> None:
    """Weights 1 and 3 are both prime to 10, so no single wrong digit goes unseen (GS1 General Specifications, 7.9)."""
    whole = f"{body}{check_digit(body)}"
    assert is_valid(whole)
    place = data.draw(st.integers(0, len(whole) - 1))
    wrong = data.draw(st.sampled_from([digit for digit in "0123456789" if digit != whole[place]]))
    assert not is_valid(f"{whole[:place]}{wrong}{whole[place + 1 :]}")


@given(st.text(max_size=40))
def test_any_text_is_a_gtin_or_an_error(text: str) -> None:
    try:
        read = normalise(text)
    except GtinError:
        return
    assert is_valid(read.digits)
    assert is_valid(read.padded)
