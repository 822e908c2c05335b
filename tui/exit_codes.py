"""The exit codes of the command line: a contract with scripts, so they stand in one place."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """How a command ended."""

    FOUND = 0
    """Done; for a look-up, something fits."""
    NOTHING = 1
    """Nothing fits, nothing was found, or a check failed."""
    USAGE = 2
    """Wrong options or input that cannot be read."""
    INTERRUPTED = 130
    """Stopped by Ctrl+C."""
    PIPE_CLOSED = 141
    """Whoever read our output went away (as in `| head`)."""
