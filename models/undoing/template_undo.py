"""Taking back what was done to a job template: a new one goes off the list, after an edit the last version repeats."""

from __future__ import annotations

from collections.abc import Collection

from sqlmodel import Session, col, select

from models import templates
from models.errors import CannotUndoError
from models.rows import hold
from models.tables import Action, JobTemplate, RowSnapshot, TemplateVersion
from models.undoing import snapshot
from models.undoing.declaring import Reversal


def is_on_list(session: Session, done: Action) -> bool:
    """Whether the template that the action added is on the list, with the version it added."""
    version = _made(session, done)
    return session.get_one(JobTemplate, version.template_id).retired_at is None and holds(session, done)


def holds(session: Session, done: Action) -> bool:
    """Whether the version that the action made is the one that holds."""
    return _holding(session, _made(session, done).template_id).action_id == done.id


def is_turned(session: Session, done: Action, names: Collection[str]) -> bool:
    """Whether the action, one of those names, was the last that took its template off the list or put it on again.

    Only since the template was added, or since its adding was taken back: what was done before that is over.
    """
    template = session.get_one(JobTemplate, done.subject_id)
    since = max(template.action_id, templates.undone_by(session, template))
    return snapshot.is_last(session, done, names, since)


def take_off(session: Session, reversal: Reversal) -> None:
    """Take the template that the action added off the list. Raises `CannotUndoError` where it was changed since."""
    template = _held(session, _made(session, reversal.done).template_id)
    if not is_on_list(session, reversal.done):
        raise _changed(template, reversal)
    _turn(session, reversal, template, on=False)


def repeat(session: Session, reversal: Reversal) -> None:
    """Write the version before the action's once more. Raises `CannotUndoError` where it was changed since."""
    version = _made(session, reversal.done)
    template = _held(session, version.template_id)
    if not holds(session, reversal.done):
        raise _changed(template, reversal)
    before = templates.get(
        session, version.template_id, _holding(session, version.template_id, version.number - 1).number
    )
    templates.write_version(session, reversal.action_id, template, before.needs, f"version {before.number} again")


def turn_back(session: Session, reversal: Reversal, names: Collection[str]) -> None:
    """Put the template on the list or off it, as it was. Raises `CannotUndoError` where it was changed since."""
    template = _held(session, reversal.done.subject_id or 0)
    if not is_turned(session, reversal.done, names):
        raise _changed(template, reversal)
    _turn(session, reversal, template, on=session.get_one(RowSnapshot, reversal.done.id).said == templates.ON)


def _held(session: Session, template_id: int) -> JobTemplate:
    return hold(session, JobTemplate, template_id, "job template")


def _changed(template: JobTemplate, reversal: Reversal) -> CannotUndoError:
    return CannotUndoError(
        f"“{template.name}” has changed since {reversal.called}.", "Look at its versions; edit it by hand."
    )


def _turn(session: Session, reversal: Reversal, template: JobTemplate, *, on: bool) -> None:
    template.retired_at = None if on else reversal.act.at
    session.add(template)
    session.flush()


def _made(session: Session, done: Action) -> TemplateVersion:
    return session.exec(select(TemplateVersion).where(TemplateVersion.action_id == done.id)).one()


def _holding(session: Session, template_id: int, number: int | None = None) -> TemplateVersion:
    """The version whose needs hold at that number (default: the newest). One that undo wrote repeats an earlier one."""
    versions = select(TemplateVersion).where(TemplateVersion.template_id == template_id)
    if number is None:
        version = session.exec(versions.order_by(col(TemplateVersion.number).desc())).first()
    else:
        version = session.exec(versions.where(TemplateVersion.number == number)).one()
    assert version is not None
    undoes = session.get_one(Action, version.action_id).undoes_id
    if undoes is None:
        return version
    undone = session.exec(versions.where(TemplateVersion.action_id == undoes)).one()
    return _holding(session, template_id, undone.number - 1)
