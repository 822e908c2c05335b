"""Job templates: what a job takes that comes again. Each edit is a version; a job keeps the one it was made from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from sqlmodel import Session, col, select

from models import jobs, row_snapshots
from models.actions import claim
from models.acts import Act
from models.alike import tell
from models.errors import AlreadyThereError, InvalidInputError, NotFoundError
from models.jobs import JobRow
from models.kits import view
from models.kitting.job_opening import needs_key
from models.kitting.needs import NeedSpec, insert_need, refuse
from models.qualify.wanted import AS_FITTED
from models.rows import find, hold
from models.stored_text import from_text, to_text
from models.tables import Action, Job, JobTemplate, Machine, Position, TemplateNeed, TemplateVersion
from models.text import NOTE_LENGTH, clean
from models.words import Kind

MOST_NEEDS = 200
ON, OFF = "on", "off"
"""Whether a template was on the list before it was taken off it or put on it again."""


class TemplateNeedRow(NamedTuple):
    """One need of a template at spec level; `place` is the position's name on whichever machine the job is for."""

    spec: NeedSpec
    place: str = ""


class TemplateRow(NamedTuple):
    """One version of a template with its needs; the newest of its template unless an older one was asked for."""

    template_id: int
    version_id: int
    name: str
    number: int
    note: str
    retired: bool
    needs: tuple[TemplateNeedRow, ...]


def as_fitted(place: str, *, pieces: int = 1, spares: int = 0, rubbers: Sequence[str] = ()) -> TemplateNeedRow:
    """A ring need that asks for whatever the fit record at that position says when the shelf is looked at."""
    spec = NeedSpec(Kind.RING, pieces, spares, f"{place}, as fitted"[:200], AS_FITTED, rubbers=rubbers)
    return TemplateNeedRow(spec, place)


def add(session: Session, act: Act, name: str, needs: Sequence[TemplateNeedRow], note: str = "") -> TemplateRow:
    """Add a template, version 1. Raises `InvalidInputError` or `AlreadyThereError`."""
    label = clean(name, "name")
    made = claim(session, act, "templates.add", label)
    if made.first:
        template = _new(session, made.action_id, label)
        write_version(session, made.action_id, template, needs, note)
    return _made(session, made.action_id)


def edit(session: Session, act: Act, template_id: int, needs: Sequence[TemplateNeedRow], note: str = "") -> TemplateRow:
    """Write the template's next version; jobs made from earlier ones are not touched.

    Raises `NotFoundError`, `InvalidInputError`.
    """
    label = find(session, JobTemplate, template_id, "job template").name
    made = claim(session, act, "templates.edit", label, subject_id=template_id)
    if made.first:
        template = hold(session, JobTemplate, template_id, "job template")
        write_version(session, made.action_id, template, needs, note)
    return _made(session, made.action_id)


def copy(session: Session, act: Act, template_id: int, name: str) -> TemplateRow:
    """A template of its own with another's newest needs. Raises `NotFoundError`, `AlreadyThereError`."""
    label = clean(name, "name")
    made = claim(session, act, "templates.copy", label, subject_id=template_id)
    if made.first:
        source = get(session, template_id)
        template = _new(session, made.action_id, label)
        note = f"copied from {source.name}, version {source.number}"
        write_version(session, made.action_id, template, source.needs, note)
    return _made(session, made.action_id)


def retire(session: Session, act: Act, template_id: int, *, back: bool = False) -> TemplateRow:
    """Take a template off the list, or with `back` put it on again. Nothing is removed. Raises `NotFoundError`."""
    label = find(session, JobTemplate, template_id, "job template").name
    made = claim(session, act, "templates.put_back" if back else "templates.retire", label, subject_id=template_id)
    if made.first:
        template = hold(session, JobTemplate, template_id, "job template")
        if (template.retired_at is not None) == back:
            row_snapshots.keep_word(session, made.action_id, OFF if back else ON)
            template.retired_at = None if back else act.at
            session.add(template)
            session.flush()
    return get(session, template_id)


def get(session: Session, template_id: int, number: int | None = None) -> TemplateRow:
    """A template's newest version, or the one of that number. Raises `NotFoundError`."""
    template = find(session, JobTemplate, template_id, "job template")
    query = select(TemplateVersion).where(TemplateVersion.template_id == template_id)
    if number is not None:
        query = query.where(TemplateVersion.number == number)
    version = session.exec(query.order_by(col(TemplateVersion.number).desc())).first()
    if version is None:
        raise NotFoundError(f"“{template.name}” has no version {number}.", "Ask for one of its versions.")
    return _row(session, template, version)


def listed(session: Session, *, retired: bool = False) -> tuple[TemplateRow, ...]:
    """The newest version of each template by name; with `retired`, those off the list instead."""
    gone = col(JobTemplate.retired_at).is_not(None) if retired else col(JobTemplate.retired_at).is_(None)
    rows = session.exec(select(JobTemplate).where(gone).order_by(col(JobTemplate.name))).all()
    return tuple(get(session, row.id or 0) for row in rows)


def versions(session: Session, template_id: int) -> tuple[TemplateRow, ...]:
    """Every version, the newest first. Raises `NotFoundError`."""
    template = find(session, JobTemplate, template_id, "job template")
    rows = session.exec(
        select(TemplateVersion)
        .where(TemplateVersion.template_id == template_id)
        .order_by(col(TemplateVersion.number).desc())
    ).all()
    return tuple(_row(session, template, row) for row in rows)


def made_from(session: Session, job_id: int) -> TemplateRow | None:
    """The version a job was made from; None for a job made by hand."""
    job = session.get(Job, job_id)
    if job is None or job.template_version_id is None:
        return None
    version = find(session, TemplateVersion, job.template_version_id, "template version")
    return _row(session, find(session, JobTemplate, version.template_id, "job template"), version)


def open_job(
    session: Session,
    act: Act,
    template_id: int,
    *,
    machine_id: int | None = None,
    title: str = "",
    due_on: date | None = None,
    meter_hundredths_h: int | None = None,
    meter_changed: bool = False,
) -> JobRow:
    """Open a job with the needs of the template's newest version, each at its machine's position of that name.

    A need whose position the machine lacks comes without one; a ring as it was fitted can't, so it is refused.
    Raises `NotFoundError`, `InvalidInputError`.
    """
    template = find(session, JobTemplate, template_id, "job template")
    if template.retired_at is not None:
        raise InvalidInputError(f"“{template.name}” is off the list.", "Put it back first, or choose another.")
    source = get(session, template_id)
    job = jobs.open_job(
        session, act, title=title or source.name, machine_id=machine_id, due_on=due_on,
        meter_hundredths_h=meter_hundredths_h, meter_changed=meter_changed,
    )  # fmt: skip
    row = find(session, Job, job.job_id, "job")
    if row.template_version_id is None:
        made = claim(session, act._replace(key=needs_key(act.key)), "templates.open_job", source.name)
        places = _places(session, machine_id)
        for need in source.needs:
            insert_need(session, made.action_id, job.job_id, _at(need, places, machine_id, session))
        row.template_version_id = source.version_id
        session.add(row)
        session.flush()
    return jobs.get(session, job.job_id)


def from_job(session: Session, job_id: int) -> tuple[TemplateNeedRow, ...]:
    """What a job takes, as needs for a template.

    Readings and probabilities belong to the job and are left out, and so are the other rings that would do: they were
    judged by the readings of one old ring. That no other may go in belongs to the place and stays.
    """
    return tuple(
        TemplateNeedRow(
            NeedSpec(
                need.kind,
                max(1, need.pieces),
                need.spares,
                need.title,
                AS_FITTED if need.as_fitted else need.size_key,
                () if need.as_fitted else need.equivalents,
                need.rubbers,
                need.hardness_shore_a,
                need.spec_class,
                need.spec_grade,
                need.low_ul,
                need.full_ul,
                need.cure_minutes_at_most,
                asks=need.asks,
                groove=need.groove,
                others=need.others,
            ),
            need.position_name,
        )
        for need in view(session, job_id).needs
    )


def write_version(
    session: Session, action_id: int, template: JobTemplate, needs: Sequence[TemplateNeedRow], note: str
) -> None:
    """Write the template's next version; the template is held. Raises `InvalidInputError`."""
    assert template.id is not None
    if not 1 <= len(needs) <= MOST_NEEDS:
        raise InvalidInputError(f"A template of {len(needs)} needs.", f"Give it 1 to {MOST_NEEDS}.")
    last = session.exec(
        select(TemplateVersion.number)
        .where(TemplateVersion.template_id == template.id)
        .order_by(col(TemplateVersion.number).desc())
    ).first()
    version = TemplateVersion(
        action_id=action_id,
        template_id=template.id,
        number=(last or 0) + 1,
        note=clean(note, "note", limit=NOTE_LENGTH, empty=True),
    )
    session.add(version)
    session.flush()
    assert version.id is not None
    for at, need in enumerate(needs):
        spec = need.spec._replace(evidence=None, probability=None, position_id=None, seals=None, would_do=())
        refuse(spec)
        place = clean(need.place, "position", empty=True)
        if spec.size_key == AS_FITTED and not place:
            raise InvalidInputError("A ring as it was fitted needs its position's name.", "Name the position.")
        session.add(TemplateNeed(version_id=version.id, position=at, place=place, spec=to_text(spec)))
    session.flush()


def _places(session: Session, machine_id: int | None) -> Mapping[tuple[str, Kind], int]:
    if machine_id is None:
        return {}
    stands = (Position.machine_id == machine_id, col(Position.withdrawn_at).is_(None))
    rows = session.exec(select(Position).where(*stands)).all()
    return {(row.name, row.takes): row.id or 0 for row in rows}


def _at(
    need: TemplateNeedRow, places: Mapping[tuple[str, Kind], int], machine_id: int | None, session: Session
) -> NeedSpec:
    position_id = places.get((need.place, need.spec.kind)) if need.place else None
    if position_id is None and need.spec.size_key == AS_FITTED:
        machine = session.get(Machine, machine_id) if machine_id is not None else None
        raise InvalidInputError(
            f"{machine.name if machine else 'A bench job'} has no ring position “{need.place}”.",
            "Add the position to the machine, or choose another machine.",
        )
    return need.spec._replace(position_id=position_id)


def _new(session: Session, action_id: int, label: str) -> JobTemplate:
    """A template of that name, held; one whose adding was taken back is taken up again."""
    known = session.exec(select(JobTemplate).where(JobTemplate.name == label).with_for_update()).first()
    standing = select(JobTemplate.name).where(col(JobTemplate.retired_at).is_(None))
    tell(label, session.exec(standing), "job template")
    if known is None:
        template = JobTemplate(action_id=action_id, name=label)
    elif known.retired_at is None:
        raise AlreadyThereError(f"There is already a job template “{label}”.", "Edit it, or choose another name.")
    elif not (taken_back := undone_by(session, known)) or _put_back_since(session, known, taken_back):
        raise AlreadyThereError(
            f"There is already a job template “{label}”, off the list.",
            "Choose another name, or put it back with: kitwright job template retire --back",
        )
    else:
        template = known
        template.action_id, template.retired_at = action_id, None
    session.add(template)
    session.flush()
    return template


def undone_by(session: Session, template: JobTemplate) -> int:
    """The action that took adding the template back; 0 where none did."""
    return session.exec(select(Action.id).where(Action.undoes_id == template.action_id)).first() or 0


def _put_back_since(session: Session, template: JobTemplate, action_id: int) -> bool:
    back = select(Action.id).where(Action.what == "templates.put_back", Action.subject_id == template.id)
    return session.exec(back.where(col(Action.id) > action_id)).first() is not None


def _made(session: Session, action_id: int) -> TemplateRow:
    version = session.exec(select(TemplateVersion).where(TemplateVersion.action_id == action_id)).one()
    return _row(session, find(session, JobTemplate, version.template_id, "job template"), version)


def _row(session: Session, template: JobTemplate, version: TemplateVersion) -> TemplateRow:
    needs = session.exec(
        select(TemplateNeed).where(TemplateNeed.version_id == version.id).order_by(col(TemplateNeed.position))
    ).all()
    return TemplateRow(
        template.id or 0,
        version.id or 0,
        template.name,
        version.number,
        version.note,
        template.retired_at is not None,
        tuple(TemplateNeedRow(from_text(NeedSpec, need.spec), need.place) for need in needs),
    )
