"""What an hour meter shows is read as it is typed, to the hundredth, and nothing else is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.hours import in_words
from tui.fields.field import Asked, FieldError
from tui.fields.hour_meter import HOURS


@given(st.integers(0, 10**8 - 1))
def test_what_is_shown_can_be_typed_again(hundredths: int) -> None:
    assert HOURS.from_text(in_words(hundredths), Asked()) == hundredths


@pytest.mark.parametrize(
    ("text", "hundredths"),
    [("", None), ("1234.5", 123_450), ("1234,5", 123_450), ("1234 h", 123_400), ("0", 0), ("0.07 hours", 7)],
)
def test_hours_are_read(text: str, hundredths: int | None) -> None:
    assert HOURS.from_text(text, Asked()) == hundredths


@pytest.mark.parametrize(
    "text", ["-5", "1,234.5", "1,234", "1.234", "12h30", "12:30", "1e3", "٣", "1234567", "h", ".5"]
)
def test_what_could_be_read_in_two_ways_is_refused(text: str) -> None:
    with pytest.raises(FieldError, match="hour meter"):
        HOURS.from_text(text, Asked())
