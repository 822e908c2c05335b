"""Who asks: the address that wrong codes are counted for."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from multidict import MultiMapping

FORWARDED: Final = "X-Forwarded-For"
"""What proxies add the address to that asked them (no standard; common practice)."""
ONE_HOUSE: Final = 64
"""Leading bits of an IPv6 address that are one house's, who may take any below them (RFC 4291, 2.5.4)."""


def caller(peer: str | None, headers: MultiMapping[str], *, behind_proxy: bool) -> str:
    """The address that asked. `peer`: where the connection came from.

    `behind_proxy`: others reach this server through a proxy. Only one on this computer is believed, for anybody else
    could say any address; and only the last address, which that proxy itself added.
    """
    here = _address(peer or "")
    if behind_proxy and here is not None and here.is_loopback:
        said = [one for line in headers.getall(FORWARDED, ()) for one in line.split(",")]
        here = (_address(said[-1]) if said else None) or here
    if isinstance(here, IPv6Address):
        return str(IPv6Network((here, ONE_HOUSE), strict=False))
    return str(here) if here is not None else "an address unknown"


def _address(text: str) -> IPv4Address | IPv6Address | None:
    """The address in `192.0.2.7`, `192.0.2.7:4711`, `[2001:db8::1]:4711` or `fe80::1%eth0`; None where it is none."""
    bare = text.strip().strip('"')
    if bare.startswith("["):
        bare = bare[1:].partition("]")[0]
    elif bare.count(":") == 1:
        bare = bare.partition(":")[0]
    try:
        found = ip_address(bare.partition("%")[0])
    except ValueError:
        return None
    return (found.ipv4_mapped or found) if isinstance(found, IPv6Address) else found
