"""The sheet for a picture, as a printer draws it: its marks lie where they should, its bar is true."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest

from catalog.photo.marks import find
from catalog.photo.sheet import BAR_BELOW_MM, BAR_MM
from tui.sheets import photo_sheet
from tui.sheets.paper import A4, LETTER, MARGIN, Paper

DPI = 300
MM = 25.4 / DPI


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_marks_and_bar_lie_true_on_paper(paper: Paper) -> None:
    page = pypdfium2.PdfDocument(photo_sheet.as_pdf(paper))[0]
    drawn = np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze()
    found = find(np.ascontiguousarray(drawn))
    assert found.missing == 0
    on_paper = (found.picture + 0.5) * MM - np.array([paper.width / 2, photo_sheet.MIDDLE_DOWN])
    assert np.abs(on_paper - found.sheet).max() < 0.15  # a corner of a mark; a dot is 0.085 mm
    middles = [one.reshape(-1, 4, 2).mean(axis=1) for one in (on_paper, found.sheet)]
    assert np.abs(middles[0] - middles[1]).max() < 0.1

    row = drawn[round((photo_sheet.MIDDLE_DOWN + BAR_BELOW_MM + 1.5) / MM)] / 255.0
    assert (1 - row).sum() * MM == pytest.approx(BAR_MM, abs=0.05)
    edge = round((MARGIN - 1) / MM)
    assert drawn[:, :edge].min() == drawn[:, -edge:].min() == drawn[:edge].min() == drawn[-edge:].min() == 255


def test_the_text_says_what_to_do_and_what_it_is_not() -> None:
    text = " ".join(photo_sheet.as_text().split())
    assert "kitwright sheet photo --pdf FILE" in text
    assert "Not yet tried on real photographs" in text
