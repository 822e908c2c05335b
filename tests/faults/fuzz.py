"""Readers of outside data under a fuzzer that follows the code's branches, for longer than the suite has time for.

Optional: `pip install atheris`, then `python -m tests.faults.fuzz quantity|scan|sizes|photo -max_total_time=60`. What
it finds goes into the suite as a test. The suite itself tries the same readers by Hypothesis
(`tests/models/test_hostile_files.py`, `tests/catalog`).
"""

from __future__ import annotations

import sys
from importlib import import_module

OURS = ["catalog", "models", "tui"]


def main() -> None:
    """Try the reader that is named, until the time is up or something gets out of it."""
    atheris = import_module("atheris")
    with atheris.instrument_imports(include=OURS):  # they must not have been loaded before
        readers = import_module("tests.faults.readers")
    reader = readers.READERS[sys.argv.pop(1)]
    atheris.Setup(sys.argv, reader)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
