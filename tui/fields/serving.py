"""What a server of browsers is told: where it listens, what it is called outside, its certificate."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from ipaddress import ip_address
from typing import Any, ClassVar
from urllib.parse import urlsplit

from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.places import DataFile
from tui.fields.words import shown


@dataclass(frozen=True)
class HostAddress(Field[str]):
    """An address of this computer, or a name of it."""

    METAVAR: ClassVar[str] = "ADDRESS"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "an address of this computer as 192.168.1.20, or 0.0.0.0 for all it has"

    def read(self, text: str, asked: Asked) -> str:
        """The address, or the name in small letters. Raises `FieldError`."""
        bare = text[1:-1] if text.startswith("[") and text.endswith("]") else text
        try:
            return str(ip_address(bare))
        except ValueError:
            pass
        # A host's name: RFC 1123, 2.1. Digits alone are an address gone wrong.
        label = r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?"
        if len(text) > 253 or not re.fullmatch(rf"{label}(\.{label})*", text.lower()) or re.fullmatch(r"[\d.]+", text):
            raise FieldError(f"{shown(text)} is not an address; type {self.hint(asked)}")
        return text.lower()


@dataclass(frozen=True)
class PublicAddress(Field[str]):
    """The address by which others reach the server, as through a proxy."""

    METAVAR: ClassVar[str] = "URL"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "https:// and a host, without a path, as https://shop.example"

    def read(self, text: str, asked: Asked) -> str:
        """The scheme, the host and the port where it is not the scheme's own. Raises `FieldError`."""
        try:
            parts = urlsplit(text.lower())
            port = parts.port
        except ValueError:
            parts, port = urlsplit(""), None
        named = parts.hostname and parts.username is None and parts.password is None and text.isascii()
        if (
            parts.scheme not in ("http", "https") or not named or parts.path.strip("/") or parts.query or parts.fragment
            or not re.fullmatch(r"[a-z0-9.:-]+", parts.hostname or "")
        ):  # fmt: skip
            raise FieldError(f"{shown(text)} is not an address of a server; type {self.hint(asked)}")
        host = f"[{parts.hostname}]" if ":" in (parts.hostname or "") else parts.hostname
        own = {"http": 80, "https": 443}[parts.scheme]
        return f"{parts.scheme}://{host}" + (f":{port}" if port not in (None, own) else "")


@dataclass(frozen=True)
class PemFile(DataFile):
    """A file of a certificate; none where nothing is typed."""

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "a PEM file"

    def from_text(self, text: str, asked: Asked) -> Any:
        """The file's path. Raises `FieldError`."""
        return super().from_text(text, asked) if text.strip() else None


@dataclass(frozen=True)
class SessionUnit(Field[str]):
    """What a bare length is in at first, as `--unit` says it: an option that every command with lengths has."""

    LENGTHS: ClassVar[bool] = True

    def options(self) -> tuple[Option, ...]:
        """None of its own."""
        return ()

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> str:
        """The unit."""
        return asked.units.length
