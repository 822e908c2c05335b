"""Which requests the guard lets in, by their headers alone."""

from __future__ import annotations

from http import HTTPStatus

import pytest
from hypothesis import given
from hypothesis import strategies as st
from multidict import CIMultiDict

from tui.serve.guard import Doors, is_loopback, security_headers

HERE = Doors("http", 8040, frozenset({"127.0.0.1", "localhost", "::1"}))
OUTSIDE = Doors("http", 8040, HERE.names, "https://kit.shop.example")
OWN = "http://127.0.0.1:8040"


def status(doors: Doors, method: str, handshake: bool = False, arrived_at: str = "", **headers: str) -> int:
    """The status of the refusal; 0 where the request is let in."""
    given_headers = CIMultiDict((name.replace("_", "-"), value) for name, value in headers.items())
    refusal = doors.refusal(method, given_headers, handshake=handshake, arrived_at=arrived_at)
    return 0 if refusal is None else refusal.status


@pytest.mark.parametrize("host", ["127.0.0.1:8040", "localhost:8040", "LocalHost:8040", "[::1]:8040"])
def test_it_goes_by_its_own_names(host: str) -> None:
    assert status(HERE, "GET", Host=host) == 0


@pytest.mark.parametrize(
    "host",
    ["stranger.example:8040", "127.0.0.1", "127.0.0.1:80", "localhost.stranger.example:8040", "", "10.0.0.7:8040"],
)
def test_another_name_is_misdirected(host: str) -> None:
    assert status(HERE, "GET", Host=host) == HTTPStatus.MISDIRECTED_REQUEST


def test_no_host_and_two_hosts_are_misdirected() -> None:
    assert status(HERE, "GET") == HTTPStatus.MISDIRECTED_REQUEST
    twice = CIMultiDict([("Host", "127.0.0.1:8040"), ("Host", "stranger.example")])
    refusal = HERE.refusal("GET", twice, handshake=False)
    assert refusal is not None
    assert refusal.status == HTTPStatus.MISDIRECTED_REQUEST


def test_the_address_that_it_arrived_at_may_be_named() -> None:
    everywhere = Doors("http", 8040, frozenset({"shop-pc"}))
    assert status(everywhere, "GET", Host="10.0.0.7:8040", arrived_at="10.0.0.7") == 0
    assert status(everywhere, "GET", Host="[fd00::7]:8040", arrived_at="fd00::7") == 0
    assert status(everywhere, "GET", Host="10.0.0.8:8040", arrived_at="10.0.0.7") == HTTPStatus.MISDIRECTED_REQUEST


@pytest.mark.parametrize(("scheme", "port"), [("http", 80), ("https", 443)])
def test_a_schemes_own_port_is_not_named(scheme: str, port: int) -> None:
    doors = Doors(scheme, port, frozenset({"shop-pc"}))
    assert status(doors, "POST", Host="shop-pc", Origin=f"{scheme}://shop-pc") == 0
    assert (
        status(doors, "POST", Host="shop-pc", Origin=f"http{'s' * (scheme == 'http')}://shop-pc")
        == HTTPStatus.FORBIDDEN
    )


@pytest.mark.parametrize(("method", "handshake"), [("POST", False), ("GET", True), ("PUT", False), ("DELETE", False)])
@pytest.mark.parametrize(
    "origin", ["", "null", "http://stranger.example", "http://127.0.0.1:8041", "https://127.0.0.1:8040"]
)
def test_what_changes_something_comes_from_our_own_page(method: str, handshake: bool, origin: str) -> None:
    said = CIMultiDict({"Host": "127.0.0.1:8040", **({"Origin": origin} if origin else {})})
    refusal = HERE.refusal(method, said, handshake=handshake)
    assert refusal is not None
    assert refusal.status == HTTPStatus.FORBIDDEN
    assert status(HERE, method, handshake, Host="127.0.0.1:8040", Origin=OWN) == 0


def test_two_origins_are_none() -> None:
    twice = CIMultiDict([("Host", "127.0.0.1:8040"), ("Origin", OWN), ("Origin", "http://stranger.example")])
    assert HERE.refusal("POST", twice, handshake=False) is not None


def test_the_origin_is_that_of_the_name_it_was_called_by() -> None:
    assert status(HERE, "POST", Host="localhost:8040", Origin=OWN) == HTTPStatus.FORBIDDEN


@pytest.mark.parametrize(
    ("site", "answer"), [("none", 0), ("same-origin", 0), ("same-site", 403), ("cross-site", 403), ("other", 403)]
)
def test_what_the_browser_says_of_itself_counts(site: str, answer: int) -> None:
    assert status(HERE, "GET", Host="127.0.0.1:8040", Sec_Fetch_Site=site) == answer


def test_behind_a_proxy_it_goes_by_the_public_name_too() -> None:
    assert status(OUTSIDE, "GET", Host="kit.shop.example") == 0
    assert status(OUTSIDE, "POST", Host="kit.shop.example", Origin=OUTSIDE.public) == 0
    # A proxy that names the server as it calls it itself.
    assert status(OUTSIDE, "POST", Host="127.0.0.1:8040", Origin=OUTSIDE.public) == 0
    assert status(OUTSIDE, "POST", Host="kit.shop.example", Origin="http://stranger.example") == 403
    assert status(HERE, "GET", Host="kit.shop.example") == 421


@given(
    st.text(st.characters(codec="ascii"), max_size=30), st.text(max_size=30), st.sampled_from(["GET", "POST", "HEAD"])
)
def test_nothing_but_the_very_names_is_let_in(host: str, origin: str, method: str) -> None:
    answer = status(HERE, method, True, Host=host, Origin=origin)
    assert answer == 0 or answer in (403, 421)
    if answer == 0:
        assert host.casefold() in HERE.hosts
        assert origin.casefold() == f"http://{host.casefold()}"


@pytest.mark.parametrize(
    ("name", "answer"),
    [("127.0.0.1", True), ("127.8.8.8", True), ("::1", True), ("localhost", True), ("0.0.0.0", False),
     ("shop-pc", False), ("10.0.0.7", False), ("::", False)],
)  # fmt: skip
def test_a_name_may_point_anywhere(name: str, answer: bool) -> None:
    assert is_loopback(name) is answer


def test_scripts_come_from_our_files_alone() -> None:
    told = security_headers("127.0.0.1:8040", secure=False)
    policy = dict(part.split(" ", 1) for part in told["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert policy["connect-src"] == "'self' ws://127.0.0.1:8040"
    assert policy["frame-ancestors"] == "'none'"
    assert told["Referrer-Policy"] == "same-origin"
    assert "wss://127.0.0.1:8040" in security_headers("127.0.0.1:8040", secure=True)["Content-Security-Policy"]
