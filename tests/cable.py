"""A cable between a program and a server that a test can pull and put back."""

from __future__ import annotations

import select
import socket
import threading
from contextlib import suppress


class Cable:
    """Listens on a loopback port and passes on both ways to another, while it is in."""

    def __init__(self, port: int) -> None:
        self._to = port
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listener.getsockname()[1])
        self._is_in = True
        self._ends: list[socket.socket] = []
        self._over = False
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def pull(self) -> None:
        """Cut what is open, and let nobody in."""
        self._is_in = False
        for end in list(self._ends):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def put_back(self) -> None:
        """Let programs in again."""
        self._is_in = True

    def close(self) -> None:
        """Take it away."""
        self._over = True
        self.pull()
        self._thread.join(5)

    def _run(self) -> None:
        pairs: dict[socket.socket, socket.socket] = {}
        while not self._over:
            ready, _, _ = select.select([self._listener, *pairs], [], [], 0.05)
            for one in ready:
                if one is self._listener:
                    near, _ = self._listener.accept()
                    if not self._is_in:
                        near.close()
                        continue
                    far = socket.create_connection(("127.0.0.1", self._to))
                    pairs |= {near: far, far: near}
                    self._ends += [near, far]
                elif one in pairs:
                    self._pass_on(one, pairs)
        for end in (self._listener, *self._ends):
            end.close()

    def _pass_on(self, one: socket.socket, pairs: dict[socket.socket, socket.socket]) -> None:
        other = pairs[one]
        try:
            came = one.recv(65_536)
            if came:
                other.sendall(came)
                return
        except OSError:
            pass
        for end in (one, other):
            pairs.pop(end, None)
            self._ends.remove(end)
            end.close()
