"""What a process under test is begun with, so that Ctrl+C reaches it."""

from __future__ import annotations

import signal


def heeding_ctrl_c() -> None:
    """A suite that runs in a shell's background ignores Ctrl+C, and so would what it starts."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
