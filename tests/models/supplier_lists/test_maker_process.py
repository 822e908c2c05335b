"""The process beside a long import, started where somebody has put their own in the way of stderr."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
from multiprocessing import Pipe

import pytest

from models.supplier_lists.maker_process import ImportBrokenError, _Received
from models.supplier_lists.progress import Progress

CAPTURED = """
import sys
from multiprocessing import active_children
from models.supplier_lists.maker_process import beside
from models.supplier_lists.progress import Progress

class Captured:
    def write(self, text): pass
    def flush(self): pass
    def fileno(self): return -1

sys.stderr = Captured()
with beside(range, 5, lines=10**6, watch=None, at=lambda: Progress("reading", 0, None)) as made:
    print(len(active_children()), list(made), type(sys.stderr).__name__)
print(active_children())
"""


def test_a_screen_that_holds_stderr_does_not_hinder_it() -> None:
    # A process of its own: in the suite's something else may have started what the first start needs.
    ended = subprocess.run([sys.executable, "-c", CAPTURED], capture_output=True, text=True, check=False, timeout=60)
    assert (ended.returncode, ended.stdout, ended.stderr) == (0, "1 [0, 1, 2, 3, 4] Captured\n[]\n", "")


@pytest.mark.parametrize("left", [b"", struct.pack("!i", 100)[:2], struct.pack("!i", 100) + b"the start of a part"])
def test_a_process_that_ends_at_any_byte_of_a_part_is_told_in_words(left: bytes) -> None:
    receive, send = Pipe(duplex=False)
    received: _Received[list[int]] = _Received(receive, None, lambda: Progress("reading", 0, None))
    send.send([1, 2])
    os.write(send.fileno(), left)  # how the library frames a message: its length (32 bits, the high byte first), bytes
    send.close()
    assert received.ready()
    assert next(received) == [1, 2]
    with pytest.raises(ImportBrokenError, match="The list is as it was before"):
        next(received)
    receive.close()


def test_the_end_is_the_end_however_often_one_asks() -> None:
    receive, send = Pipe(duplex=False)
    received: _Received[int] = _Received(receive, None, lambda: Progress("reading", 0, None))
    send.send(1)
    send.send(None)
    send.close()
    assert list(received) == [1]
    assert next(received, "over") == "over"
    receive.close()
