"""Every field of every operation reads the same in a form and on the command line, whatever the settings."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from catalog.quantity import Kind
from catalog.quantity.units import find
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tests.tui.counter import keys, make_app, settle
from tui.fields.box import BoxRows
from tui.fields.field import Asked, Field, FieldError
from tui.fields.orders import CureDays
from tui.fields.plain import Choice, Count, Day, Flag, Text
from tui.fields.quantities import EXAMPLES, Length, Pressure, Quantity, Temperature, Torque, Volume
from tui.fields.trade import BarCode, Minutes, Pairs, Percent, RingSize
from tui.fields.units import CHOICES, Units, keep, kept
from tui.operations.registry import AREAS, operations

SETTINGS = [Units(*chosen) for chosen in product(*CHOICES.values())]
QUANTITIES: tuple[Quantity, ...] = (
    Length("length", "Length"), Torque("torque", "Torque"), Pressure("pressure", "Pressure"),
    Volume("volume", "Volume"), Temperature("warm", "Temperature"),
)  # fmt: skip
TYPED = (
    *("", " ", "12", "0", "12,5", "1 1/8", "3 mm", "75 lbf·ft", "100 Nm", "11 qt", "150 psi", "-3", "x"),
    *("2026-12-04", "y"),
)


APART = (BoxRows, CureDays)
"""A form takes a box's rows themselves and a cure day by line; the command line a file of them, and LINE=DAY."""


def every_field() -> Iterator[Field[Any]]:
    yield from QUANTITIES
    for area in AREAS:
        for one in operations(area):
            for field in one.typed:
                if field.options() and not field.LOOKS and not isinstance(field, APART):
                    yield field


def read(call: object) -> object:
    """What a door gives: the value, or the sentence of its refusal."""
    try:
        return call()  # type: ignore[operator]
    except FieldError as problem:
        return str(problem)


@pytest.mark.parametrize("units", SETTINGS, ids=lambda units: " ".join(units))
def test_a_form_and_an_option_read_a_field_alike(units: Units) -> None:
    row = SimpleNamespace(counted_in="ul", free=3)
    for field in every_field():
        asked = Asked(units, {"stock": row})
        for text in TYPED:
            if len(field.options()) > 1 and not text.strip():
                continue  # the command line has another way to say it, and names both
            by_form = read(lambda field=field, text=text, asked=asked: field.from_text(text, asked))
            words = {field.name: text or None}
            by_option = read(lambda field=field, words=words, asked=asked: field.from_words(words, asked))
            assert by_form == by_option, (field, text)


@pytest.mark.parametrize("units", SETTINGS, ids=lambda units: " ".join(units))
def test_a_bare_number_is_in_the_settings_unit_and_its_echo_says_both(units: Units) -> None:
    for field in QUANTITIES:
        unit = units.bare(field.KIND)
        value = field.from_text("12", Asked(units))
        assert (value.value, value.unit) == (Fraction(12), unit)
        assert field.echo(value, Asked(units)).startswith(f"12 {unit} = ")
        # Below 20 N·m a torque is read in lbf·in, as wrenches for small bolts are marked.
        other = "lbf·in" if unit == "N·m" else find(unit, Kind(field.KIND)).other
        assert other in field.echo(value, Asked(units))
        assert unit in field.hint(Asked(units)), "the unit stands in the field before a digit is typed"


def test_flipping_lengths_changes_no_other_quantity() -> None:
    metric, inch = Units(), Units(length="in")
    for field in QUANTITIES[1:]:
        assert field.from_text("100", Asked(metric)) == field.from_text("100", Asked(inch))
    # 1 lbf·ft is 1.355 817 948 331 400 4 N·m exactly: NIST SP 811, B.8.
    torque = Torque("torque", "Torque").from_text("100", Asked(Units(torque="lbf·ft")))
    assert torque.to("N·m") == Fraction("135.58179483314004")


def test_what_reads_no_settings_has_no_field_that_goes_by_them() -> None:
    told = [one for area in AREAS for one in operations(area) if one.lengths_only]
    assert told
    for one in told:
        for field, text, units in product(one.typed, TYPED, SETTINGS):
            plain = Asked(Units(length=units.length))
            by_setting, by_none = (
                read(lambda field=field, text=text, asked=asked: field.from_text(text, asked))
                for asked in (Asked(units), plain)
            )
            assert by_setting == by_none, (field, text)


def test_a_typed_unit_goes_before_every_setting() -> None:
    for units, (kind, text) in product(
        SETTINGS,
        ((Kind.TORQUE, "75 lbf·ft"), (Kind.PRESSURE, "150 psi"), (Kind.VOLUME, "11 qt"), (Kind.LENGTH, "3 mm")),
    ):
        (field,) = (one for one in QUANTITIES if kind == one.KIND)
        assert field.from_text(text, Asked(units)) == field.from_text(text, Asked())


def test_the_benchs_units_are_kept_and_the_length_is_not(tmp_path: Path) -> None:
    assert kept() == Units()
    keep(Units(length="in", torque="lbf·ft", volume="US qt"))
    assert kept() == Units(torque="lbf·ft", volume="US qt")
    assert kept("in").length == "in"


@pytest.mark.parametrize("told", ["", "[]", '{"torque": "stone"}', '{"torque": 3}', "\x00", '{"length": "in"}'])
def test_a_spoilt_file_of_units_counts_as_none(told: str) -> None:
    from models.storage.locations import data_folder

    data_folder().mkdir(parents=True, exist_ok=True)
    (data_folder() / "units.json").write_text(told, encoding="utf-8")
    assert kept() == Units()


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        (Count("n", "N"), "x", "'x' is not a whole number from 1 up; type for example 12."),
        (Count("n", "N", least=0, most=9), "10", "from 0 to 9; type for example 9."),
        (Count("n", "N", most=1), "F1", "'F1' is not a whole number from 1 to 1; type for example 1."),
        (Day("day", "Day"), "30 June", "Type the day like 2029-06-30"),
        (Day("day", "Day"), "2026-02-30", "is not a day"),
        (Flag("so", "So"), "perhaps", "type y or n"),
        (Text("why", "Why", what="a reason"), " ", "Nothing is typed; type a reason."),
        (Text("why", "Why"), "a" * 501, "at most 500 are kept"),
        (Text("why", "Why"), "a\x00b", "can't be printed"),
        (Torque("t", "T"), "40 lb", "is half a torque"),
        (Volume("v", "V"), "3 oz", "type fl oz"),
        (Choice("kind", "Kind", choices=("ring", "fluid")), "fluit", "did you mean fluid?"),
        (RingSize("size", "Size"), "9999", "kitwright sizes"),
        (Minutes("cure", "Cure"), "5 days", "type for example 24 h or 90 min"),
        (Percent("service", "Service", least=50), "49", "from 50 to 99.9 percent"),
        (Percent("service", "Service"), "100", "to 99.9 percent"),
        # The last digit of the GS1 General Specifications' example is 3.
        (BarCode("gtin", "Code"), "6291041500214", "the last digit would be 3"),
        (Pairs("at", "At", metavar="NAME=KIND", example="sump=fluid"), "sump", 'type for example "sump=fluid"'),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(field: Field[object], text: str, said: str) -> None:
    with pytest.raises(FieldError) as refused:
        field.from_text(text, Asked())
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


def test_every_bare_unit_has_an_example() -> None:
    assert {units.bare(kind) for units in SETTINGS for kind in Kind} <= set(EXAMPLES)


def test_the_command_shows_and_keeps_the_units(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    command = CommandLine(capsys, monkeypatch)
    told = command("units", "--torque", "ft-lb", "--volume", "QT", "--json")
    conforms("units", told.json)
    assert (told.json["torque"], told.json["volume"], told.json["pressure"]) == ("lbf·ft", "US qt", "bar")
    assert "a torque is in lbf·ft" in command("units").out.lower()
    refused = command("units", "--torque", "stone")
    assert refused.code == 2
    assert "type N·m or lbf·ft" in refused.err


async def test_the_app_keeps_a_units_change_and_flipping_lengths_leaves_it(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.action_flip("torque")
        await keys(pilot, "f6")
        assert app.units == Units(length="in", torque="lbf·ft")
        assert "Unit of torque: lbf·ft" in {one.title for one in app.get_system_commands(app.screen)}
    assert kept() == Units(torque="lbf·ft")


def test_a_data_folder_that_cannot_be_holds_no_units_and_refuses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KITWRIGHT_DATA", "postgresql://bench@shop.invalid/kitwright")
    assert kept("in") == Units(length="in")
