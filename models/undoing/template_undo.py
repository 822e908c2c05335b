"""Taking back what was done to a job template: a new one goes off the list, after an edit the last version repeats."""

from __future__ import annotations

from sqlmodel import Session, col, select

from models import templates
from models.acts import Act
from models.errors import CannotUndoError
from models.rows import hold
from models.tables import Action, JobTemplate, TemplateVersion

ADDING = ("templates.add", "templates.copy")


def stands(session: Session, done: Action) -> bool:
    """Whether the template is as the action left it."""
    if done.what == "templates.retire":
        template = session.get_one(JobTemplate, done.subject_id)
        return _latest_turn(session, done) == done.id and (template.retired_at is None) == (done.about != "")
    version = _made(session, done)
    template = session.get_one(JobTemplate, version.template_id)
    holds = _holding(session, version.template_id).action_id == done.id
    return holds and (template.retired_at is None or done.what not in ADDING)


def undo(session: Session, act: Act, action_id: int, done: Action, what: str) -> None:
    """Take it back. Raises `CannotUndoError` where the template was changed since."""
    turned = done.what == "templates.retire"
    template_id = (done.subject_id or 0) if turned else _made(session, done).template_id
    template = hold(session, JobTemplate, template_id, "job template")
    if not stands(session, done):
        raise CannotUndoError(f"“{template.name}” has changed since {what}.", "Look at its versions; edit it by hand.")
    if done.what == "templates.edit":
        number = _made(session, done).number
        before = templates.get(session, template_id, _holding(session, template_id, number - 1).number)
        templates.write_version(session, action_id, template, before.needs, f"version {before.number} again")
        return
    template.retired_at = act.at if not turned or done.about else None
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


def _latest_turn(session: Session, done: Action) -> int | None:
    """The latest action that took the template off the list or put it back, and that another undo did not take back."""
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None), Action.undoes_id != done.id)
    turns = select(Action.id).where(
        Action.what == done.what, Action.subject_id == done.subject_id, col(Action.id).not_in(undone)
    )
    return session.exec(turns.order_by(col(Action.id).desc())).first()
