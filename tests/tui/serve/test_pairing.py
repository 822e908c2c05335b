"""The code that lets a browser in, the access key, and what wrong tries cost."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.errors import WorkshopUnavailableError
from tui.serve.pairing import CODE_SECONDS, MOST_WRONG, WRONG_SECONDS, Pairing, Tried, kept_key

KEY = "ABCDE-FGHIJ-KLMNO-PQRST"


class Clock:
    """Seconds that a test moves on."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def pairing(clock: Clock) -> Pairing:
    return Pairing(KEY, clock)


def test_a_code_opens_once(pairing: Pairing) -> None:
    code = pairing.new_code()
    assert len(code) == 8
    assert code.isdigit()
    assert pairing.tries(f" {code[:4]} {code[4:]} ") is Tried.RIGHT
    assert pairing.tries(code) is Tried.WRONG


def test_a_code_opens_for_two_minutes(pairing: Pairing, clock: Clock) -> None:
    code = pairing.new_code()
    clock.now += CODE_SECONDS
    assert pairing.tries(code) is Tried.WRONG
    code = pairing.new_code()
    clock.now += CODE_SECONDS - 0.1
    assert pairing.tries(code) is Tried.RIGHT


def test_a_new_code_ends_the_one_before(pairing: Pairing) -> None:
    first, second = pairing.new_code(), pairing.new_code()
    assert first == second or pairing.tries(first) is Tried.WRONG
    assert pairing.tries(second) is Tried.RIGHT


def test_the_key_opens_always(pairing: Pairing) -> None:
    assert [pairing.tries(text) for text in (KEY, KEY.lower(), KEY.replace("-", ""))] == [Tried.RIGHT] * 3


def test_before_any_code_nothing_typed_is_one(pairing: Pairing) -> None:
    assert pairing.tries("") is Tried.WRONG
    assert Pairing("").tries("") is Tried.WRONG


def test_after_five_wrong_tries_a_minute_no_try_is_looked_at(pairing: Pairing, clock: Clock) -> None:
    code = pairing.new_code()
    for _ in range(MOST_WRONG):
        assert pairing.wait() == 0
        assert pairing.tries("12") is Tried.WRONG
        clock.now += 1
    assert pairing.wait() == WRONG_SECONDS - MOST_WRONG
    assert pairing.tries(code) is Tried.TOO_MANY
    assert pairing.tries(KEY) is Tried.TOO_MANY
    clock.now += WRONG_SECONDS - MOST_WRONG
    assert pairing.tries(code) is Tried.RIGHT


@given(st.lists(st.floats(0, 90), max_size=40))
def test_never_more_than_five_wrong_tries_in_a_minute(rests: list[float]) -> None:
    clock = Clock()
    pairing = Pairing(KEY, clock)
    wrong = []
    for rest in rests:
        clock.now += rest
        if pairing.tries("wrong") is Tried.WRONG:
            wrong.append(clock.now)
    assert all(late - early >= WRONG_SECONDS for early, late in zip(wrong, wrong[MOST_WRONG:], strict=False))


@given(st.text(max_size=300) | st.text("ABCDEFGHIJKLMNOPQRST-", min_size=19, max_size=24))
def test_whatever_else_is_typed_is_wrong(text: str) -> None:
    is_key = "".join(text.split()).replace("-", "").upper() == KEY.replace("-", "")
    assert (Pairing(KEY).tries(text) is Tried.RIGHT) == is_key


def test_the_key_is_made_once_for_its_owner_alone(own_folders: Path) -> None:
    key, file = kept_key()
    assert kept_key() == (key, file)
    assert len(key.replace("-", "")) * 5 >= 128  # bits
    assert file.is_relative_to(own_folders)
    if os.name == "posix":
        assert file.stat().st_mode & 0o777 == 0o600
        file.chmod(0o644)
        kept_key()
        assert file.stat().st_mode & 0o777 == 0o600


def test_a_key_that_anybody_could_guess_is_refused() -> None:
    _, file = kept_key()
    file.write_text("secret\n", encoding="utf-8")
    with pytest.raises(WorkshopUnavailableError, match="shorter than 16 letters"):
        kept_key()
    file.write_bytes(b"\xff\xfe\xff")
    with pytest.raises(WorkshopUnavailableError, match="can't be read"):
        kept_key()
