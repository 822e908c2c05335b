"""`kitwright filter`: fit in a housing, search in a list, conversions; from options, JSON and CSV; bad input told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


ELEMENT = {
    "kind": "cartridge",
    "od": "60 mm",
    "length": 120,
    "first": "open",
    "first_id": "29.5",
    "first_seal": "grommet",
    "second": "closed",
    "spring": "none",
    "medium": "60 mesh",
    "bypass": False,
    "collapse": "10 bar",
    "flow": "100 L/min",
}
HOUSING = {
    "takes": "cartridge",
    "depth": "120 mm",
    "bore": "70 mm",
    "head": "spigot",
    "head diameter": "30 mm",
    "cover": "flat",
    "cover-diameter": "10 mm",
    "outlet": "head",
    "spring": "none",
    "medium": "60 mesh",
    "bypass": "housing",
    "duty": "return",
    "max-differential": "3 bar",
    "flow": 80,
}
BOTH = json.dumps({"element": ELEMENT, "housing": HOUSING})
CANDIDATES = """\
kind,name,od,length,first,first-id,second,thread
cartridge,near one,62,121,open,30,closed,
cartridge,the one,60,120,open,30,closed,
cartridge,too wide,80,120,open,30,closed,
cartridge,unknown bore,60,120,open,,closed,
spin-on,a can,93,142,,,,3/4-16
"""


@pytest.fixture
def both(tmp_path: Path) -> Path:
    file = tmp_path / "both.json"
    file.write_text(BOTH, encoding="utf-8")
    return file


@pytest.fixture
def candidates(tmp_path: Path) -> Path:
    file = tmp_path / "elements.csv"
    file.write_text(CANDIDATES, encoding="utf-8")
    return file


def test_an_element_that_seals_at_both_ends_fits(kitwright: CommandLine, both: Path) -> None:
    ended = kitwright("filter", "--file", str(both), "--json")
    conforms("filter", ended.json)
    assert (ended.code, ended.json["overall"], ended.json["to_measure"]) == (0, "fits", [])


# Common practice, no source: too short for its housing an element floats, and unfiltered oil passes.
def test_too_short_it_floats_and_says_what_it_lets_through(kitwright: CommandLine, both: Path) -> None:
    ended = kitwright("filter", "--file", str(both), "--element", "length=112")
    assert ended.code == 1
    assert ended.out.startswith("cartridge in this housing: does not fit")
    assert "unfiltered oil passes" in ended.out.splitlines()[2]


def test_an_open_end_at_the_wrong_side_is_turned_or_refused(kitwright: CommandLine, both: Path) -> None:
    turned = kitwright(
        *("filter", "--file", str(both), "--json", "--element"),
        *("first=closed", "first-id=", "first-seal=", "second=open", "second-id=29.5", "second-seal=grommet"),
    )
    assert (turned.json["way"], turned.json["overall"]) == ("turned", "fits")
    both_open = kitwright("filter", "--file", str(both), "--element", "second=open", "second-id=30")
    assert both_open.code == 1
    assert "unfiltered oil" in both_open.out


def test_what_was_not_measured_is_listed_and_never_fits(kitwright: CommandLine) -> None:
    words = ("filter", "--element", "kind=cartridge", "od=60", "--housing", "bore=70")
    ended = kitwright(*words, "--json")
    assert (ended.code, ended.json["overall"]) == (1, "measure this")
    assert {"length", "kind", "collapse"} <= set(ended.json["to_measure"])
    assert "Measure this before you trust it" in kitwright(*words).out


# M20 × 1.5 and 3/4-16 (19.05 mm, 1.588 mm) start on each other and must never pass (trade lists of spin-on threads).
def test_a_metric_can_on_an_inch_head_is_refused(kitwright: CommandLine) -> None:
    words = ("--element", "kind=spin-on", "thread=M20x1.5", "--housing", "takes=spin-on", "thread=3/4-16", "--json")
    answer = kitwright("filter", *words).json
    assert answer["criteria"][0]["name"] == "thread"
    assert answer["criteria"][0]["grade"] == "does not"
    assert answer["criteria"][0]["hard"] is True


def test_a_finer_suction_medium_warns_of_a_cold_pump(kitwright: CommandLine, both: Path) -> None:
    """Common practice, no source. 100 mesh opens 150 µm where 60 mesh opens 250 µm (ASTM E11)."""
    words = ("--element", "medium=100 mesh", "--housing", "duty=suction", "--json")
    answer = kitwright("filter", "--file", str(both), *words).json
    medium = next(one for one in answer["criteria"] if one["name"] == "medium")
    assert (answer["overall"], medium["grade"], medium["hard"]) == ("with care", "with care", False)
    assert "150 against 250 µm" in medium["text"]
    assert "starves the pump" in medium["text"]


def test_a_csv_file_says_the_same_as_json(kitwright: CommandLine, both: Path, tmp_path: Path) -> None:
    rows = ["part;field;value"]
    for part, fields in (("element", ELEMENT), ("housing", HOUSING)):
        rows += [f"{part};{name};{'no' if value is False else value}" for name, value in fields.items()]
    file = tmp_path / "both.csv"
    file.write_text("\n".join(rows), encoding="utf-8-sig")
    assert (
        kitwright("filter", "--file", str(file), "--json").json
        == kitwright("filter", "--file", str(both), "--json").json
    )


def test_a_search_ranks_by_word_then_unknowns_then_misses(kitwright: CommandLine, candidates: Path) -> None:
    words = ("filter", "--search", "cartridge, 60 x 120, open 30 at one end", "--list", str(candidates))
    ended = kitwright(*words, "--json")
    conforms("filter", ended.json)
    assert ended.code == 0
    assert [one["element"] for one in ended.json["found_elements"]] == ["the one", "near one", "unknown bore"]
    assert ended.json["found_elements"][-1]["overall"] == "measure this"
    all_of_them = kitwright(*words, "--misses", "--json").json
    assert {one["element"] for one in all_of_them["found_elements"]} >= {"too wide", "a can"}
    text = kitwright(*words).out
    assert text.splitlines()[2].startswith("the one")
    assert "60.00 mm (2.3622 in)" in text


def test_inches_and_cans_are_searched_by_thread(kitwright: CommandLine, candidates: Path) -> None:
    words = ("--search", "spin-on, 3.66 x 5.59, 3/4-16", "--unit", "in", "--list", str(candidates))
    # The list holds bare numbers, so it must be read in the unit it was written in.
    told = kitwright("filter", *words)
    assert told.code == 1
    metric = ("--search", "spin-on, 3.66in x 5.59in, 3/4-16", "--list", str(candidates))
    assert kitwright("filter", *metric, "--json").json["found_elements"][0]["element"] == "a can"


def test_a_bad_row_is_told_and_the_rest_go_on(kitwright: CommandLine, candidates: Path) -> None:
    candidates.write_text(CANDIDATES + "strainr,bad,60,120,,,,\n", encoding="utf-8")
    ended = kitwright("filter", "--search", "60 x 120", "--list", str(candidates), "--json")
    assert ended.code == 2
    assert ended.json["found_elements"]
    assert "line 7" in ended.json["problems"][0]
    assert "line 7" in ended.err


def test_nothing_found_ends_with_1(kitwright: CommandLine, candidates: Path) -> None:
    ended = kitwright("filter", "--search", "cartridge, 300 x 700", "--list", str(candidates))
    assert ended.code == 1
    assert ended.out.startswith("None of 5 elements")


def test_a_described_element_is_judged_in_a_housing(kitwright: CommandLine, both: Path) -> None:
    answer = kitwright("filter", "--describe", "cartridge, 60 x 110, open 30 at one end", "--file", str(both), "--json")
    conforms("filter", answer.json)
    assert answer.json["overall"] == "does not"


# ASTM E11: No. 60 is 250 µm and No. 325 is 45 µm. ISO 16889: β 75 holds back 98.67 %, β 200 99.5 %.
@pytest.mark.parametrize(("mesh", "opening"), [("60", 250), ("325", 45), ("100 mesh", 150)])
def test_mesh_and_opening(kitwright: CommandLine, mesh: str, opening: float) -> None:
    assert kitwright("filter", "--mesh", mesh, "--json").json["opening_um"] == opening
    back = kitwright("filter", "--opening", f"{opening}um", "--json").json
    assert back["mesh"] == mesh.split()[0]


@pytest.mark.parametrize(("beta", "share"), [("75", 98.67), ("200", 99.5), ("1000", 99.9)])
def test_beta_and_share_held_back(kitwright: CommandLine, beta: str, share: float) -> None:
    answer = kitwright("filter", "--beta", beta, "--json").json
    conforms("filter", answer)
    assert answer["held_back_pct"] == pytest.approx(share, abs=0.01)


# ISO 4406: 18 is 1,300 to 2,500 particles per mL, 16 is 320 to 640, 13 is 40 to 80.
def test_cleanliness_codes_both_ways(kitwright: CommandLine) -> None:
    assert kitwright("filter", "--counts", "1800", "500", "60", "--json").json["code"] == "18/16/13"
    answer = kitwright("filter", "--code", "18/16/13", "--json").json
    conforms("filter", answer)
    assert [(one["over"], one["up_to"]) for one in answer["per_ml"]] == [(1300, 2500), (320, 640), (40, 80)]


@pytest.mark.parametrize(
    "words",
    [
        ("--mesh", "60"),
        ("--opening", "0.01in"),
        ("--beta", "2"),
        ("--counts", "-", "500", "60"),
        ("--code", ">28/16/-"),
        ("--fields",),
        ("--describe", "strainer, 60 x 120, open 30", "--housing", "depth=125"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("filter", *words, "--json")
    conforms("filter", ended.json)
    assert ended.code in (0, 1)


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine, both: Path) -> None:
    answer = kitwright("filter", "--file", str(both), "--json").json
    answer["score"] = 7
    assert not validator("filter-fit").is_valid(answer)


def test_every_field_is_told_and_can_be_typed(kitwright: CommandLine) -> None:
    fields = kitwright("filter", "--fields", "--json").json
    for name in fields["element"]:
        ended = kitwright("filter", "--element", f"{name}=", "--housing", "depth=100")
        assert "kind is missing" in ended.err, name
    for name in fields["housing"]:
        ended = kitwright("filter", "--element", "kind=cartridge", "--housing", f"{name}=")
        assert ended.code == 1, name


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "nothing asked"),
        (("--element", "od=60"), "kind is missing"),
        (("--element", "kind=cartridge"), "the housing is missing"),
        (("--housing", "depth=100"), "the element is missing"),
        (("--element", "kind=cartrige", "--housing", "depth=100"), "did you mean cartridge?"),
        (("--element", "kind=cartridge", "lenght=100", "--housing", "depth=1"), "did you mean length?"),
        (("--element", "kind=cartridge", "60", "--housing", "depth=1"), "has no ="),
        (("--element", "kind=cartridge", "od=6", "od=7", "--housing", "depth=1"), "twice"),
        (("--element", "kind=cartridge", "od=-6", "--housing", "depth=1"), "element od"),
        (("--element", "kind=cartridge", "od=nan", "--housing", "depth=1"), "element od"),
        (("--element", "kind=cartridge", "od=0", "--housing", "depth=1"), "element od"),
        (("--element", "kind=cartridge", "flow=0", "--housing", "depth=1"), "element flow"),
        (("--element", "kind=cartridge", "flow=a lot", "--housing", "depth=1"), "element flow"),
        (("--element", "kind=cartridge", "collapse=10 mm", "--housing", "depth=1"), "element collapse"),
        (("--element", "kind=cartridge", "medium=felt", "--housing", "depth=1"), "element medium"),
        (("--element", "kind=cartridge", "medium=61 mesh", "--housing", "depth=1"), "element medium"),
        (("--element", "kind=cartridge", "bypass=no", "bypass-opens=1bar", "--housing", "depth=1"), "bypass"),
        (("--element", "kind=cartridge", "spring=none", "spring-free=20", "--housing", "depth=1"), "spring"),
        (("--element", "kind=cartridge", "gasket-id=70", "gasket-od=60", "--housing", "depth=1"), "gasket-id"),
        (("--element", "kind=spin-on", "thread=M99x9", "--housing", "depth=1"), "element thread"),
        (("--element", "kind=cartridge", "name=\x1b[31m", "--housing", "depth=1"), "element name"),
        (("--element", "kind=cartridge", "\x1b[31m=5", "--housing", "depth=1"), "field"),
        (("--element", "kind=cartridge", "od=" + "9" * 100_000, "--housing", "depth=1"), "element od"),
        (("--file", "/no/such/file.json"), "--file"),
        (("--file", "a\0b"), "--file"),
        (("--describe", "60 x 120"), "the housing is missing"),
        (("--describe", "60 x 120", "--housing", "depth=125"), "say what it is"),
        (("--describe", "60 x 120", "--search", "60 x 120"), "--describe"),
        (("--shop",), "--shop"),
        (("--shop", "--list", "x.csv", "--housing", "depth=125"), "--shop or --list"),
        (("--shop", "--element", "od=60", "--housing", "depth=125"), "--element"),
        (("--shop", "--mesh", "60"), "of its own"),
        (("--search", "blue"), "--search"),
        (("--search", "blue", "--list", "/no/such.csv"), "--search"),
        (("--search", "60 x 120", "--list", "/no/such.csv"), "--list"),
        (("--search", "60 x 120", "--list", "x.csv", "--file", "y.json"), "stands alone"),
        (("--list", "x.csv"), "--search"),
        (("--mesh", "61"), "--mesh"),
        (("--mesh", "60", "--beta", "200"), "two questions"),
        (("--mesh", "60", "--element", "od=60"), "of its own"),
        (("--beta", "0.5"), "--beta"),
        (("--beta", "1e400"), "--beta"),
        (("--opening", "-5um"), "--opening"),
        (("--counts", "1", "2", "3"), "cannot rise"),
        (("--counts", "1", "2"), "--counts"),
        (("--code", "18/16"), ""),
        (("--code", "99/99/99"), "--code"),
        (("--code", "\x1b[31m"), "--code"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("filter", *words)
    if not told:
        assert ended.code == 0  # the older code of two numbers
        return
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert "Traceback" not in ended.err
    assert len(ended.err) < 500
    assert "\x1b" not in ended.err


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "empty"),
        (b"{", "not JSON"),
        (b"[" * 100_000, "not JSON"),
        (b"[1]", "JSON must be"),
        (b'{"element": 5}', "JSON must be"),
        (b'{"elment": {}}', "did you mean element?"),
        (b'{"element": {"od": [1]}, "housing": {}}', "must be a text"),
        (b'{"element": {"kind": "cartridge", "od": 1e999}}', "element od"),
        (b"a,b\n1,2\n", "part,field,value"),
        (b"part,field,value\nelement,od\n", "line 2"),
        (b"part,field,value\nelement,od,6\nelement,OD,7\n", "given before"),
        (b"part,field,value\nhouse,od,6\n", "housing"),
        (b"\xff\xfe\x00", "UTF-8"),
    ],
)
def test_a_file_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, tmp_path: Path, content: bytes, told: str
) -> None:
    file = tmp_path / "bad"
    file.write_bytes(content)
    ended = kitwright("filter", "--file", str(file))
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert "Traceback" not in ended.err
    assert len(ended.err) < 400


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("", "empty"),
        ("kind,colour\n", "colour"),
        ("kind,od,OD\n", "2 times"),
    ],
)
def test_a_list_whose_columns_cannot_be_used_is_told(
    kitwright: CommandLine, tmp_path: Path, content: str, told: str
) -> None:
    file = tmp_path / "list.csv"
    file.write_text(content, encoding="utf-8")
    ended = kitwright("filter", "--search", "60 x 120", "--list", str(file))
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err


def test_the_words_of_the_fields_are_the_catalogs() -> None:
    from catalog.filters import cleanliness, element, grade, housing
    from tui.answers.filters import GRADES, OVERALL
    from tui.fields import filters

    for words, told in (
        (element.Kind, filters.KINDS), (element.EndForm, filters.FORMS), (element.EndSeal, filters.SEALS),
        (housing.SeatForm, filters.SEATS), (housing.Where, filters.ENDS), (housing.BypassPlace, filters.PLACES),
        (housing.Position, filters.POSITIONS), (housing.Duty, filters.DUTIES),
        (grade.Grade, tuple(GRADES)), (grade.Grade, tuple(OVERALL)),
    ):  # fmt: skip
        assert tuple(one.value for one in words) == told
    assert len(cleanliness.SIZES) == len(filters.SIZES)


def test_a_list_of_fields_given_twice_adds_up(kitwright: CommandLine) -> None:
    words = ("--element", "kind=cartridge", "--element", "length=120", "--housing", "depth=118", "--json")
    once = ("--element", "kind=cartridge", "length=120", "--housing", "depth=118", "--json")
    assert kitwright("filter", *words).json == kitwright("filter", *once).json
