"""The `kitwright` command."""

from __future__ import annotations

from tui.cli import main

if __name__ == "__main__":
    main()
