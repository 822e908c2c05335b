"""Stand-in rules as data: one directed, conditional statement a rule. A shop's own rules have the same shape."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple

from catalog.fluids import classes, tables
from catalog.fluids.tables import Standing


class RuleKind(StrEnum):
    """What a rule says about using the offered class where the required one is asked."""

    UPGRADE = "upgrade"
    """Yes: the offered class was made to replace the required one."""
    ALLOWED = "allowed"
    """Yes, within the condition."""
    CAUTION = "caution"
    """With care: only if the condition holds."""
    PARTIAL = "partial"
    """With care, for part of the duty only. Never a step on the way to another class."""
    DOWNGRADE = "downgrade"
    """No: something the machine asked for is lost. Only a shop's own direct rule can overrule it."""
    LACKS = "lacks"
    """Never: the offered class lacks something the required one needs. Another claim on the label may supply it."""
    NEVER = "never"
    """Never: the offered class does harm. No other claim and no other rule can cure that."""


PASSING: Final = (RuleKind.UPGRADE, RuleKind.ALLOWED, RuleKind.CAUTION)
BLOCKING: Final = (RuleKind.LACKS, RuleKind.NEVER)


class Rule(NamedTuple):
    """`offered` may (or must never) be used where `required` is asked, under `condition`. Both are class codes."""

    required: str
    offered: str
    kind: RuleKind
    condition: str
    source: str
    standing: Standing

    @property
    def own(self) -> bool:
        """Whether this is a shop's own rule."""
        return self.standing is Standing.SHOP


class ShopRulesError(ValueError):
    """A shop's rules file cannot be read. `problems` has one sentence a problem, each with its line number."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


@cache
def built_in() -> tuple[Rule, ...]:
    """The catalog's rules, groups spelled out: one rule for each pair of classes."""
    return tuple(
        rule
        for row in tables.rows("stand_in")
        for rule in _pairs(
            row["required"],
            row["offered"],
            RuleKind(row["kind"]),
            row["condition"],
            row["source"],
            Standing(row["standing"]),
        )
    )


def canonical(text: str) -> str:
    """The catalog's code for a class, or the text itself, trimmed, if the catalog does not know it."""
    known = classes.get(text)
    return known.code if known else " ".join(text.split())


def _pairs(
    required: str, offered: str, kind: RuleKind, condition: str, source: str, standing: Standing
) -> Iterator[Rule]:
    for one in _spell_out(required):
        for other in _spell_out(offered):
            if one != other:
                yield Rule(one, other, kind, condition, source, standing)


def _spell_out(cell: str) -> list[str]:
    codes: list[str] = []
    for part in tables.several(cell):
        if part.startswith("@"):
            members = classes.in_group(part[1:])
            if not members:
                raise KeyError(part)
            codes.extend(members)
        else:
            codes.append(canonical(part))
    return list(dict.fromkeys(codes))


COLUMNS: Final = ("required", "offered", "kind", "condition")
"""The columns a shop's rules file must have. `source` may be added."""


def read_shop_rules(path_or_text: Path | str) -> tuple[Rule, ...]:
    """Read a shop's own stand-in rules from a CSV file (a Path) or from CSV text (a str).

    The first line names the columns: required, offered, kind, condition and, if wanted, source. Commas or semicolons
    separate them. Empty lines are skipped. Classes the catalog does not know become the shop's own. Raises
    ShopRulesError with every problem and its line number; nothing is read if there is one.
    """
    text = _text_of(path_or_text)
    first = next((line for line in text.splitlines() if line.strip()), "")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if ";" in first and "," not in first else ",")
    header: list[str] | None = None
    found: list[Rule] = []
    problems: list[str] = []
    seen: dict[tuple[str, str], int] = {}
    try:
        for cells in reader:
            line = reader.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if header is None:
                header = [cell.strip().casefold() for cell in cells]
                missing = [name for name in COLUMNS if name not in header]
                if missing:
                    wanted = ",".join(COLUMNS)
                    raise ShopRulesError(
                        [f"Line {line}: the column {missing[0]} is missing; the first line must be {wanted}."]
                    )
                continue
            rule_or_problem = _shop_rule(header, cells)
            if isinstance(rule_or_problem, str):
                problems.append(f"Line {line}: {rule_or_problem}")
                continue
            for rule in rule_or_problem:
                before = seen.setdefault((rule.required, rule.offered), line)
                if before != line:
                    problems.append(
                        f"Line {line}: {rule.offered} for {rule.required} is already on line {before}; keep one."
                    )
                found.append(rule)
    except csv.Error as error:
        problems.append(f"Line {reader.line_num}: this is not CSV ({error}); save the sheet as CSV and try again.")
    if header is None:
        problems.append(f"Line 1: the file is empty; its first line must be {','.join(COLUMNS)}.")
    if problems:
        raise ShopRulesError(problems)
    return tuple(found)


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


def _shop_rule(header: list[str], cells: list[str]) -> list[Rule] | str:
    if len(cells) > len(header):
        return (
            f"there are {len(cells)} columns, but the first line names {len(header)}; put text with commas in quotes."
        )
    row = dict(zip(header, [cell.strip() for cell in cells] + [""] * (len(header) - len(cells)), strict=True))
    for name in ("required", "offered"):
        if not tables.several(row[name]):
            return f"{name} is empty; type a class such as UTTO or API GL-4."
    try:
        kind = RuleKind(row["kind"].casefold())
    except ValueError:
        return f"'{row['kind'][:24]}' is no kind of rule; type one of {', '.join(RuleKind)}."
    if kind in (RuleKind.CAUTION, RuleKind.PARTIAL) and not row["condition"]:
        return f"a {kind} needs its condition; say what must hold."
    try:
        pairs = list(
            _pairs(
                row["required"],
                row["offered"],
                kind,
                row["condition"],
                row.get("source", "") or "shop rule",
                Standing.SHOP,
            )
        )
    except KeyError as error:
        return f"there is no group {error.args[0]}; type a class, or a group such as @engine."
    return pairs or "a class always stands in for itself; name two different classes."
