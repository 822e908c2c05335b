"""What can be asked of the standard sizes: a list of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.answers.sizes import SizeList, size_of
from tui.fields.plain import Sought
from tui.fields.rings import InSeries
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

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


def _sizes(values: Values, _: Bench) -> SizeList:
    from catalog.orings.find_sizes import picked_out

    return SizeList(tuple(map(size_of, picked_out(values["text"], values["series"]))))


SIZES = Operation(
    area="sizes",
    name="sizes",
    label="Sizes",
    help=HELP,
    fields=(
        Sought("text", "Size", "a name, or a piece of one, or a dimension", must=False),
        InSeries("series", "Series", "only these series"),
    ),
    answers=_sizes,
    lengths_only=True,
    examples=("sizes AS568-214", "sizes P22A --series jis", "sizes 24.99", 'sizes "5 x 5-1/2 x 1/4 in"'),
)

OPERATIONS = (SIZES,)
