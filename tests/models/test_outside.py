"""What comes from outside: files, pipes and standard input under the same limits; a refusal is one sentence."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import zipfile
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import pytest

from models import outside
from models.errors import InvalidInputError
from models.fits.fit_csv import streamed
from models.supplier_lists import workbook
from models.supplier_lists.proposal import propose
from models.supplier_lists.source import open_source
from tests.tui.command_line import CommandLine

HEAD = "Part no,Description,Price,Pack\n"
ROWS = "".join(f"P-{at},Dichtung Größe {at},{at}.50,1\n" for at in range(1, 40))
FITS = "machine,position,size\nPress,ram ring,as568:222\n"


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def pipe(tmp_path: Path, says: bytes | None) -> Path:
    """A named pipe that somebody writes to; None: whom nobody writes to."""
    made = tmp_path / "pipe.csv"
    os.mkfifo(made)
    if says is not None:
        threading.Thread(target=made.write_bytes, args=(says,), daemon=True).start()
    return made


def test_a_pipe_and_standard_input_are_read_as_a_file_is(kitwright: CommandLine, tmp_path: Path) -> None:
    text = (HEAD + ROWS).encode()
    (tmp_path / "list.csv").write_bytes(text)
    plain = kitwright("list", "columns", str(tmp_path / "list.csv"), "--json")
    assert plain.code == 0
    assert kitwright("list", "columns", "-", "--json", stdin=text) == plain
    assert kitwright("list", "columns", str(pipe(tmp_path, text)), "--json") == plain
    (tmp_path / "pipe.csv").unlink()
    told = kitwright("fits", "--import", str(pipe(tmp_path, FITS.encode())))
    assert "1 added" in told.out


@pytest.mark.parametrize(
    "words",
    [
        ("list", "columns", "{}"),
        ("fits", "--import", "{}"),
        ("shelf", "round", "--take", "{}"),
        ("ring", "--batch", "{}"),
        ("fluid", "rules", "import", "{}"),
        ("filter", "--file", "{}"),
    ],
)
def test_a_device_or_a_folder_is_no_file(kitwright: CommandLine, tmp_path: Path, words: tuple[str, ...]) -> None:
    for what, said in (("/dev/zero", "is a device"), (str(tmp_path), "is a folder"), ("\0", "can't be read")):
        ended = kitwright(*(word.format(what) for word in words))
        assert (ended.code, said in ended.err, ended.err.count("\n")) == (2, True, 1), ended


def test_a_pipe_that_says_nothing_is_left_after_a_while(
    kitwright: CommandLine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(outside, "SILENT_SECONDS", 0.2)
    ended = kitwright("list", "columns", str(pipe(tmp_path, None)))
    assert (ended.code, "Nothing came through the pipe" in ended.err) == (2, True)


def test_a_pipe_that_never_ends_its_line_is_refused(kitwright: CommandLine, tmp_path: Path) -> None:
    ended = kitwright("fits", "--import", str(pipe(tmp_path, b"x" * 1_100_000)))
    assert (ended.code, "line of over 1 MB" in ended.err) == (2, True)


@pytest.mark.parametrize("take", [lambda file: open_source(file).sample(), lambda file: list(streamed(file, print))])
def test_a_line_of_over_a_megabyte_is_none(tmp_path: Path, take: Callable[[Path], object]) -> None:
    file = tmp_path / "list.csv"
    for text in (f"{HEAD}A,{'x' * 1_100_000}\n", "machine,position,size\n" + '"x","y\n' * 200_000):
        file.write_text(text)
        with pytest.raises(InvalidInputError, match=r"over 1 MB|not CSV"):
            take(file)


def test_a_record_over_many_lines_is_bounded(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text(HEAD + '"' + '","'.join(["x\n"] * 400_000))
    with pytest.raises(InvalidInputError, match="over 1 MB"):
        list(open_source(file).lines())


@pytest.mark.parametrize(
    "alphabet", ["utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be", "utf-16", "utf-32", "utf-8-sig"]
)
def test_every_alphabet_is_known_without_its_mark(tmp_path: Path, alphabet: str) -> None:
    file = tmp_path / "list.csv"
    file.write_text(HEAD + ROWS, encoding=alphabet)
    source = open_source(file)
    assert [line.cells[1] for line in source.lines()][1:3] == ["Dichtung Größe 1", "Dichtung Größe 2"]
    assert propose(source).headers[0] == "Part no"
    file.write_text(FITS, encoding=alphabet)
    assert [fit.machine for fit in streamed(file, print)] == ["Press"]


def test_zero_bytes_that_are_no_alphabet_are_refused(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_bytes(bytes(range(256)) * 2 + bytes(4000))
    with pytest.raises(InvalidInputError, match="is no text"):
        open_source(file)


def packed(file: Path, parts: dict[str, bytes]) -> Path:
    """A real workbook with some of its parts exchanged."""
    book = import_module("openpyxl").Workbook()
    book.active.append(["Part no", "Price"])
    book.active.append(["A-1", 1.5])
    book.save(file)
    with zipfile.ZipFile(file) as old:
        kept = {name: old.read(name) for name in old.namelist()}
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as new:
        for name, content in {**kept, **parts}.items():
            new.writestr(name, content)
    return file


SHEET = "xl/worksheets/sheet1.xml"
OPENS = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
ENDS = b"</sheetData></worksheet>"
NOISE = os.urandom(1_500_000).hex().encode()


@pytest.mark.parametrize(
    ("part", "content", "said"),
    [
        ("xl/styles.xml", b"<styleSheet>" + b"<xf/>" * 10_000_000 + b"</styleSheet>", "unpacks to more than"),
        ("xl/sharedStrings.xml", b"<sst>" + b"<si><t>x</t></si>" * 3_000_000 + b"</sst>", "unpacks to more than"),
        (SHEET, OPENS + b"<row/>" * 5_000_000 + ENDS, "unpacks to more than"),
        (
            SHEET,
            OPENS + b'<row r="1"><c t="inlineStr"><is><t>' + NOISE + b"</t></is></c></row>" + ENDS,
            "a cell of over",
        ),
        (
            SHEET,
            OPENS + b'<row r="1"><c t="inlineStr"><is><t>' + NOISE[:40_000] + b"</t></is></c></row>" + ENDS,
            "a cell of over 32767 characters in row 1",
        ),
        (SHEET, OPENS + b'<row r="1048577"><c r="A1048577"><v>1</v></c></row>' + ENDS, "more than 1048576 rows"),
        (SHEET, OPENS + b'<row r="999999999"><c r="A999999999"><v>1</v></c></row>' + ENDS, "more than 1048576 rows"),
        (SHEET, OPENS + b'<row r="1"><c r="XFE1"><v>1</v></c></row>' + ENDS, "16384 columns"),
    ],
    ids=["styles", "strings", "rows", "text", "cell", "row after the last", "row far away", "column after the last"],
)
def test_a_workbook_beyond_its_limits_is_refused_soon(tmp_path: Path, part: str, content: bytes, said: str) -> None:
    file = packed(tmp_path / "list.xlsx", {part: content})
    with pytest.raises(InvalidInputError, match=said):
        list(open_source(file).lines())


def test_a_workbook_over_400_mb_is_refused_by_its_directory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = packed(tmp_path / "list.xlsx", {"xl/other.bin": NOISE})
    monkeypatch.setattr(workbook, "MOST_BYTES", len(NOISE))
    with pytest.raises(InvalidInputError, match="MB unpacked"):
        open_source(file)


def test_a_sheet_that_claims_to_be_huge_is_read_for_what_it_holds(tmp_path: Path) -> None:
    claims = OPENS.replace(b"<sheetData>", b'<dimension ref="A1:XFD1048576"/><sheetData>')
    row = b'<row r="1"><c r="A1" t="inlineStr"><is><t>Part no</t></is></c><c r="XFD1"><v>1</v></c></row>'
    file = packed(tmp_path / "list.xlsx", {SHEET: claims + row + ENDS})
    assert [line.cells[0] for line in open_source(file).lines()] == ["Part no"]


ASKED = """
import sys
from tui.cli import run
code = run(sys.argv[1:])
peak = next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM"))
print(int(code), peak)
"""


def test_a_refusal_takes_little_memory(tmp_path: Path) -> None:
    """In a process of its own: a gigabyte in one line, a styles bomb, an endless pipe."""
    (tmp_path / "line.csv").touch()
    os.truncate(tmp_path / "line.csv", 1 << 30)
    packed(tmp_path / "list.xlsx", {"xl/styles.xml": b"<s>" + b"<xf/>" * 10_000_000})
    for words, stdin in (
        (("list", "columns", str(tmp_path / "line.csv")), None),
        (("list", "columns", str(tmp_path / "list.xlsx")), None),
        (("list", "columns", "-"), "/dev/zero"),
        (("fits", "--import", "-"), "/dev/zero"),
    ):
        with Path(stdin or os.devnull).open("rb") as given:
            ended = subprocess.run(
                [sys.executable, "-c", ASKED, *words],
                stdin=given,
                capture_output=True,
                text=True,
                check=True,
                timeout=60,
            )
        code, peak_kb = ended.stdout.split()
        assert (code, ended.stderr.count("\n")) == ("2", 1), ended
        assert int(peak_kb) < 300_000, words
