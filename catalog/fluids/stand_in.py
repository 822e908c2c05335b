"""May I use X where Y is asked? The answer with the path that leads to it, each step's condition and source.

Advice to a competent person: the machine's manual has the last word.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache, lru_cache, partial
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.fluids import classes, grades, grease_check, paths, properties, rules
from catalog.fluids.answers import Answer, Refusal, because_of
from catalog.fluids.grade_check import Verdict, compare
from catalog.fluids.properties import Lack
from catalog.fluids.rules import BLOCKING, PASSING, Rule, RuleKind
from catalog.standing import Standing, weakest

__all__ = ["LAST_WORD", "OWN", "Answer", "Refusal", "may_use", "meets"]

LAST_WORD: Final = "This is advice: the machine's manual has the last word."
"""To be shown with every answer."""

OWN: Final = "This rests on this shop's own rule."
"""Said with every answer for which a rule of the tables would not have been enough."""

_ORDER: Final = (Verdict.YES, Verdict.WITH_CARE, Verdict.NO)
_ITSELF: Final = Because("a class stands in for itself", "by definition", Standing.INFERRED)
_COUNT: Final = Because(
    "one caution may be kept in mind; two never add up to a permission", "common practice, no source", Standing.PRACTICE
)
_SILENT: Final = Because("without a rule the answer is no", "common practice, no source", Standing.PRACTICE)


def may_use(offered: str | Iterable[str], required: str, *, own_rules: Sequence[Rule] = ()) -> Answer:
    """Judge whether an item that claims the class or classes `offered` may be used where `required` is asked.

    A class always stands in for itself. A rule that says never blocks whatever else leads there; the shop's `own_rules`
    add paths and blocks but cannot lift a built-in one. With several claims the best answer counts, but a claim that
    does harm there overrules the others; if the item also claims the required class itself, the answer is with care.
    Without a rule the answer is no. Raises ValueError if no class is given.
    """
    claims = [offered] if isinstance(offered, str) else list(offered)
    known, own = _with_own(tuple(own_rules)) if own_rules else (_tables(), {})
    claims = list(dict.fromkeys(_canonical(claim, own) for claim in claims if claim.strip()))
    wanted = _canonical(required, own)
    if not claims or not wanted:
        raise ValueError("A class is missing; type what the item claims and what the machine requires, such as UTTO.")
    judge = _judge_by_tables if not own_rules else partial(_judge, known=known)
    answers = sorted((judge(claim, wanted) for claim in claims), key=lambda answer: _rank(answer, claims))
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


def is_usable(offered: str, required: str, *, own_rules: Sequence[Rule] = ()) -> bool:
    """Whether `may_use` of one class is a yes or with care. For who asks ten thousand pairs: no answer is kept."""
    known, own = _with_own(tuple(own_rules)) if own_rules else (_tables(), {})
    claim, wanted = _canonical(offered, own), _canonical(required, own)
    return _judge(claim, wanted, known).usable


@lru_cache(maxsize=8)
def _with_own(own_rules: tuple[Rule, ...]) -> tuple[_Book, Mapping[str, str]]:
    """The tables with a shop's own rules, their classes spelt alike, and how each of its classes is spelt, by key."""
    own: dict[str, str] = {}
    for code in (code for rule in own_rules for code in (rule.required, rule.offered)):
        own.setdefault(classes.key(code), code)
    spelt = (
        rule._replace(required=_canonical(rule.required, own), offered=_canonical(rule.offered, own))
        for rule in own_rules
    )
    return _book((*_tables().rules, *spelt)), own


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
    """Judge like with like: a required grade by the claimed grades, a required thickener by the claimed thickeners."""
    asked = _sort(required)
    alike = [claim for claim in claims if _sort(claim) == asked]
    if alike:
        return may_use(alike, required, own_rules=own_rules)
    answer = may_use(claims, required, own_rules=own_rules)
    if answer.usable or answer.refusal is Refusal.NEVER:
        return answer
    return answer._replace(
        reason=f"The item states no {asked}: find out before it is used.",
        steps=(),
        refusal=Refusal.NOT_STATED,
        because=(Because(f"the machine asks for {required}, a {asked}", "by definition", Standing.INFERRED),),
    )


def _sort(text: str) -> str:
    """What a word on a label speaks of: a viscosity grade, a thickener, an NLGI number or a class."""
    if grades.is_grade(text):
        return "viscosity grade"
    known = classes.get(text)
    family = known.family if known is not None else ""
    return {"grease thickener": "thickener", "grease consistency (NLGI)": "NLGI number"}.get(family, "class")


def _rank(answer: Answer, claims: list[str]) -> tuple[int, int, int, int, int]:
    # An exact claim first, then the fewest steps; for a no the one with a stated reason.
    stated = 0 if answer.steps else 2 if answer.refusal is Refusal.NO_RULE else 1
    return (
        _ORDER.index(answer.verdict),
        len(answer.conditions) if answer.usable else stated,
        len(answer.steps),
        0 if answer.standing is None else answer.standing.trust,
        claims.index(answer.offered),
    )


class _Book(NamedTuple):
    """Rules, those that block by their pair (required, offered), and all that speak of a pair."""

    rules: tuple[Rule, ...]
    blocked: Mapping[tuple[str, str], Rule]
    direct: Mapping[tuple[str, str], Sequence[Rule]]


def _book(known: tuple[Rule, ...]) -> _Book:
    direct: dict[tuple[str, str], list[Rule]] = {}
    for rule in known:
        direct.setdefault((rule.required, rule.offered), []).append(rule)
    blocked = {(rule.required, rule.offered): rule for rule in known if rule.kind in BLOCKING}
    return _Book(known, blocked, direct)


@cache
def _tables() -> _Book:
    return _book(rules.built_in())


@lru_cache(maxsize=2_000)
def _judge_by_tables(offered: str, required: str) -> Answer:
    """By the tables alone: the same pairs come again with every item that claims several classes."""
    return _judge(offered, required, _tables())


def _judge(offered: str, required: str, known: _Book) -> Answer:
    greases = grease_check.over(offered, required)
    if offered == required and greases is None:
        reason = "It is the class that is asked for."
        return Answer(Verdict.YES, offered, required, reason, source="same class", because=(_ITSELF,))
    direct = known.direct.get((required, offered), ())
    block = next((rule for rule in direct if rule.kind is RuleKind.NEVER), known.blocked.get((required, offered)))
    if block is not None:
        kind = Refusal.NEVER if block.kind is RuleKind.NEVER else Refusal.LACKS
        return _refusal(block, f"Never: {block.condition or 'a rule forbids it'}.", kind)
    ruled = tuple(rule for rule in direct if rule.own and rule.kind in (*PASSING, RuleKind.PARTIAL))
    found = properties.lack(offered, required)
    if found is not None and found.crossing and (not ruled or _guarded(offered, required)):
        return _lacking(offered, required, found)
    lost = next((rule for rule in direct if rule.kind is RuleKind.DOWNGRADE), None)
    if lost is not None and not ruled:
        return _refusal(lost, f"No: {lost.condition or 'it is a lower class'}.", Refusal.DOWNGRADE)
    if ruled and (found is not None or greases is not None):
        return _permission(offered, required, ruled[:1])
    if greases is not None:
        return greases
    partial = tuple(rule for rule in direct if rule.kind is RuleKind.PARTIAL)[:1]
    if found is not None:
        return _permission(offered, required, partial) if partial else _lacking(offered, required, found)
    path = paths.best(offered, required, known.rules, known.blocked)
    if path is not None and len(paths.cautions(path)) > paths.MAX_CAUTIONS:
        return _permission(offered, required, partial) if partial else _too_careful(offered, required, path)
    by_grade = _by_grade(offered, required)
    if path or partial:
        answer = _permission(offered, required, path or partial)
        if by_grade is None or _ORDER.index(answer.verdict) <= _ORDER.index(by_grade.verdict):
            return answer
    reason = f"No: no rule lets {offered} be used where {required} is asked."
    return by_grade or Answer(Verdict.NO, offered, required, reason, refusal=Refusal.NO_RULE, because=(_SILENT,))


def _guarded(offered: str, required: str) -> bool:
    """Whether one of the two is of a sort that no rule may cross into."""
    sorts = [found.sort for found in map(properties.of, (offered, required)) if found is not None]
    return any(sort in properties.GUARDED for sort in sorts)


def _refusal(rule: Rule, reason: str, kind: Refusal) -> Answer:
    said = f"{reason} {OWN}" if rule.own else reason
    return Answer(
        Verdict.NO,
        rule.offered,
        rule.required,
        said,
        (rule,),
        source=rule.source,
        standing=rule.standing,
        refusal=kind,
        because=(because_of(rule),),
    )


def _lacking(offered: str, required: str, found: Lack) -> Answer:
    return Answer(
        Verdict.NO,
        offered,
        required,
        f"{'Never' if found.crossing else 'No'}: {found.reason}.",
        source=found.source,
        standing=found.standing,
        refusal=Refusal.NEVER if found.crossing else Refusal.LACKS,
        because=(
            Because(found.rule, found.standing.words if found.source == "memory" else found.source, found.standing),
        ),
    )


def _too_careful(offered: str, required: str, path: tuple[Rule, ...]) -> Answer:
    """The refusal of a path that carries two cautions or more, with the path."""
    careful = paths.cautions(path)
    said = "; ".join(f"{rule.offered} for {rule.required}" for rule in careful)
    count = "two" if len(careful) == 2 else str(len(careful))
    return Answer(
        Verdict.NO,
        offered,
        required,
        f"No rule permits {offered} where {required} is asked. The way there takes {count} cautions ({said}), "
        "and they never add up to a permission.",
        path,
        source="; ".join(dict.fromkeys(rule.source for rule in path)),
        standing=weakest(rule.standing for rule in path),
        refusal=Refusal.TWO_CAUTIONS,
        because=(*map(because_of, path), _COUNT),
    )


def _by_grade(offered: str, required: str) -> Answer | None:
    if not (grades.is_grade(offered) and grades.is_grade(required)):
        return None
    found = compare(grades.parse(offered), grades.parse(required))
    source = found.standing.words if found.source in ("", "memory") else found.source
    return Answer(
        found.verdict,
        offered,
        required,
        found.reason,
        conditions=found.conditions,
        source=found.source,
        standing=found.standing,
        refusal=Refusal.GRADE if found.verdict is Verdict.NO else None,
        because=(Because(found.reason, source, found.standing),),
    )


def _permission(offered: str, required: str, path: tuple[Rule, ...]) -> Answer:
    cautious = paths.cautions(path)
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
        because=tuple(map(because_of, path)),
    )
