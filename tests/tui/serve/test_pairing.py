"""The code that lets a browser in, the access key, and what wrong tries cost."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.errors import WorkshopUnavailableError
from tui.serve.pairing import (
    CODE_DIGITS,
    CODE_SECONDS,
    MOST_IN_ALL,
    MOST_WRONG,
    WRONG_SECONDS,
    Pairing,
    Tried,
    kept_key,
)

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
    assert pairing.tries(f" {code[:4]} {code[4:]} ").tried is Tried.RIGHT
    assert pairing.tries(code).tried is Tried.WRONG


def test_a_code_opens_for_two_minutes(pairing: Pairing, clock: Clock) -> None:
    code = pairing.new_code()
    clock.now += CODE_SECONDS
    assert pairing.tries(code).tried is Tried.WRONG
    code = pairing.new_code()
    clock.now += CODE_SECONDS - 0.1
    assert pairing.tries(code).tried is Tried.RIGHT


def test_a_new_code_ends_the_one_before(pairing: Pairing) -> None:
    first, second = pairing.new_code(), pairing.new_code()
    assert first == second or pairing.tries(first).tried is Tried.WRONG
    assert pairing.tries(second).tried is Tried.RIGHT


def test_the_key_opens_always(pairing: Pairing) -> None:
    assert [pairing.tries(text).tried for text in (KEY, KEY.lower(), KEY.replace("-", ""))] == [Tried.RIGHT] * 3


def test_before_any_code_nothing_typed_is_one(pairing: Pairing) -> None:
    assert pairing.tries("").tried is Tried.WRONG
    assert Pairing("").tries("").tried is Tried.WRONG


def test_after_five_wrong_tries_a_minute_none_of_that_caller_s_is_looked_at(pairing: Pairing, clock: Clock) -> None:
    code = pairing.new_code()
    for times in range(MOST_WRONG):
        assert pairing.tries("12", "guesser") == (Tried.WRONG, 0, times + 1)
        clock.now += 1
    assert pairing.tries(code, "guesser") == (Tried.TOO_MANY, WRONG_SECONDS - MOST_WRONG, 0)
    # Whoever else comes meanwhile is let in: the right tablet is not locked out.
    assert pairing.tries(code, "tablet").tried is Tried.RIGHT
    code = pairing.new_code()
    clock.now += WRONG_SECONDS - MOST_WRONG
    assert pairing.tries(code, "guesser").tried is Tried.RIGHT


def test_a_code_that_many_addresses_guess_at_is_looked_at_thirty_times_a_minute(pairing: Pairing, clock: Clock) -> None:
    code = pairing.new_code()
    tried = [pairing.tries("12", f"10.0.0.{number}").tried for number in range(100)]
    assert tried == [Tried.WRONG] * MOST_IN_ALL + [Tried.TOO_MANY] * (100 - MOST_IN_ALL)
    assert pairing.tries(code, "tablet") == (Tried.TOO_MANY, WRONG_SECONDS, 0)
    # The key is counted for itself: no crowd keeps it from opening.
    assert pairing.tries(KEY, "tablet").tried is Tried.RIGHT
    clock.now += WRONG_SECONDS
    assert pairing.tries(code, "tablet").tried is Tried.RIGHT


CALLERS = ("", "10.0.0.1", "10.0.0.2", "10.0.0.3", "10.0.0.4", "10.0.0.5", "10.0.0.6", "10.0.0.7")


@given(
    st.lists(st.tuples(st.one_of(st.just(0.0), st.floats(0, 20)), st.sampled_from(CALLERS)), max_size=150),
    st.sampled_from(["12345", "ABCDE-FGHIJ-KLMNO"]),
)
def test_never_more_wrong_tries_in_a_minute_than_stated(tries: list[tuple[float, str]], typed: str) -> None:
    """By one caller 5, by all 30; so that in the two minutes of a code 60 of 100,000,000 are tried at most."""
    clock = Clock()
    pairing = Pairing(KEY, clock)
    wrong: dict[str, list[float]] = {"all": []}
    for rest, who in tries:
        clock.now += rest
        if pairing.tries(typed, who).tried is Tried.WRONG:
            wrong["all"].append(clock.now)
            wrong.setdefault(who, []).append(clock.now)
    for who, moments in wrong.items():
        most = MOST_IN_ALL if who == "all" else MOST_WRONG
        # What rounding leaves of a sum of rests is no try more.
        assert all(late - early > WRONG_SECONDS - 1e-9 for early, late in zip(moments, moments[most:], strict=False))
    life = [sum(start <= one < start + CODE_SECONDS for one in wrong["all"]) for start in wrong["all"]]
    assert max(life, default=0) <= CODE_SECONDS / WRONG_SECONDS * MOST_IN_ALL < 10**CODE_DIGITS / 1_000_000


@given(st.text(max_size=300) | st.text("ABCDEFGHIJKLMNOPQRST-", min_size=19, max_size=24))
def test_whatever_else_is_typed_is_wrong(text: str) -> None:
    is_key = "".join(text.split()).replace("-", "").upper() == KEY.replace("-", "")
    assert (Pairing(KEY).tries(text).tried is Tried.RIGHT) == is_key


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
