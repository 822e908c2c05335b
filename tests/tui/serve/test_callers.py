"""Which address wrong codes are counted for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from multidict import CIMultiDict

from tui.serve.callers import caller


@pytest.mark.parametrize(
    ("peer", "said", "behind_proxy", "counted"),
    [
        ("192.168.1.9", [], False, "192.168.1.9"),
        ("192.168.1.9", ["10.0.0.1"], False, "192.168.1.9"),  # nobody is believed where there is no proxy
        ("192.168.1.9", ["10.0.0.1"], True, "192.168.1.9"),  # nor one on another computer
        ("127.0.0.1", ["10.0.0.1"], False, "127.0.0.1"),
        ("127.0.0.1", [], True, "127.0.0.1"),
        ("127.0.0.1", ["10.0.0.1"], True, "10.0.0.1"),
        ("::1", ["10.0.0.1"], True, "10.0.0.1"),
        ("127.0.0.1", ["8.8.8.8, 10.0.0.1"], True, "10.0.0.1"),  # what stands before it the caller wrote
        ("127.0.0.1", ["8.8.8.8", "10.0.0.1:4711"], True, "10.0.0.1"),
        ("127.0.0.1", ["nonsense"], True, "127.0.0.1"),
        ("127.0.0.1", [""], True, "127.0.0.1"),
        ("127.0.0.1", ["[2001:db8::7]:4711"], True, "2001:db8::/64"),
        ("2001:db8:0:1:aaaa::1", [], False, "2001:db8:0:1::/64"),
        ("fe80::1%eth0", [], False, "fe80::/64"),
        ("::ffff:10.0.0.1", [], False, "10.0.0.1"),
        (None, [], False, "an address unknown"),
    ],
)
def test_a_caller_is_its_own_address(peer: str | None, said: list[str], behind_proxy: bool, counted: str) -> None:
    headers = CIMultiDict([("X-Forwarded-For", one) for one in said])
    assert caller(peer, headers, behind_proxy=behind_proxy) == counted


@given(st.lists(st.text(max_size=60), max_size=4))
def test_whatever_a_header_says_a_caller_is_an_address(said: list[str]) -> None:
    found = caller("127.0.0.1", CIMultiDict([("X-Forwarded-For", one) for one in said]), behind_proxy=True)
    assert set(found) <= set("0123456789abcdef.:/")
