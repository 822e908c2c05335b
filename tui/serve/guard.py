"""Which requests are let in: by the host they name, the page they come from, and what the browser says of itself.

A page of a stranger that a bench has open could else reach a server of the shop through that bench's browser: by a
name of the stranger's that points here (the Host list), or by a request to our address (Origin, Sec-Fetch-Site).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from http import HTTPStatus
from ipaddress import ip_address
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from multidict import MultiMapping

SAFE: Final = frozenset({"GET", "HEAD"})
"""Methods that change nothing here: any page of ours asks them, and a person who types the address."""
FROM_US: Final = frozenset({"same-origin", "none"})
"""What `Sec-Fetch-Site` says of a request from our own page, and of an address that was typed or scanned."""


class Refusal(NamedTuple):
    """Why a request is not let in, and the status of the answer to it."""

    status: HTTPStatus
    why: str


@dataclass(frozen=True)
class Doors:
    """What this server is called. `scheme`: `http` or `https`, `port`: as it is listened on.

    `names`: hosts that it goes by, without port. `public`: `https://shop.example` where others reach it so; "" else.
    """

    scheme: str
    port: int
    names: frozenset[str]
    public: str = ""

    @property
    def hosts(self) -> frozenset[str]:
        """What the Host header may say."""
        here = {self.with_port(name) for name in self.names}
        return frozenset({*here, *([self.public.partition("://")[2]] if self.public else ())})

    def with_port(self, name: str) -> str:
        """A host as a browser names it: without the port that its scheme has anyway."""
        name = f"[{name}]" if ":" in name else name
        return name if (self.scheme, self.port) in (("http", 80), ("https", 443)) else f"{name}:{self.port}"

    def refusal(
        self, method: str, headers: MultiMapping[str], *, handshake: bool, arrived_at: str = ""
    ) -> Refusal | None:
        """Why this request is refused; None where it is let in.

        `handshake`: it asks for a web socket. `arrived_at`: the address of ours that it came to, which it may name too.
        """
        hosts = [one.casefold() for one in headers.getall("Host", ())]
        known = self.hosts | ({self.with_port(arrived_at)} if arrived_at else frozenset())
        if len(hosts) != 1 or hosts[0] not in known:
            return Refusal(HTTPStatus.MISDIRECTED_REQUEST, "This server goes by another name.")
        sites = [one.casefold() for one in headers.getall("Sec-Fetch-Site", ())]
        if any(site not in FROM_US for site in sites):
            return Refusal(HTTPStatus.FORBIDDEN, "Another page asked for this. Type the address yourself.")
        origins = list(headers.getall("Origin", ()))
        ours = {f"{self.scheme}://{hosts[0]}", *([self.public] if self.public else ())}
        if (handshake or method not in SAFE) and (len(origins) != 1 or origins[0].casefold() not in ours):
            return Refusal(HTTPStatus.FORBIDDEN, "Another page asked for this, or the browser did not say which.")
        return None


def is_loopback(name: str) -> bool:
    """Whether an address reaches this computer alone. A name other than `localhost` may point anywhere."""
    try:
        return ip_address(name).is_loopback
    except ValueError:
        return name.casefold() == "localhost"


def security_headers(host: str, *, secure: bool) -> Mapping[str, str]:
    """What every answer tells the browser. `host`: as the request named it, once that was let in.

    Styles may stand in the page, for the terminal in it makes its own; scripts come from files of ours alone. The
    socket is named beside `'self'`: older browsers take that for http only.
    """
    socket = f"{'wss' if secure else 'ws'}://{host}"
    policy = {
        "default-src": "'none'",
        "script-src": "'self'",
        "style-src": "'self' 'unsafe-inline'",
        "font-src": "'self'",
        "img-src": "'self' data:",
        "connect-src": f"'self' {socket}",
        "form-action": "'self'",
        "frame-ancestors": "'none'",
        "base-uri": "'none'",
    }
    return {
        "Content-Security-Policy": "; ".join(f"{name} {value}" for name, value in policy.items()),
        "Referrer-Policy": "same-origin",
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Server": "kitwright",
    }
