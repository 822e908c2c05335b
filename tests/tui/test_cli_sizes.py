"""`kitwright sizes`: the tables as text and as JSON."""

from __future__ import annotations

import pytest

from tests.tui.command_line import CommandLine


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def test_without_a_text_every_size_of_a_series_is_listed(kitwright: CommandLine) -> None:
    """SAE AS568 has 369 sizes."""
    assert len(kitwright("sizes", "--series", "as568", "--json").json["sizes"]) == 369


# SAE AS568-214: ID 0.984 ± 0.010 in, width 0.139 ± 0.004 in.
def test_a_name_finds_its_size_first(kitwright: CommandLine) -> None:
    first = kitwright("sizes", "AS568-214", "--json").json["sizes"][0]
    assert (first["standard"], first["designation"], first["standing"]) == ("as568", "214", "published")
    assert first["id_mm"] == pytest.approx(0.984 * 25.4, abs=1e-4)
    assert first["id_plus_minus_mm"] == pytest.approx(0.010 * 25.4, abs=1e-4)
    assert first["cross_section_mm"] == pytest.approx(0.139 * 25.4, abs=1e-4)
    assert first["cross_section_plus_minus_mm"] == pytest.approx(0.004 * 25.4, abs=1e-4)


def test_a_dimension_in_either_unit_finds_sizes(kitwright: CommandLine) -> None:
    for text in ("24.99", "24,99", "0.984"):
        names = [size["name"] for size in kitwright("sizes", text, "--json").json["sizes"]]
        assert "AS568-214" in names


def test_every_word_must_be_found(kitwright: CommandLine) -> None:
    sizes = kitwright("sizes", "jis", "3.50", "--json").json["sizes"]
    assert sizes
    assert {size["standard"] for size in sizes} == {"jis"}


def test_series_narrow_even_a_name(kitwright: CommandLine) -> None:
    names = [size["name"] for size in kitwright("sizes", "214", "--series", "jis", "--json").json.get("sizes", [])]
    assert "AS568-214" not in names


def test_the_text_shows_both_units_and_where_a_row_comes_from(kitwright: CommandLine) -> None:
    ended = kitwright("sizes", "AS568-214")
    row = next(line for line in ended.out.splitlines() if line.startswith("AS568-214"))
    for cell in ("24.99 ±0.25", "3.53 ±0.10", "0.984", "0.139", "SAE AS568", "published"):
        assert cell in row


def test_nothing_found_ends_with_1(kitwright: CommandLine) -> None:
    ended = kitwright("sizes", "no such size")
    assert (ended.code, ended.err) == (1, "")
    assert kitwright("sizes", "no such size", "--json").json["sizes"] == []
