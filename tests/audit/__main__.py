"""`python -m tests.audit` prints the figures that the README shows; `--write` puts them there."""

from __future__ import annotations

import sys

from tests.audit import figures

if sys.argv[1:] == ["--write"]:
    figures.write()
else:
    sys.stdout.write(figures.text())
