"""The path of stand-in rules from one class to another: the fewest cautions, then steps, then weak steps."""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterable, Sequence
from typing import Final

from catalog.fluids.rules import PASSING, Rule, RuleKind

MAX_STEPS: Final = 5
"""Longest path of rules that is followed; real chains of categories are shorter."""
MAX_CAUTIONS: Final = 1
"""A path may carry one caution. Two never add up to a permission."""


def cautions(path: Iterable[Rule]) -> tuple[Rule, ...]:
    """The rules that count: caution and partial. The text on an upgrade or an allowed rule is a remark, never one."""
    return tuple(rule for rule in path if rule.kind in (RuleKind.CAUTION, RuleKind.PARTIAL))


def best(
    offered: str, required: str, known: Sequence[Rule], blocked: Collection[tuple[str, str]]
) -> tuple[Rule, ...] | None:
    """The best path, or None. `blocked` are pairs (required, offered) that a rule forbids.

    Every class on the path acts for all that come after it, so a block between any two of them closes the path.
    """
    onward: dict[str, list[Rule]] = {}
    backward: dict[str, list[str]] = {}
    for rule in known:
        if rule.kind in PASSING:
            onward.setdefault(rule.offered, []).append(rule)
            backward.setdefault(rule.required, []).append(rule.offered)
    useful = _reaching(required, backward)
    if offered not in useful:
        return None
    count = 0
    queue: list[tuple[int, int, int, int, tuple[str, ...], tuple[Rule, ...]]] = [(0, 0, 0, count, (offered,), ())]
    while queue:
        careful, length, weak, _, visited, path = heapq.heappop(queue)
        if visited[-1] == required:
            return path
        if length == MAX_STEPS:
            continue
        for rule in onward.get(visited[-1], ()):
            after = rule.required
            if after not in useful or after in visited or any((after, before) in blocked for before in visited):
                continue
            count += 1
            care = careful + (rule.kind is RuleKind.CAUTION)
            doubt = weak + rule.standing.trust
            heapq.heappush(queue, (care, length + 1, doubt, count, (*visited, after), (*path, rule)))
    return None


def _reaching(required: str, backward: dict[str, list[str]]) -> set[str]:
    found = {required}
    waiting = [required]
    while waiting:
        for code in backward.get(waiting.pop(), ()):
            if code not in found:
                found.add(code)
                waiting.append(code)
    return found
