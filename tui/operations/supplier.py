"""Suppliers' names put right. Suppliers are added and listed beside their lists: see `tui.operations.list`."""

from __future__ import annotations

from tui.operations.upkeep import upkeep

HELP = "rename, retire or merge suppliers"
DESCRIPTION = """\
Rename a supplier, retire one, merge two that are the same. "kitwright list add" adds
one, and "kitwright list suppliers" shows all of them.

examples:
  kitwright supplier rename "First supplier (invented)" "First seals (invented)" --demo
  kitwright supplier retire "First supplier (invented)" --demo
"""
EPILOG = "exit codes: 0 done, 1 there is none like it, 2 wrong options or input.\n"
OPERATIONS = upkeep(
    "supplier",
    "First suplier",
    "First supplier (invented)",
    before=('list add "First suplier" --currency EUR',),
)
