"""Show the app in browsers of the shop."""

from __future__ import annotations

from importlib.util import find_spec
from typing import TYPE_CHECKING, Final

from tui import commands, serve
from tui.answers.serve import PairingCode, Served, Serving
from tui.fields.field import FieldError
from tui.fields.plain import Count, Flag
from tui.fields.serving import HostAddress, PemFile, PublicAddress, SessionUnit
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from tui.operations.operation import Tell, Values
    from tui.workshop import Workshop

HELP = "show the app in browsers: the tablet by the lift"
DESCRIPTION = """\
Show the app in browsers of the shop, each with an app of its own on the same
workshop. Without --host only this computer's own browsers reach it. With
--host a new browser asks for a code of eight digits that stands here; the QR
code holds the address only.

A browser that loses its connection, or loads the page again, finds its app
as it was for ten minutes. All apps end with this command (Ctrl+C).

examples:
  kitwright serve --demo
  kitwright serve --host 192.168.1.20 --port 8040
  kitwright serve --host 0.0.0.0 --cert shop.pem --key shop-key.pem
  kitwright serve --public-url https://kitwright.shop.example
"""
EPILOG = """\
exit codes: 0 told to end, 2 it can't listen there, or wrong options,
130 Ctrl+C.
"""
HOST: Final = "127.0.0.1"
PORT: Final = 8040
AT_ONCE: Final = 8
"""Browsers; an app took 102 to 109 MB of memory on Debian 12 with the demo workshop."""
NEEDS: Final = ("aiohttp", "textual_serve", "segno")
STOPPED: Final = "What was booked in a browser is kept."


def _serve(workshop: Workshop, values: Values, tell: Tell) -> Served:
    """Listen, and stay until told to end."""
    if missing := [name for name in NEEDS if find_spec(name) is None]:
        raise FieldError(f"serving browsers needs {missing[0]}, which is not installed: install the extra “serve”", "-")
    if (values["cert"] is None) != (values["key"] is None):
        raise FieldError("give both: the certificate with --cert and its key with --key", "--cert")
    paired = values["pair"] or bool(values["public_url"]) or not serve.guard.is_loopback(values["host"])
    access_key, key_file = serve.pairing.kept_key() if paired else ("", None)
    # Whatever is wrong with it is said here, and not in each browser; an upgrade is done once.
    workshop.open()
    workshop.close()
    wanted = serve.listening.Wanted(
        host=values["host"],
        port=values["port"],
        public=values["public_url"],
        cert=values["cert"],
        key=values["key"],
        access_key=access_key,
        at_once=values["at_once"],
        unit=values["unit"],
        demo=workshop.is_demo,
        data=workshop.named,
    )
    address = ""

    def opened(at: str) -> None:
        nonlocal address
        address = at
        outside = bool(values["public_url"]) or not serve.guard.is_loopback(values["host"])
        picture = serve.qr_text.lines(at) if outside else ()
        plain = outside and at.startswith("http:")
        tell(Serving(at, values["at_once"], paired, None if key_file is None else str(key_file), picture, plain))
        commands.output.flush()

    def code(new: str) -> None:
        tell(PairingCode(new, serve.pairing.CODE_SECONDS))
        commands.output.flush()

    commands.output.Outcome.stopped = STOPPED
    try:
        serve.listening.serve(wanted, serve.listening.Told(opened, code, commands.output.talk))
    except serve.listening.CannotListenError as problem:
        raise FieldError(str(problem), "-") from problem
    return Served(address)


SERVE = Operation(
    area="serve",
    name="serve",
    label="Serve",
    help=HELP,
    fields=(
        HostAddress("host", "Address", f"listen on this address of the computer ({HOST} unless you say another)",
                    must=False, empty=HOST),
        Count("port", "Port", f"listen on this port ({PORT}; 0: any that is free)",
              must=False, empty=PORT, least=0, most=65535),
        PublicAddress("public_url", "Outside", "the address by which others reach it, as through a proxy",
                      must=False, empty=""),
        PemFile("cert", "Certificate", "the certificate for https, a PEM file", must=False),
        PemFile("key", "Its key", "the certificate's key, a PEM file without a password", must=False),
        Flag("pair", "Pair", "ask for a code on this computer too: others use it, or a tunnel leads here"),
        Count("at_once", "At once", f"so many browsers at most ({AT_ONCE}); each takes about 100 MB",
              must=False, empty=AT_ONCE, most=200),
        SessionUnit("unit", "Unit"),
    ),
    tells=_serve,
    examples=("serve", "serve --host 192.168.1.20 --port 8040"),
)  # fmt: skip

OPERATIONS = (SERVE,)
