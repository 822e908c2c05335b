"""Taking back what was done to a job template: a new one goes off the list, after an edit the last version repeats."""

from __future__ import annotations

from sqlmodel import Session, col, select

from models import templates
from models.acts import Act
from models.errors import CannotUndoError
from models.rows import hold
from models.tables import Action, FormerRow, JobTemplate, TemplateVersion

ADDING = ("templates.add", "templates.copy")
TURNS = {"templates.retire": "on", "templates.put_back": "off"}
"""What takes a template off the list or puts it on it again, and where it was before."""
CHANGES = (*ADDING, "templates.edit", *TURNS)


def stands(session: Session, done: Action) -> bool:
    """Whether the template is as the action left it."""
    if done.what in TURNS:
        return _latest_turn(session, done) == done.id
    version = _made(session, done)
    template = session.get_one(JobTemplate, version.template_id)
    holds = _holding(session, version.template_id).action_id == done.id
    return holds and (template.retired_at is None or done.what not in ADDING)


def undo(session: Session, act: Act, action_id: int, done: Action, what: str) -> None:
    """Take it back. Raises `CannotUndoError` where the template was changed since."""
    template_id = (done.subject_id or 0) if done.what in TURNS else _made(session, done).template_id
    template = hold(session, JobTemplate, template_id, "job template")
    if not stands(session, done):
        raise CannotUndoError(f"“{template.name}” has changed since {what}.", "Look at its versions; edit it by hand.")
    if done.what == "templates.edit":
        number = _made(session, done).number
        before = templates.get(session, template_id, _holding(session, template_id, number - 1).number)
        templates.write_version(session, action_id, template, before.needs, f"version {before.number} again")
        return
    template.retired_at = None if TURNS.get(done.what) == "on" else act.at
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
    """The latest action that turned the template on or off, had an effect, and that no other undo took back.

    Only since the template was added, or since its adding was taken back: what was done before that is over.
    """
    template = session.get_one(JobTemplate, done.subject_id)
    since = max(template.action_id, templates.undone_by(session, template))
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None), Action.undoes_id != done.id)
    turns = session.exec(
        select(Action.id, Action.what, FormerRow.said)
        .join(FormerRow, col(FormerRow.action_id) == col(Action.id))
        .where(
            col(Action.what).in_(TURNS),
            Action.subject_id == done.subject_id,
            col(Action.id).not_in(undone),
            col(Action.id) > since,
        )
        .order_by(col(Action.id).desc())
    )
    return next((action_id for action_id, what, before in turns if before == TURNS[what]), None)
