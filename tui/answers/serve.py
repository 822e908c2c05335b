"""That the app is open to browsers, the code that lets one in, and that it is closed again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tui.answers.answer import Answer, said


@dataclass(frozen=True)
class Serving(Answer):
    """Where browsers find the app.

    `address`: to type into one; `at_once`: so many browsers at most. `paired`: whether a browser has to show a code or
    the access key, which is in `key_file`; null where neither is asked for. `picture`: the address as a QR code;
    `readable`: whether others on the network can read along.
    """

    SCHEMA: ClassVar[str] = "kitwright.serving/2"

    address: str
    at_once: int
    paired: bool
    key_file: str | None
    picture: tuple[str, ...] = said(())
    readable: bool = said(False)

    def words(self) -> list[str]:
        """The address as a QR code and in letters, and how to get in."""
        lines = [*self.picture, f"Open to browsers at {self.address}"]
        if self.paired:
            lines += [
                "A new browser asks for a code. Enter here makes one: once, for two minutes.",
                "Nobody here? The access key opens always; keep it to yourself. It lies in",
                f"  {self.key_file}",
            ]
            if self.readable:
                lines.append("Not encrypted: others on the network can read along (--cert, --public-url).")
        else:
            lines.append("Only this computer reaches it. --pair asks for a code here too.")
        return [*lines, f"At most {self.at_once} browsers at once. Ctrl+C ends it and every app it opened."]


@dataclass(frozen=True)
class PairingCode(Answer):
    """A code that lets one browser in: eight digits, once, within so many seconds."""

    SCHEMA: ClassVar[str] = "kitwright.pairing-code/2"

    code: str
    seconds: int

    def words(self) -> list[str]:
        """The code in two groups."""
        return [f"Code: {self.code[:4]} {self.code[4:]}"]


@dataclass(frozen=True)
class Served(Answer):
    """The server was told to end, and has."""

    SCHEMA: ClassVar[str] = "kitwright.served/2"

    address: str

    def words(self) -> list[str]:
        """That it is closed."""
        return [f"{self.address} is closed. What was booked in a browser is kept."]
