"""The figures that the README shows of the audit and of the tables: counted here, so that they cannot drift."""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path
from typing import Final

from catalog.publications import TABLE
from catalog.standing import Standing
from tests.audit.cases import cases

README: Final = Path(__file__).parents[2] / "README.md"
START: Final = "<!-- figures: written by `python -m tests.audit --write` -->"
END: Final = "<!-- end of figures -->"
# A shop's own word stands in its database, in none of these tables.
SHOWN: Final = tuple(one for one in Standing if one is not Standing.SHOP)


def standings() -> dict[str, Counter[Standing]]:
    """How many rows of each table stand on what. A further standing column counts by itself, by its name."""
    found: dict[str, Counter[Standing]] = {}
    for path in sorted(TABLE.parent.glob("*/*.csv")):
        with path.open(encoding="utf-8", newline="") as handle:
            for row in csv.DictReader(handle):
                for column, cell in row.items():
                    if column.endswith("standing") and cell:
                        part = column.removesuffix("standing").replace("_", " ").strip()
                        name = f"{path.parent.name}/{path.stem}" + (f", {part}" if part else "")
                        found.setdefault(name, Counter())[Standing(cell)] += 1
    return found


def text() -> str:
    """The block between `START` and `END`."""
    by_topic = Counter(case.topic for case in cases())
    topics = ", ".join(f"{topic} {count}" for topic, count in sorted(by_topic.items()))
    tables = standings()
    rings = sum((tables[f"orings/{name}"] for name in RING_TABLES), Counter())
    lines = [
        f"`tests/audit` holds {sum(by_topic.values())} worked cases with answers from outside this project: {topics}.",
        "",
        f"Of {rings.total():,} ring sizes, {rings[Standing.PUBLISHED]:,} stand on a published source, "
        f"{rings[Standing.CHECKED]:,} are checked, {rings[Standing.MEMORY]:,} are unchecked.",
        "An answer that rests on an unchecked row says so. Rows by standing, table by table:",
        "",
        f"| table | {' | '.join(one.word for one in SHOWN)} |",
        f"| --- |{' --- |' * len(SHOWN)}",
    ]
    lines += [
        f"| {name} | {' | '.join(str(counts[one] or '') for one in SHOWN)} |" for name, counts in sorted(tables.items())
    ]
    return "\n".join(lines) + "\n"


RING_TABLES: Final = ("as568", "jis_b2401", "metric", "bs4518", "afnor_r", "stock")


def shown() -> str:
    """The block as the README has it. Raises ValueError where the marks are gone."""
    _, _, rest = README.read_text(encoding="utf-8").partition(START + "\n")
    block, end, _ = rest.partition(END)
    if not end:
        raise ValueError(f"README.md has no {START} with {END} behind it; put both back")
    return block


def write() -> None:
    """Put the figures of now into the README."""
    page = README.read_text(encoding="utf-8")
    README.write_text(page.replace(START + "\n" + shown() + END, START + "\n" + text() + END), encoding="utf-8")
