"""Stand-in rules as data: one directed, conditional statement a rule. A shop's own rules have the same shape."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from functools import cache
from typing import Final, NamedTuple

from catalog.fluids import classes, tables
from catalog.publications import named
from catalog.standing import Standing


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


@cache
def built_in() -> tuple[Rule, ...]:
    """The catalog's rules, groups spelled out: one rule for each pair of classes."""
    return tuple(
        rule
        for row in tables.rows("stand_in")
        for rule in pairs(
            row["required"],
            row["offered"],
            RuleKind(row["kind"]),
            row["condition"],
            named(row["source"]),
            Standing(row["standing"]),
        )
    )


def canonical(text: str) -> str:
    """The catalog's code for a class, or the text itself, trimmed, if the catalog does not know it."""
    known = classes.get(text)
    return known.code if known else " ".join(text.split())


def pairs(
    required: str, offered: str, kind: RuleKind, condition: str, source: str, standing: Standing
) -> Iterator[Rule]:
    """One rule for each pair of classes; the cells may list several, or name a group such as `@engine`.

    A class never gets a rule on itself. Raises KeyError with the name of a group that is none.
    """
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
