"""Every string of the sheets stands in each catalogue with its parts, and a sheet in another language is whole."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.cautions import Step
from catalog.languages.tongue import CATALOGUES, ENGLISH, NAMES, Tongue, tongue
from tests.catalogues import BY_NAME, SPOKEN, TRANSLATED, asked, compiled, messages, parts, read
from tests.tui.sheets import drawn
from tests.tui.sheets.examples import HOSTILE, bins, job, order, picking
from tui.sheets import job_sheet, labels, order_list, pick_list
from tui.sheets.fonts import font
from tui.sheets.label_grids import ROLLS
from tui.sheets.marks import Face
from tui.sheets.paper import A4, LETTER, MARGIN, Paper

LANGUAGE = pytest.mark.parametrize("code", TRANSLATED)
PDFS: dict[str, Callable[[str | None, Paper, Tongue], bytes]] = {
    "job": lambda words, paper, say: job_sheet.as_pdf(job(words), paper, say),
    "pick": lambda words, paper, say: pick_list.as_pdf(picking(words), paper, say),
    "order": lambda words, paper, say: order_list.as_pdf(order(words), paper, say),
}
SAME_EVERYWHERE = {"Machine", "Total"}
"""What French writes as English does."""


@LANGUAGE
def test_every_message_is_translated_with_its_parts(code: str) -> None:
    catalogue = read(code)
    head = catalogue.pop("")
    assert f"Language: {code}\n" in head
    assert "charset=UTF-8" in head
    assert set(catalogue) == set(messages())
    for message, said in catalogue.items():
        assert said.strip(), message
        assert parts(said) == parts(message), message
        assert said[-1:] == message[-1:] or (message[-1] not in ".:" and said[-1] not in ".:"), message
        assert said != message or message in SAME_EVERYWHERE or (code != "de" and len(message) < 20), message
        # Figures of a caution are its facts: 7 bar is 7 bar.
        assert sorted(re.findall(r"[0-9]+", said)) == sorted(re.findall(r"[0-9]+", message)), message


@LANGUAGE
def test_what_is_compiled_is_what_is_written(code: str) -> None:
    """Compile them with: python -m tests.catalogues."""
    catalogue = read(code)
    assert (CATALOGUES / f"{code}.mo").read_bytes() == compiled(catalogue)
    say = tongue(code)
    assert [say(message) for message in messages()] == [catalogue[message] for message in messages()]


def test_no_message_is_missed_for_standing_under_a_name() -> None:
    for file in SPOKEN:
        for one in asked(ast.parse(file.read_text(encoding="utf-8"))):
            assert isinstance(one, ast.Constant) or ast.unparse(one) in BY_NAME, f"{file.name}: {ast.unparse(one)}"


@LANGUAGE
def test_the_print_has_every_letter_of_it(code: str) -> None:
    for said in read(code).values():
        for face in Face:
            assert not font(face).drawable(said).lossy, said


@LANGUAGE
@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("sheet", PDFS)
def test_a_sheet_is_whole_and_nothing_of_it_is_cut(sheet: str, paper: Paper, code: str) -> None:
    say = tongue(code)
    pages = drawn.read(PDFS[sheet](None, paper, say))
    text = " ".join(" ".join(page.text for page in pages).split())
    assert "…" not in text
    for page in pages:
        for mark in (*page.words, *page.shapes):
            assert mark.left >= MARGIN - 0.5
            assert mark.right <= page.width - MARGIN + 0.5
    title = {"job": "Job sheet", "pick": "Pick list", "order": "Order list"}[sheet]
    assert say(title) in text
    assert say("{title} · page {number} of {count}", title=say(title), number=1, count=len(pages)) in text
    for english in ("Written", "Signed off", "Ordered by", "Short of", "If you", "Check numbers"):
        assert english not in text


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_what_people_typed_is_no_part_of_a_message(words: str) -> None:
    say = tongue("fr")
    for make in PDFS.values():
        assert make(words, A4, say).startswith(b"%PDF-")
    assert order_list.as_text(order(words), say)


@given(st.text(max_size=40))
def test_parts_are_put_in_as_they_are(text: str) -> None:
    for code in NAMES:
        assert text in tongue(code)("for {what}", what=text)
        assert tongue(code)("") == ""


@LANGUAGE
def test_cautions_and_their_headings_come_in_the_language(code: str) -> None:
    said = " ".join(job_sheet.as_text(job(), tongue(code)).split())
    for kind in (Step.ANY, Step.COOLANT):
        assert tongue(code)(job_sheet.heading(kind)) in said
    assert " ".join(tongue(code)(BY_NAME["one.text"][0]).split()) in said
    assert BY_NAME["one.text"][0] not in said
    assert " ".join(tongue(code)(job_sheet.UNREVIEWED).split()) in said
    assert job_sheet.UNREVIEWED not in " ".join(job_sheet.as_text(job()).split())


@LANGUAGE
def test_labels_speak_it_where_they_say_anything(code: str) -> None:
    say = tongue(code)
    assert say("What lies there")[:12] in labels.as_text(bins(), say)
    assert say(labels.LOST) in drawn.text(labels.as_pdf(bins("油圧"), ROLLS[1], say=say))


def test_english_is_the_message_itself_and_another_language_is_refused() -> None:
    assert tongue("en") is ENGLISH
    assert [ENGLISH(message) for message in messages()] == list(messages())
    with pytest.raises(ValueError, match="type one of: en, de, fr, es"):
        tongue("xx")
