"""The server from its start to its end: where it listens, what it says at the shop's computer, and how it stops."""

from __future__ import annotations

import asyncio
import errno
import logging
import os
import signal
import socket
import ssl
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from threading import Thread
from typing import TYPE_CHECKING, Final

from aiohttp import http_exceptions, web

from tui import commands
from tui.serve import certificate, connections
from tui.serve.guard import Doors, is_loopback
from tui.serve.pairing import Pairing
from tui.serve.shop import Shop

if TYPE_CHECKING:
    from pathlib import Path

EVERYWHERE: Final = frozenset({"0.0.0.0", "::"})
"""Addresses that mean: all that this computer has."""
SOMEWHERE: Final = ("192.0.2.1", 9)
"""An address that is nobody's (RFC 5737). Nothing is sent there: the system says which of ours it would send from."""
BACKLOG: Final = 256
"""Connections that the system holds until they are taken in."""
CLOSING_SECONDS: Final = 2.0
"""How long an answer under way may take when the server stops."""


class CannotListenError(OSError):
    """The address, the port or the certificate can't be used; the text is one sentence."""


@dataclass(frozen=True)
class Wanted:
    """How to serve. `host` and `port`: where to listen, port 0 being any that is free; `public`: the origin by which
    others reach it through a proxy, "" for none; `cert` and `key`: files of a TLS certificate.

    `access_key`: "" where every browser that reaches the server may in. `at_once`: so many apps at most. `unit`, `demo`
    and `data`: what each app is opened with.
    """

    host: str
    port: int
    public: str
    cert: Path | None
    key: Path | None
    access_key: str
    at_once: int
    unit: str
    demo: bool
    data: str | None

    def argv(self) -> tuple[str, ...]:
        """The command of an app. The data's address may hold a password, so it is no word of it."""
        return (sys.executable, "-m", "tui", "--unit", self.unit, *(["--demo"] if self.demo else ()))

    def environment(self) -> Mapping[str, str]:
        """What an app is told beside its command."""
        told = {"TEXTUAL_DRIVER": commands.app.SERVED_DRIVER, "TERM": "xterm-256color", "PYTHONUTF8": "1"}
        return told if self.data is None else {**told, commands.app.SERVED_DATA: self.data}


@dataclass(frozen=True)
class Told:
    """What the server tells whoever started it: the address once it is open, a new code, a line in between."""

    opened: Callable[[str], None]
    code: Callable[[str], None]
    line: Callable[[str], None]


def serve(wanted: Wanted, told: Told) -> None:
    """Serve until the process is told to end. Raises `CannotListenError`, and KeyboardInterrupt at Ctrl+C."""
    asyncio.run(_serve(wanted, told))


async def _serve(wanted: Wanted, told: Told) -> None:
    secure = _tls(wanted)
    listening = _listen(wanted)
    port = listening[0].getsockname()[1]
    doors = Doors("http" if secure is None else "https", port, _names(wanted.host), wanted.public)
    pairing = Pairing(wanted.access_key) if wanted.access_key else None
    shop = Shop(doors, wanted.argv(), wanted.environment(), pairing=pairing, at_once=wanted.at_once, say=told.line)
    faults = _faults()
    runner = web.AppRunner(shop.application(), handle_signals=False, shutdown_timeout=CLOSING_SECONDS)
    await runner.setup()
    assert runner.server is not None
    places = connections.Places(connections.room(wanted.at_once))
    gate = connections.Gate(runner.server, places, faults, secure)
    try:
        for one in listening:
            gate.open(one)
        told.opened(wanted.public or f"{doors.scheme}://{doors.with_port(_shown(wanted.host))}")
        end = _end()
        if pairing is not None:
            _codes(pairing, told.code)
        await end.wait()
    finally:
        await gate.close()
        await shop.stop()
        await runner.cleanup()


def _faults() -> logging.Logger:
    """Where aiohttp says what went wrong in answering. That somebody sent no HTTP is no fault of ours: it is answered,
    and whoever likes to could else fill the terminal in which the code stands."""
    faults = logging.getLogger("kitwright.serve")
    faults.addFilter(_is_ours)
    return faults


def _is_ours(record: logging.LogRecord) -> bool:
    return record.exc_info is None or not isinstance(record.exc_info[1], http_exceptions.HttpProcessingError)


def _end() -> asyncio.Event:
    """Set when the process is told to end. Ctrl+C is not among it: Python makes it KeyboardInterrupt."""
    end = asyncio.Event()
    for name in ("SIGTERM", "SIGHUP"):
        with suppress(AttributeError, NotImplementedError, ValueError, RuntimeError):
            asyncio.get_running_loop().add_signal_handler(getattr(signal, name), end.set)
    return end


def _codes(pairing: Pairing, tell: Callable[[str], None]) -> None:
    """Tell a code now, and another for each line that is typed here."""
    tell(pairing.new_code())
    loop = asyncio.get_running_loop()
    if sys.stdin is None:
        return
    try:
        number = sys.stdin.fileno()
    except (OSError, ValueError):
        return
    with suppress(AttributeError, ValueError):  # where the server runs behind a shell, reading would stop it
        signal.signal(getattr(signal, "SIGTTIN"), signal.SIG_IGN)  # noqa: B009 - Windows has none

    def again() -> None:
        tell(pairing.new_code())

    def read() -> None:
        # Not through Python's stream, whose lock a thread that waits would hold at the end of the program.
        with suppress(OSError, RuntimeError):
            while os.read(number, 1024):
                loop.call_soon_threadsafe(again)

    Thread(target=read, name="codes", daemon=True).start()


def _tls(wanted: Wanted) -> ssl.SSLContext | None:
    if wanted.cert is None or wanted.key is None:
        return None
    try:
        return certificate.tls(wanted.cert, wanted.key)
    except certificate.CertificateError as fault:
        raise CannotListenError(str(fault)) from fault


def _listen(wanted: Wanted) -> list[socket.socket]:
    """Listen on every address that the host means, all on one port; on those this computer has, where it has some."""
    found: list[socket.socket] = []
    lacks: OSError | None = None
    try:
        places = socket.getaddrinfo(wanted.host, wanted.port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        for family, _, _, _, address in dict.fromkeys(places):
            place = (address[0], found[0].getsockname()[1] if found else wanted.port, *address[2:])
            try:
                found.append(socket.create_server(place, family=family, backlog=BACKLOG))
            except OSError as fault:
                # `localhost` often means an address of IPv6 too, where there is none.
                if fault.errno not in (errno.EADDRNOTAVAIL, errno.EAFNOSUPPORT):
                    raise
                lacks = fault
        if not found and lacks is not None:
            raise lacks
    except (OSError, UnicodeError) as fault:
        for one in found:
            one.close()
        number = getattr(fault, "errno", None) or 0
        # Python adds the address to what the system says; that it knows no such name has a number below none.
        why = (os.strerror(number) if number > 0 else getattr(fault, "strerror", None) or str(fault)).lower()
        raise CannotListenError(f"can't listen on {wanted.host}, port {wanted.port} ({why})") from fault
    return found


def _names(host: str) -> frozenset[str]:
    """The hosts by which browsers may name this server."""
    here = {"127.0.0.1", "localhost", "::1"}
    if is_loopback(host):
        return frozenset(here)
    own = socket.gethostname().casefold()
    # A name of the shop's own network, with and without the ending that such networks give (RFC 6762).
    names = {own, f"{own.partition('.')[0]}.local"} - {""}
    return frozenset({*names, *(here if host in EVERYWHERE else ())} | ({host.casefold()} - EVERYWHERE))


def _shown(host: str) -> str:
    """The host to type into a browser: where this computer listens everywhere, the address it would send from."""
    if host not in EVERYWHERE:
        return host
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking, suppress(OSError):
        asking.connect(SOMEWHERE)
        return str(asking.getsockname()[0])
    return socket.gethostname()
