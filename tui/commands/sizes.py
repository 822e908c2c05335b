"""`kitwright sizes`: the standard sizes, as text or JSON."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.output import say, say_json, table
from tui.commands.parsing import add_json_option
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.orings.sizes import RingSize, Series

NAME = "sizes"
HELP = "list the standard ring sizes"
DESCRIPTION = """\
List standard ring sizes, all of them or those that a text picks out.

examples:
  kitwright sizes AS568-214
  kitwright sizes P22A --series jis
  kitwright sizes 24.99
  kitwright sizes "5 x 5-1/2 x 1/4 in"
  kitwright sizes --series bs4518 --json
"""
EPILOG = "exit codes: 0 some size listed, 1 none found, 2 wrong options.\n"
SCHEMA = "kitwright.sizes/1"
MM_PER_INCH = 25.4


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("text", nargs="*", metavar="TEXT", help="a name, or a piece of one, or a dimension")
    parser.add_argument("--series", action="append", default=[], metavar="NAME", help="only these series")
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """List the sizes."""
    from tui.commands.ring_input import Asked, series

    found = find(" ".join(arguments.text), series(Asked({}, series=tuple(arguments.series))))
    if arguments.json:
        say_json({"schema": SCHEMA, "sizes": [size_object(size) for size in found]})
    elif found:
        for line in size_lines(found):
            say(line)
    else:
        say("No size in our tables goes by that. Try a piece of the name, or an ID in mm: kitwright sizes 24.99")
    return ExitCode.FOUND if found else ExitCode.NOTHING


def size_object(size: RingSize) -> dict[str, str | float]:
    """A size as JSON, lengths in mm."""
    return {
        "standard": size.series.value,
        "designation": size.designation,
        "name": size.label,
        "id_mm": round(size.id_mm, 4),
        "id_plus_minus_mm": round(size.id_tol_mm, 4),
        "cross_section_mm": round(size.cross_section_mm, 4),
        "cross_section_plus_minus_mm": round(size.cross_section_tol_mm, 4),
        "standing": size.standing.value,
        "source": size.source,
        "note": size.note,
    }


def find(text: str, only: tuple[Series, ...] | None) -> list[RingSize]:
    """Sizes that a text picks out: the one it names first, then those where every word is part of a name or a number.

    Numbers are compared as they are shown: millimetres to two decimals, inches to three.
    """
    from catalog.orings.fractions import sizes_called
    from catalog.orings.sizes import Series, find, load

    candidates = [size for series in only or tuple(Series) for size in load(series)]
    words = text.casefold().replace(",", ".").split()
    found = [size for size in candidates if all(word in _haystack(size) for word in words)]
    one = find(text) if words else None
    named = [size for size in ([one] if one is not None else sizes_called(text)) if size in candidates]
    return [*named, *(size for size in found if size not in named)]


def _haystack(size: RingSize) -> str:
    from catalog.orings.sizes import title

    lengths = (size.id_mm, size.od_mm, size.cross_section_mm)
    numbers = " ".join(f"{length:.2f} {length / MM_PER_INCH:.3f}" for length in lengths)
    return f"{title(size.series)} {size.label} {size.key} {numbers}".casefold()


def size_lines(sizes: Sequence[RingSize]) -> list[str]:
    """The sizes as a table in both units; an unchecked row says so."""
    from catalog.orings.sizes import title

    header = ("size", "ID mm", "width mm", "ID in", "width in", "standard", "row")
    rows = [
        (
            size.label,
            f"{size.id_mm:.2f} ±{size.id_tol_mm:.2f}",
            f"{size.cross_section_mm:.2f} ±{size.cross_section_tol_mm:.2f}",
            f"{size.id_mm / MM_PER_INCH:.3f}",
            f"{size.cross_section_mm / MM_PER_INCH:.3f}",
            title(size.series),
            size.standing.word,
        )
        for size in sizes
    ]
    return table(header, rows, right=(1, 2, 3, 4))
