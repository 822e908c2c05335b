"""Sources by name: every key in a table has one, and no record of the catalog shows a key."""

import csv
import importlib
import pkgutil
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

import catalog
from catalog.publications import TABLE, named, publications

DATA = TABLE.parent
TABLES = sorted(DATA.glob("*/*.csv"))
NAMES = [one.name for one in publications().values()]
_BEHIND = r"(?<![\w.-])(?<!SAE )(?<!ISO )(?<!ASTM )(?<!ASME )"
_KNOWN = re.compile(rf"{_BEHIND}(?:{'|'.join(sorted(map(re.escape, publications()), key=len, reverse=True))})(?![\w-])")
_CODE = re.compile(rf"{_BEHIND}(?:[SV]\d{{1,3}}|K-[A-Z]+)(?![\w-])")
_BARE = re.compile(r"[A-Z0-9][A-Z0-9.-]*(?:[ ,;+]+[A-Z0-9][A-Z0-9.-]*)*")


def keys_in(source: str) -> set[str]:
    """The keys of a source cell: known ones, what looks like one, and every word of a cell that holds nothing else."""
    bare = re.split(r"[ ,;+]+", source) if _BARE.fullmatch(source) and not re.match("SAE |ISO |JIS ", source) else []
    return {*_KNOWN.findall(source), *_CODE.findall(source), *bare}


def test_names_are_short_plain_and_one_each() -> None:
    assert len(set(NAMES)) == len(NAMES)
    for name in NAMES:
        assert 6 <= len(name) <= 60, name
        assert not re.search(r"transcri|scribd|\.com|\.org|\.net|\.biz|www|http|PyPI|github", name, re.IGNORECASE), name


def test_the_table_of_names_is_sorted_by_key() -> None:
    with TABLE.open(encoding="utf-8", newline="") as handle:
        keys = [row["key"] for row in csv.DictReader(handle)]
    assert keys == sorted(set(keys))


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.stem)
def test_every_key_in_a_table_has_a_name(table: Path) -> None:
    with table.open(encoding="utf-8", newline="") as handle:
        for row in csv.DictReader(handle):
            for column, cell in row.items():
                if column.endswith("source"):
                    assert keys_in(cell) <= set(publications()), f"{table.name}: {cell}"


def test_every_name_is_used() -> None:
    text = "".join(file.read_text(encoding="utf-8") for file in [*TABLES, *DATA.parent.rglob("*.py")])
    unused = [key for key in publications() if not re.search(rf"(?<![\w.-]){re.escape(key)}(?![\w-])", text)]
    assert not unused


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("memory", "memory"),
        ("S48", "definitions of DOT 5 and DOT 5.1"),
        ("S26;S28", "a seal guide on brake fluid; 49 CFR 571.116 brake fluids"),
        ("GEOC+PKBR", "an AS568 table in inch and mm, 356 rows; a seal maker's AS568A catalogue, 2009"),
        ("thread S17 S18; ring SAE AS568", f"thread {named('S17')}; {named('S18')}; ring SAE AS568"),
        ("S24, direction only; number from memory", "a guide to rubber families, direction only; number from memory"),
        ("SAE J429, ISO 4406 and ASTM E11", "SAE J429, ISO 4406 and ASTM E11"),
        ("common practice, no source", "common practice, no source"),
    ],
)
def test_a_cell_is_said_by_names(cell: str, said: str) -> None:
    assert named(cell) == said


def records(found: object) -> Iterator[object]:
    """Everything with a source inside what a table's loader gives back."""
    if isinstance(found, Mapping):
        for key, value in found.items():
            yield from records(key)
            yield from records(value)
    elif isinstance(found, (list, tuple, set, frozenset)):
        if hasattr(found, "source"):
            yield found
        for one in found:
            yield from records(one)


def loaders() -> Iterator[object]:
    """What every cached loader without arguments in the catalog gives back."""
    for module in pkgutil.walk_packages(catalog.__path__, "catalog."):
        for name, value in vars(importlib.import_module(module.name)).items():
            if hasattr(value, "cache_info") and value.__module__ == module.name:
                code = value.__wrapped__.__code__
                if code.co_argcount == code.co_kwonlyargcount == 0:
                    assert name
                    yield value()


def test_no_record_of_the_catalog_shows_a_key() -> None:
    seen = 0
    for found in loaders():
        for record in records(found):
            source = str(record.source)  # type: ignore[attr-defined]
            for name in sorted(NAMES, key=len, reverse=True):
                source = source.replace(name, "")
            assert not keys_in(source), record
            seen += 1
    assert seen > 3000
