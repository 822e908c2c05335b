"""`kitwright sheet`: text to the screen, PDF to a file or a pipe."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tests.tui.counter import HOSTILE
from tests.tui.seed import seed

POINTS_PER_MM = 72 / 25.4


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def data(tmp_path: Path) -> tuple[str, str]:
    return ("--data", str(seed(tmp_path / "workshop.sqlite3")))


def pages(made: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages)


@pytest.mark.parametrize("words", [("job", "1"), ("pick", "1"), ("pick", "1", "2", "1"), ("labels",), ("labels", "b3")])
def test_the_pdf_says_what_the_text_says(
    kitwright: CommandLine, data: tuple[str, str], tmp_path: Path, words: tuple[str, ...]
) -> None:
    text = kitwright("sheet", *words, *data)
    assert text.code == 0
    assert "B3" in text.out
    file = tmp_path / "out.pdf"
    made = kitwright("sheet", *words, *data, "--pdf", str(file))
    assert (made.code, made.out) == (0, "")
    assert str(file) in made.err
    assert "B3" in pages(file.read_bytes())
    assert list(tmp_path.glob(".kitwright-*")) == []


def test_the_job_sheet_names_the_ring_its_bin_and_what_is_short(kitwright: CommandLine, data: tuple[str, str]) -> None:
    said = " ".join(kitwright("sheet", "job", "1", *data, "--shop", "Co-op bench").out.split())
    for words in ("Reseal the spray pump", "Co-op bench", "O-ring AS568-214 NBR 70", "Short: not on the shelf"):
        assert words in said


def test_rings_come_in_their_true_size_and_need_no_workshop(
    kitwright: CommandLine, tmp_path: Path, own_folders: Path
) -> None:
    file = tmp_path / "rings.pdf"
    assert kitwright("sheet", "rings", "AS568-214", "P22A", "--pdf", str(file), "--paper", "letter").code == 0
    sheet = pypdf.PdfReader(file).pages[0]
    # 8 1/2 in × 11 in (ANSI/ASME Y14.1, size A), 72 points an inch.
    assert [float(side) for side in sheet.mediabox[2:]] == pytest.approx([612, 792], abs=0.01)
    # AS568-214 is 0.984 in inside and 0.139 in wide (SAE AS568).
    assert "24.99 mm (0.984" in " ".join(kitwright("sheet", "rings", "AS568-214").out.split())
    assert not own_folders.exists()


def test_a_sheet_comes_in_the_language_that_is_asked_for(
    kitwright: CommandLine, data: tuple[str, str], tmp_path: Path
) -> None:
    for words, title in (
        (("job", "1"), "ARBEITSBLATT"),
        (("pick", "1"), "ENTNAHMELISTE"),
        (("labels",), "FACHETIKETTEN"),
    ):
        said = kitwright("sheet", *words, *data, "--language", "DE")
        assert (said.code, said.out.splitlines()[0]) == (0, title)
        assert "O-ring AS568-214 NBR 70" in said.out or words[0] == "labels"
    file = tmp_path / "job.pdf"
    assert kitwright("sheet", "job", "1", *data, "--language", "fr", "--pdf", str(file)).code == 0
    assert "Fiche de travail · page 1 sur" in pages(file.read_bytes())


def test_a_whole_series_is_drawn_or_what_is_so_wide_of_it_or_the_shops_own(
    kitwright: CommandLine, tmp_path: Path
) -> None:
    listed = kitwright("sizes", "--series", "jis", "--json").json["sizes"]
    of_width = [size["name"] for size in listed if abs(size["cross_section_mm"] - 3.5) < 0.01]
    assert 10 < len(of_width) < len(listed) == 260
    whole, some = (
        kitwright("sheet", "rings", "--series", "jis"),
        kitwright("sheet", "rings", "--series", "jis", "--width", "3.5"),
    )
    assert all(size["name"] in whole.out for size in listed)
    assert [name in some.out for name in of_width] == [True] * len(of_width)
    assert some.out.count("JIS ") == len(of_width)
    one = kitwright("sheet", "rings", "P46", "--series", "jis", "--width", "3.5")
    assert one.out.count("JIS ") == len(of_width), "a ring named twice is drawn once"
    here = ("--data", str(tmp_path / "own.sqlite3"))
    none = kitwright("sheet", "rings", "--series", "own", *here)
    assert (none.code, "kitwright sizes load" in none.err) == (2, True)
    table = tmp_path / "valve.csv"
    table.write_text("designation,id_mm,id tolerance_mm,cross-section_mm,tolerance_mm\nV7,31.2,0.3,2.9,0.1\n")
    loaded = kitwright("sizes", "load", str(table), "--series", "Valve list", "--source", "measured", *here)
    assert loaded.code == 0, loaded.err
    own = kitwright("sheet", "rings", "--series", "own", *here)
    assert (own.code, "31.20 mm" in own.out, "AS568" in own.out) == (0, True, False)


def test_a_pipe_gets_the_pdf_and_nothing_else(data: tuple[str, str]) -> None:
    words = (sys.executable, "-m", "tui", "sheet", "job", "1", *data, "--pdf", "-")
    ended = subprocess.run(words, capture_output=True, check=True)
    assert ended.stdout.startswith(b"%PDF-")
    assert ended.stdout.rstrip().endswith(b"%%EOF")
    assert ended.stderr == b""


def test_as_json_a_sheet_is_its_text_or_the_file_that_was_written(
    kitwright: CommandLine, data: tuple[str, str], tmp_path: Path
) -> None:
    text = kitwright("sheet", "job", "1", *data)
    told = kitwright("sheet", "job", "1", *data, "--json").json
    conforms("sheet", told)
    assert (told["sheet"], told["text"].rstrip("\n"), told["file"]) == ("job", text.out.rstrip("\n"), None)
    file = tmp_path / "job.pdf"
    told = kitwright("sheet", "job", "1", *data, "--pdf", str(file), "--json").json
    conforms("sheet", told)
    assert (told["text"], told["file"], told["pdf_bytes"]) == (None, str(file), file.stat().st_size)
    both = kitwright("sheet", "job", "1", *data, "--pdf", "-", "--json")
    assert (both.code, both.out, "choose one" in both.err) == (2, "", True)


def test_a_file_that_cannot_be_replaced_stays(kitwright: CommandLine, data: tuple[str, str], tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    for target in (str(tmp_path / "folder"), str(tmp_path / "none" / "x.pdf"), "", f"{tmp_path}/{'n' * 300}.pdf"):
        ended = kitwright("sheet", "job", "1", *data, f"--pdf={target}")
        assert (ended.code, ended.out) == (2, "")
        assert ended.err.startswith("kitwright sheet job: --pdf: ")


def test_without_the_printing_libraries_one_sentence_says_how_to_get_them(
    kitwright: CommandLine, data: tuple[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tui.sheets.fonts import font

    font.cache_clear()
    monkeypatch.setitem(sys.modules, "reportlab", None)
    file = tmp_path / "x.pdf"
    ended = kitwright("sheet", "job", "1", *data, "--pdf", str(file))
    assert (ended.code, ended.out, file.exists()) == (2, "", False)
    assert "kitwright[print]" in ended.err
    assert len(ended.err.splitlines()) == 1
    assert kitwright("sheet", "job", "1", *data).code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("job", "99"), "job"),
        (("job", "x"), "kitwright jobs"),
        (("job", "1", "--paper", "A9"), "type A4 or Letter"),
        (("pick",), "JOB"),
        (("job", "1", "--language", "xx"), "--language: There is no language 'xx' here; type one of: en, de, fr, es"),
        (("rings",), "--series jis"),
        (("rings", "P22A", "--width", "3.5"), "--series"),
        (("rings", "--series", "jis", "--width", "9"), "no ring of jis is 9 mm wide"),
        (("labels", "B4"), "there are: 'B3'"),
        (("labels", "--grid", "A4 5"), "A4 21"),
        (("labels", "--skip", "21"), "--skip"),
        (("labels", "--grid", "roll 62", "--skip", "1"), "--skip: a roll has no labels used before"),
        (("lables",), "did you mean labels?"),
    ],
)
def test_what_cannot_be_printed_is_told(
    kitwright: CommandLine, data: tuple[str, str], words: tuple[str, ...], said: str
) -> None:
    ended = kitwright("sheet", *words, *data)
    assert (ended.code, ended.out) == (2, "")
    assert said in ended.err


@pytest.mark.parametrize("text", [text for text in HOSTILE if "\0" not in text])
def test_hostile_words_print_or_are_refused(
    kitwright: CommandLine, data: tuple[str, str], tmp_path: Path, text: str
) -> None:
    assert kitwright("sheet", "rings", text).code == 2
    assert kitwright("sheet", "labels", text, *data).code == 2
    opened = kitwright("job", "open", f"--title={text}", *data, "--json")
    if opened.code == 0:
        number = str(opened.json["job"])
        assert kitwright("sheet", "job", number, *data).code == 0
        assert kitwright("sheet", "job", number, *data, "--pdf", str(tmp_path / "x.pdf")).code == 0


def test_an_empty_workshop_has_no_labels(kitwright: CommandLine, tmp_path: Path) -> None:
    assert kitwright("sheet", "labels", "--data", str(tmp_path / "empty.sqlite3")).code == 1
