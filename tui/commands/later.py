"""Run a command's part from a module of its own, imported only when it is asked for."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from importlib import import_module

from tui.exit_codes import ExitCode

Run = Callable[[argparse.Namespace], ExitCode]


def later(module: str, name: str) -> Run:
    """The function `name` of `tui.commands.module`."""

    def run(arguments: argparse.Namespace) -> ExitCode:
        found: Run = getattr(import_module(f"tui.commands.{module}"), name)
        return found(arguments)

    return run
