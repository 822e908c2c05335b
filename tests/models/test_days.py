"""A typed day: what reads one way is read, in every form; what reads two ways is refused with what to type."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models import days, moments
from models.errors import InvalidInputError
from tui.fields.field import Asked, FieldError
from tui.fields.plain import Day
from tui.fields.rubber import BagDate, Printed

DAYS = st.dates(date(1000, 1, 1), date(9999, 12, 31))


@given(DAYS)
def test_a_day_with_dots_is_day_first_and_iso_stays(day: date) -> None:
    assert days.read(day.isoformat()) == day
    for text in (f"{day.day}.{day.month}.{day.year}", f"{day.day:02}. {day.month:02}. {day.year}"):
        assert days.read(text) == day


@given(DAYS)
def test_a_day_with_slashes_is_read_only_where_it_is_one_day(day: date) -> None:
    for text in (f"{day.day}/{day.month}/{day.year}", f"{day.month:02}/{day.day:02}/{day.year}"):
        if day.day > 12 or day.day == day.month:
            assert days.read(text) == day
        else:
            with pytest.raises(days.NotADayError) as refused:
                days.read(text)
            # Both days are named, as they are to be typed.
            assert {day.isoformat(), day.replace(month=day.day, day=day.month).isoformat()} <= set(
                refused.value.hint.split()
            )


@given(st.text(alphabet="0123456789./- ", max_size=12))
def test_whatever_is_typed_is_that_day_or_refused(text: str) -> None:
    try:
        found = days.read(text)
    except days.NotADayError:
        return
    assert sorted(int(part) for part in text.replace(".", "-").replace("/", "-").split("-")) == sorted(
        (found.day, found.month, found.year)
    )


@pytest.mark.parametrize("text", ["4.12.26", "31.2.2026", "12.4", "13/13/2026", "2026.12.04", "4.12/2026", "٤.12.2026"])
def test_what_is_no_day_is_refused(text: str) -> None:
    with pytest.raises(FieldError, match="is not a day"):
        Day("day", "Day").from_text(text, Asked())


def test_every_field_of_a_day_takes_them() -> None:
    fourth = date(2026, 12, 4)
    field = Day("day", "Day")
    assert field.from_text("4.12.2026", Asked()) == fourth
    assert field.echo(fourth, Asked()) == "4 December 2026"
    with pytest.raises(FieldError, match=r"two days\. Type 2026-12-04 for 4 December 2026, or 2026-04-12 for 12 A"):
        field.from_text("4/12/2026", Asked())
    assert BagDate("cured", "Cured").from_text("4.12.2026", Asked()) == Printed(fourth)
    with pytest.raises(FieldError, match="may be two days"):
        BagDate("cured", "Cured").from_text("4/12/2026", Asked())
    now = datetime(2026, 12, 6, 12, tzinfo=UTC)
    assert moments.read("4.12.2026 14:30", now) == datetime(2026, 12, 4, 14, 30, tzinfo=UTC)
    with pytest.raises(InvalidInputError, match="does not say the hour"):
        moments.read("4.12.2026", now)
    with pytest.raises(InvalidInputError, match="may be on two days"):
        moments.read("4/12/2026 14:30", now)
