"""May I use X where Y is asked? The answer with the path that leads to it, each step's condition and source.

Advice to a competent person: the machine's manual has the last word.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, NamedTuple

from catalog.fluids import classes, grades, rules
from catalog.fluids.grade_check import Verdict, compare
from catalog.fluids.rules import BLOCKING, PASSING, Rule, RuleKind
from catalog.standing import Standing, weakest


class Answer(NamedTuple):
    """The verdict on `offered` where `required` is asked.

    `steps` lead from the offered class to the required one; each may be used where the next one is asked. For a no
    they hold the rule that forbids it, or nothing if no rule speaks. `conditions` must hold for the verdict.
    `standing` is that of the weakest step, None if the answer rests on no rule and no table.
    `per_claim` has one answer for each class the item claims when there are several, best first.
    """

    verdict: Verdict
    offered: str
    required: str
    reason: str
    steps: tuple[Rule, ...] = ()
    conditions: tuple[str, ...] = ()
    source: str = ""
    standing: Standing | None = None
    per_claim: tuple[Answer, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether the answer is yes or with care."""
        return self.verdict is not Verdict.NO


LAST_WORD: Final = "This is advice: the machine's manual has the last word."
"""To be shown with every answer."""

OWN: Final = "This rests on this shop's own rule."
"""Said with every answer for which a rule of the tables would not have been enough."""

MAX_STEPS: Final = 5
"""Longest path of rules that is followed; real chains of categories are shorter."""

_ORDER: Final = (Verdict.YES, Verdict.WITH_CARE, Verdict.NO)


def may_use(offered: str | Iterable[str], required: str, *, own_rules: Sequence[Rule] = ()) -> Answer:
    """Judge whether an item that claims the class or classes `offered` may be used where `required` is asked.

    A class always stands in for itself. A rule that says never blocks whatever else leads there; the shop's `own_rules`
    add paths and blocks but cannot lift a built-in one. With several claims the best answer counts, but a claim that
    does harm there overrules the others; if the item also claims the required class itself, the answer is with care.
    What no rule speaks of is a no. Raises ValueError if no class is given.
    """
    claims = [offered] if isinstance(offered, str) else list(offered)
    own: dict[str, str] = {}
    for code in (code for rule in own_rules for code in (rule.required, rule.offered)):
        own.setdefault(classes.key(code), code)
    claims = list(dict.fromkeys(_canonical(claim, own) for claim in claims if claim.strip()))
    wanted = _canonical(required, own)
    if not claims or not wanted:
        raise ValueError("A class is missing; type what the item claims and what the machine requires, such as UTTO.")
    known = rules.built_in() + tuple(
        rule._replace(required=_canonical(rule.required, own), offered=_canonical(rule.offered, own))
        for rule in own_rules
    )
    answers = sorted((_judge(claim, wanted, known) for claim in claims), key=lambda answer: _rank(answer, claims))
    best = answers[0]
    if len(answers) == 1:
        return best
    harm = next((answer for answer in answers if answer.steps and answer.steps[0].kind is RuleKind.NEVER), None)
    if harm is not None and best.usable:
        warning = f"The item also claims {harm.offered}: {harm.steps[0].condition}."
        if best.offered == wanted:
            best = best._replace(
                verdict=Verdict.WITH_CARE,
                reason=f"It claims {wanted}, but also {harm.offered}, which must not be used there.",
                conditions=(*best.conditions, f"{warning} Ask its supplier before use."),
            )
        else:
            best = harm._replace(reason=f"No. {warning}")
    return best._replace(per_claim=tuple(answers))


def _canonical(text: str, own: Mapping[str, str]) -> str:
    """The class by its code; a shop's own class is found however it is written, as those of the tables are."""
    known = rules.canonical(text)
    return own.get(classes.key(text), known) if classes.get(text) is None else known


def meets(
    claims: str | Iterable[str], requirements: Iterable[str], *, own_rules: Sequence[Rule] = ()
) -> tuple[Verdict, tuple[Answer, ...]]:
    """Judge one item against everything a machine requires of the fluid, such as a class and a grade.

    Returns the worst verdict and an answer for each requirement, in their order. A viscosity grade among the
    requirements is answered by the item's grade. Raises ValueError if there is no requirement.
    """
    listed = [claims] if isinstance(claims, str) else list(claims)
    answers = tuple(_relevant(listed, required, own_rules) for required in requirements)
    if not answers:
        raise ValueError("Nothing is required; type at least one class or grade that the machine asks for.")
    return max((answer.verdict for answer in answers), key=_ORDER.index), answers


def _relevant(claims: list[str], required: str, own_rules: Sequence[Rule]) -> Answer:
    """Judge like with like: a required grade by the claimed grades, a required class by the claimed classes."""
    asked_grade = grades.is_grade(required)
    alike = [claim for claim in claims if grades.is_grade(claim) is asked_grade]
    if alike:
        return may_use(alike, required, own_rules=own_rules)
    answer = may_use(claims, required, own_rules=own_rules)
    if answer.usable:
        return answer
    missing = "viscosity grade" if asked_grade else "class"
    return answer._replace(reason=f"The item states no {missing}: find out before it is used.")


def _rank(answer: Answer, claims: list[str]) -> tuple[int, int, int, int, int]:
    cautions = len(answer.conditions)
    # An exact claim first, then the fewest steps; for a no the one with a stated reason.
    return (
        _ORDER.index(answer.verdict),
        cautions if answer.usable else 0 if answer.steps else 1,
        len(answer.steps),
        0 if answer.standing is None else answer.standing.trust,
        claims.index(answer.offered),
    )


def _judge(offered: str, required: str, known: tuple[Rule, ...]) -> Answer:
    if offered == required:
        return Answer(Verdict.YES, offered, required, "It is the class that is asked for.", source="same class")
    blocked = {(rule.required, rule.offered): rule for rule in known if rule.kind in BLOCKING}
    direct = [rule for rule in known if (rule.required, rule.offered) == (required, offered)]
    block = next((rule for rule in direct if rule.kind is RuleKind.NEVER), blocked.get((required, offered)))
    if block is not None:
        return _refusal(block, f"Never: {block.condition or 'a rule forbids it'}.")
    lost = next((rule for rule in direct if rule.kind is RuleKind.DOWNGRADE), None)
    ruled = [rule for rule in direct if rule.own and rule.kind in (*PASSING, RuleKind.PARTIAL)]
    if lost is not None and not ruled:
        return _refusal(lost, f"No: {lost.condition or 'it is a lower class'}.")
    path = _path(offered, required, known, blocked)
    if path is None:
        partial = next((rule for rule in direct if rule.kind is RuleKind.PARTIAL), None)
        path = (partial,) if partial is not None else None
    by_grade = _by_grade(offered, required)
    if path is not None:
        answer = _permission(offered, required, path)
        if by_grade is None or _ORDER.index(answer.verdict) <= _ORDER.index(by_grade.verdict):
            return answer
    return by_grade or Answer(
        Verdict.NO, offered, required, f"No: nothing says that {offered} may be used where {required} is asked."
    )


def _refusal(rule: Rule, reason: str) -> Answer:
    said = f"{reason} {OWN}" if rule.own else reason
    return Answer(Verdict.NO, rule.offered, rule.required, said, (rule,), source=rule.source, standing=rule.standing)


def _by_grade(offered: str, required: str) -> Answer | None:
    if not (grades.is_grade(offered) and grades.is_grade(required)):
        return None
    found = compare(grades.parse(offered), grades.parse(required))
    return Answer(
        found.verdict,
        offered,
        required,
        found.reason,
        conditions=found.conditions,
        source=found.source,
        standing=found.standing,
    )


def _permission(offered: str, required: str, path: tuple[Rule, ...]) -> Answer:
    cautious = [rule for rule in path if rule.kind not in (RuleKind.UPGRADE, RuleKind.ALLOWED)]
    conditions = tuple(dict.fromkeys(rule.condition for rule in path if rule.condition))
    words = "With care" if cautious else "Yes"
    if len(path) == 1:
        reason = f"{words}: {offered} may be used where {required} is asked."
    else:
        between = ", then ".join(rule.required for rule in path[:-1])
        reason = f"{words}: {offered} may be used where {required} is asked, by way of {between}."
    if any(rule.kind is RuleKind.PARTIAL for rule in path):
        reason = f"{words}: {offered} may be used for part of what {required} does."
    if any(rule.own for rule in path):
        reason = f"{reason} {OWN}"
    return Answer(
        Verdict.WITH_CARE if cautious else Verdict.YES,
        offered,
        required,
        reason,
        path,
        conditions,
        source=";".join(dict.fromkeys(rule.source for rule in path)),
        standing=weakest(rule.standing for rule in path),
    )


def _path(
    offered: str, required: str, known: tuple[Rule, ...], blocked: dict[tuple[str, str], Rule]
) -> tuple[Rule, ...] | None:
    """The path with the fewest cautions, then steps, then weak steps, on which no class stands where it is forbidden.

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
        cautions, length, weak, _, visited, path = heapq.heappop(queue)
        if visited[-1] == required:
            return path
        if length == MAX_STEPS:
            continue
        for rule in onward.get(visited[-1], ()):
            after = rule.required
            if after not in useful or after in visited or any((after, before) in blocked for before in visited):
                continue
            count += 1
            care = cautions + (rule.kind is RuleKind.CAUTION)
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
