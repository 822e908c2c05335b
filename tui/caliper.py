"""A caliper on a serial port: each reading it sends goes into the field in hand, and the next field takes the focus.

Calipers that type like a keyboard need nothing of this. What the line means is `catalog.quantity.instrument`; its
settings (9,600 baud unless said otherwise, eight bits, no parity, one stop bit) are common practice, no source.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Final, NamedTuple, Protocol

from textual.message import Message
from textual.widgets import Input

import catalog
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from collections.abc import Callable

    from tui.host import Host

USUAL_BAUD: Final = 9600
LOOK_S: Final = 0.1
"""Seconds between two looks whether the app is being left."""
AGAIN_S: Final = 1.0
"""Seconds between two tries to open a port that went away."""
LONGEST: Final = 64
"""Bytes of a line: what is longer is noise, or another instrument."""


class CaliperError(Exception):
    """The port can't be used; the text is one sentence for the person who named it."""


class Port(NamedTuple):
    """A serial port by its name, and how fast it talks."""

    name: str
    baud: int


class Line(Protocol):
    """An open port."""

    def read(self, size: int = 1, /) -> bytes:
        """What came, or nothing after a while. Raises OSError where the port went away."""
        ...

    def close(self) -> None:
        """Let go of it."""
        ...


class Said(Message):
    """What the caliper sent: a number, or a sentence on why there is none."""

    def __init__(self, number: str, trouble: str) -> None:
        super().__init__()
        self.number = number
        self.trouble = trouble


def port_named(text: str) -> Port:
    """A port as it is typed: `COM3`, `/dev/ttyUSB0`, or with its speed, `COM3,2400`. Raises `CaliperError`."""
    name, comma, speed = text.strip().rpartition(",")
    if not comma:
        name, speed = speed, str(USUAL_BAUD)
    if not name or not (speed.strip().isascii() and speed.strip().isdigit() and 50 <= int(speed[:8]) <= 921_600):
        raise CaliperError("type the port, as COM3 or /dev/ttyUSB0, and its speed behind a comma if that is not 9600")
    return Port(name.strip(), int(speed))


def opened(port: Port) -> Line:
    """The port, open. Raises `CaliperError`."""
    try:
        import serial  # type: ignore[import-untyped]
    except ImportError:
        raise CaliperError("that needs one more library; type: pip install 'kitwright[instruments]'") from None
    try:
        line: Line = serial.Serial(port.name, port.baud, timeout=LOOK_S)
    except (OSError, ValueError) as problem:
        raise CaliperError(
            f"{clean(port.name)} can't be opened: is the caliper plugged in, and the name right?"
        ) from problem
    return line


def lines_in(heard: bytes) -> tuple[list[str], bytes]:
    """The whole lines of what was heard, and what is still to come; a line ends with CR, LF or both."""
    *whole, rest = heard.replace(b"\r", b"\n").split(b"\n")
    lines = [line.decode("ascii", "replace") for line in whole if 0 < len(line) <= LONGEST]
    return lines, rest if len(rest) <= LONGEST else rest[: LONGEST + 1]


def said_by(line: str) -> Said:
    """A line as a number, or as the sentence that it is none."""
    number = catalog.quantity.instrument.number_in(line)
    if number is not None:
        return Said(number, "")
    if catalog.quantity.instrument.is_fault(line):
        return Said("", f"The caliper has no reading to send ({line.strip()}). Measure again.")
    try:
        catalog.quantity.length_mm(line)
    except catalog.quantity.QuantityError:
        return Said(
            "", f"The caliper sent {clean(repr(line[:20]))}, which is not a reading. Look at its format and speed."
        )
    return Said(" ".join(line.split()), "")


class Caliper:
    """Listens to a port in a thread of its own, from when the app takes keys until it is left."""

    def __init__(self, port: Port) -> None:
        self._port = port
        self._line: Line | None = opened(port)
        self._stop = threading.Event()

    def listen(self, tell: Callable[[Said], object]) -> None:
        """Begin; each reading is told from that thread."""
        threading.Thread(target=self._hear, args=(tell,), name="caliper", daemon=True).start()

    def stop(self) -> None:
        """Listen no more."""
        self._stop.set()

    def _hear(self, tell: Callable[[Said], object]) -> None:
        heard = b""
        while not self._stop.is_set():
            if self._line is None:
                self._try_again(tell)
                heard = b""
                continue
            try:
                came = self._line.read(1)
            except (OSError, TypeError):  # what pyserial raises where a port goes while it is read
                self._lose(tell)
                continue
            lines, heard = lines_in(heard + came)
            for line in lines:
                tell(said_by(line))
        if self._line is not None:
            self._line.close()

    def _lose(self, tell: Callable[[Said], object]) -> None:
        line, self._line = self._line, None
        if line is not None:
            line.close()
        tell(Said("", "The caliper is gone. Plug it in again, or type the readings."))

    def _try_again(self, tell: Callable[[Said], object]) -> None:
        if self._stop.wait(AGAIN_S):
            return
        try:
            self._line = opened(self._port)
        except CaliperError:
            return
        tell(Said("", "The caliper is back."))


def put(app: Host, said: Said) -> None:
    """Put a reading into the field in hand, in place of what stood there, and go on to the next field."""
    if said.trouble:
        app.notify(said.trouble, severity="warning", markup=False)
        return
    field = app.focused
    if not isinstance(field, Input) or field.disabled:
        told = f"The caliper says {said.number}. Put the cursor into a field, then send it again."
        app.notify(told, severity="warning", markup=False)
        return
    field.value = said.number
    chain = [one for one in app.screen.focus_chain if isinstance(one, Input)]
    after = chain[chain.index(field) + 1 :] if field in chain else []
    if after:
        after[0].focus()
