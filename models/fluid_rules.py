"""A shop's own stand-in rules and fluid classes: say, withdraw, list, take in and write out. Always marked its own."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.fluids.classes import key
from catalog.fluids.rules import Rule
from catalog.fluids.shop_rules import (
    CLASS,
    COLUMNS,
    ShopBook,
    ShopClass,
    ShopRule,
    ShopRulesError,
    read_shop_book,
    shop_class,
    shop_rule,
    spelled_out,
)
from models.actions import claim
from models.acts import Act
from models.csv_cells import neutral, plain
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError, NotFoundError
from models.rows import hold
from models.tables import Action, ShopFluidClass, ShopFluidRule
from models.text import NOTE_LENGTH, clean

MOST: Final = 2000
"""No shop has more rules or classes than this: a file that says so is a mistake."""
MOST_CHARACTERS: Final = 2_000_000
_LONGEST_CELL: Final = 400


class OwnRule(NamedTuple):
    """A rule of the shop's own as it is written, who said it and when."""

    rule_id: int
    said: ShopRule
    who: str
    at: datetime


class OwnClass(NamedTuple):
    """A class of the shop's own, who said it and when."""

    class_id: int
    said: ShopClass
    who: str
    at: datetime


class TakenIn(NamedTuple):
    """What a file brought: rules and classes that are new, and those that stood here with the same words."""

    rules: int
    classes: int
    unchanged: int


def listed(session: Session) -> tuple[OwnRule, ...]:
    """The rules that stand, oldest first."""
    rows = session.exec(
        select(ShopFluidRule, Action)
        .join(Action, col(Action.id) == col(ShopFluidRule.action_id))
        .where(col(ShopFluidRule.withdrawn_by_id).is_(None))
        .order_by(col(ShopFluidRule.id))
    ).all()
    return tuple(OwnRule(row.id or 0, _said(row), action.who, action.at) for row, action in rows)


def classes(session: Session) -> tuple[OwnClass, ...]:
    """The classes of the shop's own that stand, oldest first."""
    rows = session.exec(
        select(ShopFluidClass, Action)
        .join(Action, col(Action.id) == col(ShopFluidClass.action_id))
        .where(col(ShopFluidClass.withdrawn_by_id).is_(None))
        .order_by(col(ShopFluidClass.id))
    ).all()
    return tuple(
        OwnClass(row.id or 0, ShopClass(row.code, row.description), action.who, action.at) for row, action in rows
    )


def rules(session: Session) -> tuple[Rule, ...]:
    """The rules as the catalog takes them: one for each pair of classes, marked as this shop's own."""
    rows = session.exec(
        select(ShopFluidRule).where(col(ShopFluidRule.withdrawn_by_id).is_(None)).order_by(col(ShopFluidRule.id))
    ).all()
    return tuple(rule for row in rows for rule in _spelt(row.id or 0, _said(row)))


def book(session: Session) -> ShopBook:
    """Everything the shop says."""
    return ShopBook(tuple(one.said for one in classes(session)), tuple(one.said for one in listed(session)))


def add(
    session: Session, act: Act, *, required: str, offered: str, kind: str, condition: str = "", source: str = ""
) -> OwnRule:
    """Say a rule. Raises `InvalidInputError`, or `AlreadyThereError` where one of its pairs has a rule already."""
    said = _checked(required, offered, kind, condition, source)
    made = claim(session, act, "fluid_rules.add", f"{said.offered} for {said.required}"[:NOTE_LENGTH])
    if made.first:
        _refuse_twice(said, _pairs_of(session))
        session.add(_row(made.action_id, said))
        session.flush()
    row = session.exec(select(ShopFluidRule).where(ShopFluidRule.action_id == made.action_id)).one()
    return OwnRule(row.id or 0, _said(row), act.who, act.at)


def add_class(session: Session, act: Act, code: str, description: str) -> OwnClass:
    """Name a class of the shop's own. Raises `InvalidInputError`, `AlreadyThereError`."""
    try:
        said = shop_class(clean(code, "class"), clean(description, "description", limit=NOTE_LENGTH))
    except ValueError as problem:
        raise InvalidInputError(_sentence(str(problem))) from problem
    made = claim(session, act, "fluid_rules.add_class", said.code)
    if made.first:
        _refuse_known(said, {key(one.said.code) for one in classes(session)})
        session.add(_class_row(made.action_id, said))
        session.flush()
    row = session.exec(select(ShopFluidClass).where(ShopFluidClass.action_id == made.action_id)).one()
    return OwnClass(row.id or 0, ShopClass(row.code, row.description), act.who, act.at)


def remove(session: Session, act: Act, rule_id: int) -> ShopRule:
    """Withdraw a rule; it stays on record. Raises `NotFoundError`."""
    made = claim(session, act, "fluid_rules.remove", subject_id=rule_id)
    row = hold(session, ShopFluidRule, rule_id, "rule of the shop's own")
    if made.first:
        if row.withdrawn_by_id is not None:
            raise NotFoundError(f"Rule {rule_id} was withdrawn already.", "List the rules again.")
        row.withdrawn_by_id = made.action_id
        session.flush()
    return _said(row)


def remove_class(session: Session, act: Act, class_id: int) -> ShopClass:
    """Withdraw a class of the shop's own. Rules that name it stay. Raises `NotFoundError`."""
    made = claim(session, act, "fluid_rules.remove_class", subject_id=class_id)
    row = hold(session, ShopFluidClass, class_id, "class of the shop's own")
    if made.first:
        if row.withdrawn_by_id is not None:
            raise NotFoundError(f"Class {class_id} was withdrawn already.", "List the classes again.")
        row.withdrawn_by_id = made.action_id
        session.flush()
    return ShopClass(row.code, row.description)


def take_in(session: Session, act: Act, text: str) -> TakenIn:
    """Take in a CSV of rules and classes, all or nothing, in one action.

    What stands here with the same words is left alone. Raises `InvalidInputError` with the first problem and its line,
    or `AlreadyThereError` where the shop says something else of the same pair: withdraw one of the two first.
    """
    if len(text) > MOST_CHARACTERS:
        raise InvalidInputError(f"The file has {len(text):,} characters.", "That is not a file of stand-in rules.")
    try:
        # A BOM before the header would count as part of it once the cells are made plain.
        found = read_shop_book(_plain(text.removeprefix("\ufeff")))
    except ShopRulesError as problem:
        more = f" And {len(problem.problems) - 1} more." if len(problem.problems) > 1 else ""
        raise InvalidInputError(problem.problems[0] + more, "Nothing was taken in.") from problem
    if len(found.written) + len(found.classes) > MOST:
        raise InvalidInputError(f"The file has more than {MOST} rows.", "Nothing was taken in.")
    for said in found.written:
        _lengths(said)
    made = claim(session, act, "fluid_rules.take_in", f"{len(found.written)} rules, {len(found.classes)} classes")
    standing, known = {one.said for one in listed(session)}, {one.said for one in classes(session)}
    if made.first:
        pairs = _pairs_of(session)
        new = [said for said in found.written if said not in standing]
        for said in new:
            _refuse_twice(said, pairs)
        codes = {key(one.code) for one in known}
        fresh = [said for said in found.classes if said not in known]
        for own in fresh:
            _refuse_known(own, codes)
        session.add_all([_row(made.action_id, said) for said in new])
        session.add_all([_class_row(made.action_id, own) for own in fresh])
        session.flush()
    mine = len(session.exec(select(ShopFluidRule.id).where(ShopFluidRule.action_id == made.action_id)).all())
    own_classes = len(session.exec(select(ShopFluidClass.id).where(ShopFluidClass.action_id == made.action_id)).all())
    return TakenIn(mine, own_classes, len(found.written) + len(found.classes) - mine - own_classes)


def to_csv(said: ShopBook) -> str:
    """All of it as CSV that `take_in` and `kitwright fluid --rules` read. No cell can run as a formula."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow((*COLUMNS, "source"))
    for own in said.classes:
        writer.writerow([neutral(cell) for cell in (own.code, "", CLASS, own.description, "")])
    for one in said.written:
        writer.writerow([neutral(cell) for cell in (one.required, one.offered, one.kind, one.condition, one.source)])
    return text.getvalue()


def stands(session: Session, done: Action) -> bool:
    """Whether something an action said still stands, or something it withdrew is still withdrawn by it."""
    for table in (ShopFluidRule, ShopFluidClass):
        said = (col(table.action_id) == done.id) & col(table.withdrawn_by_id).is_(None)
        if session.exec(select(table.id).where(said | (col(table.withdrawn_by_id) == done.id))).first() is not None:
            return True
    return False


def undo(session: Session, action_id: int, done: Action, what: str) -> None:
    """Take back the action: what it said is withdrawn by the undo, what it withdrew stands again.

    Raises `CannotUndoError` where that was withdrawn since, or another rule took its place.
    """
    said: list[ShopFluidRule | ShopFluidClass] = [
        *session.exec(select(ShopFluidRule).where(ShopFluidRule.action_id == done.id)).all(),
        *session.exec(select(ShopFluidClass).where(ShopFluidClass.action_id == done.id)).all(),
    ]
    if any(row.withdrawn_by_id is not None for row in said):
        raise CannotUndoError(f"Undoing {what}: it was withdrawn since.", "List the rules again.")
    for row in said:
        row.withdrawn_by_id = action_id
    session.flush()
    _stand_again(session, done, what)


def _stand_again(session: Session, done: Action, what: str) -> None:
    rules_back = session.exec(select(ShopFluidRule).where(ShopFluidRule.withdrawn_by_id == done.id)).all()
    classes_back = session.exec(select(ShopFluidClass).where(ShopFluidClass.withdrawn_by_id == done.id)).all()
    pairs, codes = _pairs_of(session), {key(one.said.code) for one in classes(session)}
    try:
        for rule in rules_back:
            _refuse_twice(_said(rule), pairs)
            rule.withdrawn_by_id = None
        for own in classes_back:
            _refuse_known(ShopClass(own.code, own.description), codes)
            own.withdrawn_by_id = None
    except AlreadyThereError as problem:
        raise CannotUndoError(f"Undoing {what}: {problem.happened}", problem.to_do) from problem
    session.flush()


def _said(row: ShopFluidRule) -> ShopRule:
    return ShopRule(row.required, row.offered, row.kind, row.condition, row.source)


def _spelt(rule_id: int, said: ShopRule) -> tuple[Rule, ...]:
    """The rule pair by pair. A group that a later catalog has no more is said, never passed over in silence."""
    try:
        return spelled_out(said)
    except ValueError as problem:
        raise InvalidInputError(
            f"Rule {rule_id} of the shop's own: {problem}", "Withdraw it and add it again."
        ) from problem


def _row(action_id: int, said: ShopRule) -> ShopFluidRule:
    return ShopFluidRule(action_id=action_id, **said._asdict())


def _class_row(action_id: int, own: ShopClass) -> ShopFluidClass:
    return ShopFluidClass(action_id=action_id, code=own.code, code_folded=key(own.code), description=own.description)


def _checked(required: str, offered: str, kind: str, condition: str, source: str) -> ShopRule:
    words = [
        clean(text, name, limit=_LONGEST_CELL, empty=True) for name, text in (("class", required), ("class", offered))
    ]
    try:
        said = shop_rule(
            words[0], words[1], kind,
            clean(condition, "condition", limit=NOTE_LENGTH, empty=True), clean(source, "source", empty=True),
        )  # fmt: skip
    except ValueError as problem:
        raise InvalidInputError(_sentence(str(problem))) from problem
    _lengths(said)
    return said


def _lengths(said: ShopRule) -> None:
    """Refuse what the columns can't hold, or what can't be shown."""
    for name, text, most in (
        ("list of classes", said.required, _LONGEST_CELL), ("list of classes", said.offered, _LONGEST_CELL),
        ("condition", said.condition, NOTE_LENGTH), ("source", said.source, 200),
    ):  # fmt: skip
        clean(text, name, limit=most, empty=True)


def _sentence(text: str) -> str:
    return re.sub("; (.)", lambda found: f". {found[1].upper()}", f"{text[:1].upper()}{text[1:]}", count=1)


def _pairs_of(session: Session) -> dict[tuple[str, str], str]:
    """Every pair the shop's rules speak of, however it is spelt, and how the rule is written."""
    return {
        (key(rule.required), key(rule.offered)): f"{one.said.offered} for {one.said.required}"
        for one in listed(session)
        for rule in _spelt(one.rule_id, one.said)
    }


def _refuse_twice(said: ShopRule, pairs: Mapping[tuple[str, str], str]) -> None:
    for rule in spelled_out(said):
        written = pairs.get((key(rule.required), key(rule.offered)))
        if written is not None:
            raise AlreadyThereError(
                f"The shop has a rule on {rule.offered} where {rule.required} is asked: “{written}”.",
                "Withdraw that one first.",
            )


def _refuse_known(own: ShopClass, codes: Iterable[str]) -> None:
    if key(own.code) in codes:
        raise AlreadyThereError(f"The shop has a class {own.code} already.", "Withdraw that one first.")


def _plain(text: str) -> str:
    """The same CSV, its cells without what keeps a spreadsheet from running them."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = ";" if ";" in first and "," not in first else ","
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
    except csv.Error:
        return text
    if not any(cell.startswith("'") for row in rows for cell in row):
        # Untouched, so that a problem is told with the line it stands on.
        return text
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, lineterminator="\n").writerows([[plain(cell) for cell in row] for row in rows])
    return out.getvalue()
