"""A certificate and its key for https, tried before anything is served: what is wrong with them is one sentence."""

from __future__ import annotations

import ssl
import time
from contextlib import suppress
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathlib import Path

NO_CHECK_TIME: Final = 0x200000
"""OpenSSL's X509_V_FLAG_NO_CHECK_TIME: the days are looked at here, to say them."""
STEPS: Final = 20
"""A handshake has two or three each way."""


class CertificateError(ValueError):
    """The certificate or its key can't be used; the text is one sentence."""


def tls(cert: Path, key: Path) -> ssl.SSLContext:
    """What https needs of these two files. Raises `CertificateError`."""
    for file, what in ((cert, "certificate"), (key, "key")):
        try:
            file.read_bytes()
        except OSError as fault:
            why = (fault.strerror or str(fault)).lower()
            raise CertificateError(f"the {what} {file} can't be read ({why})") from fault
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    try:
        context.load_cert_chain(cert, key, password=_no_password)
    except _PasswordError as fault:
        raise CertificateError(f"the key {key} has a password; give one without") from fault
    except (OSError, ValueError) as fault:
        if getattr(fault, "reason", None) == "KEY_VALUES_MISMATCH":
            raise CertificateError(f"the key {key} is not the key of the certificate {cert}") from fault
        what, file = ("key", key) if _has_certificate(cert) else ("certificate", cert)
        raise CertificateError(f"no {what} in PEM form stands in {file}") from fault
    _look_at_its_days(context, cert)
    return context


class _PasswordError(Exception):
    """OpenSSL asks for a password."""


def _no_password() -> str:
    """OpenSSL would ask for it at the terminal."""
    raise _PasswordError


def _has_certificate(file: Path) -> bool:
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT).load_verify_locations(file)
    except (OSError, ValueError):
        return False
    return True


def _look_at_its_days(context: ssl.SSLContext, cert: Path) -> None:
    """Raises `CertificateError` where browsers would refuse it today. Python reads a certificate only as one that
    another side showed and that was found good: so we greet ourselves, and trust what the file itself holds."""
    trusting = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    trusting.check_hostname = False
    trusting.load_verify_locations(cert)
    trusting.verify_flags = ssl.VerifyFlags(ssl.VERIFY_X509_PARTIAL_CHAIN | NO_CHECK_TIME)
    there, back = ssl.MemoryBIO(), ssl.MemoryBIO()
    shop, browser = context.wrap_bio(there, back, server_side=True), trusting.wrap_bio(back, there)
    try:
        for side in (browser, shop) * STEPS:
            with suppress(ssl.SSLWantReadError):
                side.do_handshake()
        shown = browser.getpeercert() or {}
        begins, ends = (str(shown[name]) for name in ("notBefore", "notAfter"))
    except (ssl.SSLError, ValueError, KeyError) as fault:
        why = getattr(fault, "verify_message", None) or getattr(fault, "reason", None) or str(fault)
        raise CertificateError(f"the certificate {cert} can't be used for https ({str(why).lower()})") from fault
    now = time.time()
    if now > ssl.cert_time_to_seconds(ends):
        raise CertificateError(f"the certificate {cert} has expired ({_day(ends)}); browsers refuse it, make a new one")
    if now < ssl.cert_time_to_seconds(begins):
        raise CertificateError(
            f"the certificate {cert} holds only from {_day(begins)} on; is this computer's date right?"
        )


def _day(moment: str) -> str:
    return time.strftime("%Y-%m-%d", time.gmtime(ssl.cert_time_to_seconds(moment)))
