"""What importing and reading lengths costs: looked at in a fresh process."""

from __future__ import annotations

import subprocess
import sys

LENGTHS_ONLY = """
import sys
from catalog.quantity import QuantityError, Kind, both_units, format_length, format_volume, length_mm, parse
for text in ("24.9", "63/64 in", "24,9 mm", '.984" ± .002"', "3 thou", "5 ft 2 in"):
    length_mm(text)
    parse(text, kind=Kind.LENGTH, bare_unit="in").echo()
for text in ("12 bananas", "11 qt", "9**9**9"):
    try:
        length_mm(text)
    except QuantityError:
        continue
    raise SystemExit(f"{text} was read")
both_units(24.9), format_length(24.9, "in"), format_volume(10.4)
parse("11 qt", kind=Kind.VOLUME, bare_unit="L")
print(sorted({name.partition(".")[0] for name in sys.modules} & {"pint", "textual", "sqlalchemy", "sqlmodel", "numpy"}))
"""

VOLUMES = """
import sys
from catalog.quantity import Kind, parse
parse("11 qt", kind=Kind.VOLUME, bare_unit="L").to("L")
print("pint" in sys.modules)
"""


def run(program: str) -> str:
    return subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stdout.strip()


def test_lengths_and_refusals_leave_pint_unimported() -> None:
    assert run(LENGTHS_ONLY) == "[]"


def test_a_volume_is_converted_by_pint() -> None:
    assert run(VOLUMES) == "True"
