"""A shop's own book on fluids: classes of its own and its own stand-in rules, from CSV or said one by one.

The first line of a file names the columns: required, offered, kind, condition and, if wanted, source. A row of the kind
`class` is a class of the shop's own: its code under required, what it is under condition.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final, NamedTuple

from catalog.fluids import classes, tables
from catalog.fluids.rules import Rule, RuleKind, canonical, pairs
from catalog.standing import Standing

COLUMNS: Final = ("required", "offered", "kind", "condition")
"""The columns a shop's rules file must have. `source` may be added."""
CLASS: Final = "class"
SOURCE: Final = "shop rule"


class ShopRulesError(ValueError):
    """A shop's rules file cannot be read. `problems` has one sentence a problem, each with its line number."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


class ShopClass(NamedTuple):
    """A class of the shop's own: its code and what it is."""

    code: str
    description: str


class ShopRule(NamedTuple):
    """One statement of the shop's as it is written: cells may list several classes, or name a group (`@engine`)."""

    required: str
    offered: str
    kind: RuleKind
    condition: str = ""
    source: str = ""


class ShopBook(NamedTuple):
    """All that a shop says of fluids."""

    classes: tuple[ShopClass, ...] = ()
    written: tuple[ShopRule, ...] = ()

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules spelled out, one for each pair of classes, marked as the shop's own."""
        return tuple(rule for one in self.written for rule in spelled_out(one))


def shop_rule(required: str, offered: str, kind: str, condition: str = "", source: str = "") -> ShopRule:
    """A statement of the shop's, checked. Raises ValueError with one sentence: what is wrong, what to type."""
    for name, text in (("required", required), ("offered", offered)):
        if not tables.several(text):
            raise ValueError(f"{name} is empty; type a class such as UTTO or API GL-4.")
    try:
        word = RuleKind(kind.strip().casefold())
    except ValueError:
        raise ValueError(f"'{kind.strip()[:24]}' is not a kind of rule; type one of {', '.join(RuleKind)}.") from None
    said = ShopRule(_codes(required), _codes(offered), word, " ".join(condition.split()), " ".join(source.split()))
    if word in (RuleKind.CAUTION, RuleKind.PARTIAL) and not said.condition:
        raise ValueError(f"a {word} needs its condition; say what must hold.")
    if not spelled_out(said):
        raise ValueError("a class always stands in for itself; name two different classes.")
    return said


def shop_class(code: str, description: str) -> ShopClass:
    """A class of the shop's own, checked. Raises ValueError: no code, no description, a code the tables have."""
    code, description = " ".join(code.split()), " ".join(description.split())
    if not code or code.startswith("@") or ";" in code:
        raise ValueError("a class needs a code; type a name such as ORCHARD-1, without ; and without @ before it.")
    known = classes.get(code)
    if known is not None:
        raise ValueError(f"{code} is {known.code} in the tables already; give the shop's own class another code.")
    if not description:
        raise ValueError(f"{code} needs a description; say what it is.")
    return ShopClass(code, description)


def spelled_out(said: ShopRule) -> tuple[Rule, ...]:
    """One rule for each pair of classes. Raises ValueError where a group is named that is none."""
    try:
        return tuple(
            pairs(said.required, said.offered, said.kind, said.condition, said.source or SOURCE, Standing.SHOP)
        )
    except KeyError as error:
        raise ValueError(f"there is no group {error.args[0]}; type a class, or a group such as @engine.") from None


def _codes(cell: str) -> str:
    """The cell with each class by its catalog code."""
    return "; ".join(part if part.startswith("@") else canonical(part) for part in tables.several(cell))


def read_shop_rules(path_or_text: Path | str) -> tuple[Rule, ...]:
    """A shop's own stand-in rules from a CSV file (a Path) or from CSV text (a str); see `read_shop_book`."""
    return read_shop_book(path_or_text).rules


def read_shop_book(path_or_text: Path | str) -> ShopBook:
    """Read a shop's own classes and stand-in rules from a CSV file (a Path) or from CSV text (a str).

    Commas or semicolons separate the columns. Empty lines are skipped. Classes the catalog does not know become the
    shop's own. Raises ShopRulesError with every problem and its line number; nothing is read if there is one.
    """
    text = _text_of(path_or_text)
    first = next((line for line in text.splitlines() if line.strip()), "")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if ";" in first and "," not in first else ",")
    book = _Book()
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                book.take(reader.line_num, cells)
    except csv.Error as error:
        book.problems.append(f"Line {reader.line_num}: this is not CSV ({error}); save the sheet as CSV and try again.")
    if book.header is None:
        book.problems.append(f"Line 1: the file is empty; its first line must be {','.join(COLUMNS)}.")
    if book.problems:
        raise ShopRulesError(book.problems)
    return ShopBook(tuple(book.classes), tuple(book.written))


class _Book:
    """What was read so far."""

    def __init__(self) -> None:
        self.header: list[str] | None = None
        self.classes: list[ShopClass] = []
        self.written: list[ShopRule] = []
        self.problems: list[str] = []
        self._seen: dict[tuple[str, ...], int] = {}

    def take(self, line: int, cells: Sequence[str]) -> None:
        """One row."""
        if self.header is None:
            self._head(line, cells)
            return
        if len(cells) > len(self.header):
            more = f"there are {len(cells)} columns, but the first line names {len(self.header)}"
            self.problems.append(f"Line {line}: {more}; put text with commas in quotes.")
            return
        filled = [cell.strip() for cell in cells] + [""] * (len(self.header) - len(cells))
        row = dict(zip(self.header, filled, strict=True))
        try:
            self._row(line, row)
        except ValueError as problem:
            self.problems.append(f"Line {line}: {problem}")

    def _head(self, line: int, cells: Sequence[str]) -> None:
        self.header = [cell.strip().casefold() for cell in cells]
        missing = [name for name in COLUMNS if name not in self.header]
        if missing:
            wanted = ",".join(COLUMNS)
            raise ShopRulesError([f"Line {line}: the column {missing[0]} is missing; the first line must be {wanted}."])

    def _row(self, line: int, row: dict[str, str]) -> None:
        if row["kind"].casefold() == CLASS:
            own = shop_class(row["required"], row["condition"])
            self._once(line, (classes.key(own.code),), own.code)
            self.classes.append(own)
            return
        said = shop_rule(row["required"], row["offered"], row["kind"], row["condition"], row.get("source", ""))
        for rule in spelled_out(said):
            self._once(
                line, (classes.key(rule.required), classes.key(rule.offered)), f"{rule.offered} for {rule.required}"
            )
        self.written.append(said)

    def _once(self, line: int, key: tuple[str, ...], called: str) -> None:
        before = self._seen.setdefault(key, line)
        if before != line:
            raise ValueError(f"{called} is already on line {before}; keep one.")


def _text_of(path_or_text: Path | str) -> str:
    if isinstance(path_or_text, str):
        return path_or_text.removeprefix("\ufeff")
    try:
        return path_or_text.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise ShopRulesError([f"Line {line}: the file is not UTF-8 text; save it as CSV UTF-8."]) from None
    except OSError as error:
        raise ShopRulesError(
            [f"Line 0: {path_or_text.name} cannot be read ({error.strerror}); check the file's name and place."]
        ) from None
