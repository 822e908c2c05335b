"""The process beside a long import, started where somebody has put their own in the way of stderr."""

from __future__ import annotations

import subprocess
import sys

CAPTURED = """
import sys
from multiprocessing import active_children
from models.supplier_lists.beside import beside
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
