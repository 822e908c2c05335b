"""Text made fit for paper, and lines that fit their room."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tui.sheets.examples import HOSTILE
from tui.sheets.fonts import font
from tui.sheets.letters import LOZENGE, UNSHOWABLE, clean, drawable
from tui.sheets.marks import Face
from tui.sheets.wrap import cut, wrap


@pytest.mark.parametrize("face", list(Face))
def test_the_font_has_what_our_own_sentences_use(face: Face) -> None:
    assert not font(face).drawable("ABC xyz 0189 × ± ° ½ ¼ µ · – “” … ≤ ≥ Ω é ü ß ñ ł š € %").lossy


@pytest.mark.parametrize(
    ("text", "shown", "lossy"),
    [
        ("1⅛ in", "1 1/8 in", False),
        ("10⁴ ②", f"10{LOZENGE} {LOZENGE}", True),
        ("25㎜ 40℃ Ａ", "25mm 40°C A", False),
        ("Wąż", "Waz", True),
        ("Wa\u0328z", "Waz", True),
        ("油圧 25", f"{LOZENGE}{LOZENGE} 25", True),
        ("\N{WRENCH}", LOZENGE, True),
        ("\u3000wide\u2009thin", " wide thin", False),
        ("nul\x00", f"nul{LOZENGE}", True),
        ("zero\u200bwidth", "zerowidth", True),
        ("fine", "fine", False),
    ],
)
def test_what_the_font_lacks_is_replaced_and_said(text: str, shown: str, lossy: bool) -> None:
    made = font(Face.PLAIN).drawable(text)
    assert made == (shown, lossy)


def test_control_characters_and_turns_of_direction_never_get_through() -> None:
    text = clean("a\x1b[31m\u202e\u2067b\x00\ud83d\r\nc\td")
    assert text == f"a{UNSHOWABLE}[31m{UNSHOWABLE}{UNSHOWABLE}b{UNSHOWABLE}{UNSHOWABLE}\nc d"


@given(st.text(max_size=200))
def test_every_text_can_be_drawn_in_letters_the_font_has(text: str) -> None:
    face = font(Face.BOLD)
    made = face.drawable(text)
    assert all(letter == "\n" or ord(letter) in face.widths for letter in made.text)
    assert drawable(made.text, face.widths) == (made.text, False)


@given(st.text(alphabet="abc W.\n-", max_size=300), st.floats(3.0, 60.0))
def test_no_line_is_wider_than_its_room_and_no_letter_is_lost(text: str, room: float) -> None:
    face = font(Face.PLAIN)
    lines = wrap(text, room, face.at(9.0))
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(face.width(line, 9.0) <= room + 1e-9 or len(line) == 1 for line in lines)
    for line in lines:
        assert line == line.strip()
    assert face.width(cut(text, room, face.at(9.0)), 9.0) <= room + 1e-9 or room < face.width("…", 9.0)


def test_words_stay_whole_where_they_can() -> None:
    assert wrap("one two three", 8, len) == ("one two", "three")
    assert wrap("abcdefghij kl", 4, len) == ("abcd", "efgh", "ij", "kl")
    assert wrap("a\n\nb", 8, len) == ("a", "", "b")
    assert cut("one two three", 8, len) == "one two…"
    assert cut("one two", 8, len) == "one two"


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_measures_without_a_word(words: str) -> None:
    face = font(Face.PLAIN)
    lines = wrap(face.drawable(words).text, 50.0, face.at(9.0))
    assert lines
    assert all(face.width(line, 9.0) <= 50.0 for line in lines)
