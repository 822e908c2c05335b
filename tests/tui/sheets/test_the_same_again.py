"""The same records give the same bytes, whenever and wherever; printing loads its libraries only when it prints."""

from __future__ import annotations

import hashlib
import subprocess
import sys

import pytest

from tests.tui.sheets import drawn
from tests.tui.sheets.examples import FLOWING, bins, job
from tui.sheets import fonts, job_sheet, labels, qr
from tui.sheets.label_grids import GRIDS
from tui.sheets.paper import A4

PRINT_ELSEWHERE = """
import hashlib
from tests.tui.sheets.examples import FLOWING, bins
from tui.sheets import labels
from tui.sheets.paper import A4
for name, make in FLOWING.items():
    print(name, hashlib.sha256(make(None, A4)).hexdigest(), sep=": ")
print("labels", hashlib.sha256(labels.as_pdf(bins())).hexdigest(), sep=": ")
"""

IMPORTS = """
import sys
from tui.sheets import from_kit, job_sheet, label_grids, labels, order_list, pick_list, ring_sheet
heavy = {name.partition(".")[0] for name in sys.modules} & {"reportlab", "segno", "PIL", "textual", "numpy"}
sys.exit(f"imported too early: {sorted(heavy)}" if heavy else 0)
"""


def test_the_same_bytes_in_another_process_zone_and_hash_seed() -> None:
    here = {name: hashlib.sha256(make(None, A4)).hexdigest() for name, make in FLOWING.items()}
    here["labels"] = hashlib.sha256(labels.as_pdf(bins())).hexdigest()
    for seed, zone in (("1", "Pacific/Auckland"), ("77", "UTC")):
        run = subprocess.run(
            [sys.executable, "-c", PRINT_ELSEWHERE],
            env={"PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        )
        assert dict(line.split(": ") for line in run.stdout.splitlines()) == here


@pytest.mark.parametrize("sheet", list(FLOWING))
def test_the_second_print_is_the_first(sheet: str) -> None:
    assert FLOWING[sheet](None, A4) == FLOWING[sheet](None, A4)
    assert FLOWING[sheet](None, A4) != FLOWING[sheet]("other words", A4)


def test_the_day_on_the_sheet_is_the_day_passed_in() -> None:
    assert "2026-11-25" in drawn.text(job_sheet.as_pdf(job()))


def test_nothing_heavy_is_imported_before_something_is_printed() -> None:
    subprocess.run([sys.executable, "-c", IMPORTS], env={"PYTHONPATH": ":".join(sys.path)}, check=True)


def test_without_the_libraries_one_sentence_names_the_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    fonts.font.cache_clear()
    for name in [one for one in sys.modules if one.partition(".")[0] in {"reportlab", "segno"}]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "reportlab", None)
    monkeypatch.setitem(sys.modules, "segno", None)
    wanted = r"^Printing needs two more libraries; type: pip install 'kitwright\[print\]'$"
    for sheet in FLOWING:
        with pytest.raises(fonts.PrintUnavailableError, match=wanted):
            FLOWING[sheet](None, A4)
    with pytest.raises(fonts.PrintUnavailableError, match=wanted):
        labels.as_pdf(bins(), GRIDS[0])
    with pytest.raises(fonts.PrintUnavailableError, match=wanted):
        qr.code_for("KITBIN Box 1", 30.0)
    # The text copies need neither.
    assert "500 h service" in job_sheet.as_text(job())
    assert "KITBIN Box 1" in labels.as_text(bins())
    fonts.font.cache_clear()
