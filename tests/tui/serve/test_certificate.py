"""https: a real client over it, plain http to it, and each thing that can be wrong with a certificate."""

from __future__ import annotations

import json
import re
import signal
import socket
import ssl
from pathlib import Path

import pytest
from aiohttp import ClientConnectorCertificateError

from tests.tui.serve.certificates import EXPIRED, NOT_YET, Made, made
from tests.tui.serve.shop import KEY, hears, open_shop
from tests.tui.serve.test_command import serving
from tui.serve import connections
from tui.serve.certificate import CertificateError, tls


@pytest.fixture
def shop(tmp_path: Path) -> Made:
    return made(tmp_path / "shop")


def trusting(one: Made) -> ssl.SSLContext:
    """What a tablet has that was told to trust the shop's certificate."""
    return ssl.create_default_context(cafile=one.cert)


async def test_a_browser_is_let_in_and_shown_its_app_over_https(shop: Made) -> None:
    async with open_shop(secure=tls(*shop), trusts=trusting(shop)) as bench:
        assert bench.origin.startswith("https://")
        let_in = await bench.enter(KEY)
        cookie = let_in.headers["Set-Cookie"]
        assert cookie.startswith("__Host-kitwright-")
        assert "; Secure" in cookie
        page = await bench.client.get("/")
        assert 'id="terminal"' in await page.text()
        assert f"connect-src 'self' wss://{bench.host}" in page.headers["Content-Security-Policy"]
        socket = await bench.socket()
        assert isinstance(socket.get_extra_info("ssl_object"), ssl.SSLObject)
        await hears(socket, b"begun ")
        await socket.send_json(["stdin", "24,9"])
        await hears(socket, b"D24,9")
        # A page of the same name without https is a stranger's.
        assert (await bench.enter(KEY, Origin=bench.origin.replace("https", "http"))).status == 403


async def test_whoever_does_not_trust_the_certificate_is_told_by_their_browser(shop: Made) -> None:
    async with open_shop(secure=tls(*shop)) as bench:
        with pytest.raises(ClientConnectorCertificateError):
            await bench.client.get("/")


async def test_plain_http_to_https_is_refused_in_a_sentence(shop: Made) -> None:
    async with open_shop(secure=tls(*shop), trusts=trusting(shop)) as bench:
        async with bench.another() as plain:
            answer = await plain.get(f"http://{bench.host}/")
            assert answer.status == 400
            assert await answer.text() == "This server speaks https alone: type https:// before its address.\n"
            assert "Set-Cookie" not in answer.headers
        assert (await bench.client.get("/")).status == 200


async def test_silence_before_tls_ends(shop: Made, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "HEADERS_SECONDS", 0.3)
    async with open_shop(secure=tls(*shop), trusts=trusting(shop)) as bench:
        for begins in (b"", b"\x16", b"\x16\x03\x01\x02\x00\x01"):  # nothing, and a handshake that never goes on
            stranger = bench.strange()
            stranger.setblocking(False)
            stranger.send(begins)
            assert await bench.ends(stranger)
        assert bench.places.held == (0, 0)


@pytest.mark.parametrize(
    ("cert", "key", "says"),
    [
        ("gone.pem", "a/shop-key.pem", "the certificate .*gone.pem can't be read .no such file or directory.$"),
        ("a/shop.pem", "gone.pem", "the key .*gone.pem can't be read .no such file or directory.$"),
        ("letter.txt", "a/shop-key.pem", "no certificate in PEM form stands in .*letter.txt$"),
        ("a/shop-key.pem", "a/shop.pem", "no certificate in PEM form stands in .*shop-key.pem$"),
        ("a/shop.pem", "letter.txt", "no key in PEM form stands in .*letter.txt$"),
        ("a/shop.pem", "b/shop-key.pem", "the key .*b/shop-key.pem is not the key of the certificate .*a/shop.pem$"),
        ("locked/shop.pem", "locked/shop-key.pem", "the key .*shop-key.pem has a password; give one without$"),
        ("old/shop.pem", "old/shop-key.pem", "has expired .2021-01-01.; browsers refuse it, make a new one$"),
        ("new/shop.pem", "new/shop-key.pem", "holds only from 2098-01-01 on; is this computer's date right.$"),
    ],
)
def test_what_is_wrong_with_it_is_one_sentence(all_kinds: Path, cert: str, key: str, says: str) -> None:
    with pytest.raises(CertificateError, match=says) as refused:
        tls(all_kinds / cert, all_kinds / key)
    assert "\n" not in str(refused.value)


@pytest.fixture(scope="module")
def all_kinds(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("certificates")
    for name in ("a", "b"):
        made(folder / name)
    made(folder / "old", EXPIRED)
    made(folder / "new", NOT_YET)
    made(folder / "locked", password="sesame")
    (folder / "letter.txt").write_text("Dear shop", encoding="utf-8")
    return folder


def test_the_command_serves_https_and_says_nothing_of_what_strangers_send(tmp_path: Path, shop: Made) -> None:
    with serving(tmp_path, "--pair", "--cert", str(shop.cert), "--key", str(shop.key)) as (server, told):
        assert re.fullmatch(r"https://127\.0\.0\.1:\d+", told["address"])
        port = int(told["address"].rpartition(":")[2])
        for sent in (b"GET / HTTP/1.1\r\n\r\n", b"\x16\x03\x01\x00\x05hello", b"\x16", b""):
            with socket.create_connection(("127.0.0.1", port), timeout=10) as stranger:
                stranger.sendall(sent)
                stranger.shutdown(socket.SHUT_WR)
                while stranger.recv(4096):
                    pass
        plain = socket.create_connection(("127.0.0.1", port), timeout=10)
        with trusting(shop).wrap_socket(plain, server_hostname="127.0.0.1") as tablet:
            tablet.sendall(f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n".encode())
            assert tablet.recv(15) == b"HTTP/1.1 200 OK"
        server.send_signal(signal.SIGTERM)
        out, err = server.communicate(timeout=30)
        assert err == ""
        assert json.loads(out.splitlines()[-1])["schema"] == "kitwright.served/2"
