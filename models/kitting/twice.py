"""The same ring put on a kit again: more of one need where all that was said of it is the same, else a need apart."""

from __future__ import annotations

from sqlmodel import Session, col, select

from models.inventory.items import clean_size_key
from models.kitting.needs import NeedSpec, ppm
from models.stored_text import to_text
from models.tables import Need, NeedRubber, NeedSize
from models.words import Kind


def same_need(session: Session, job_id: int, spec: NeedSpec) -> Need | None:
    """The job's need for this very ring: size, place, rubbers, hardness, groove and what would do instead are the same.

    A ring that was judged otherwise is never added to it: what may go in for the one need not suit the other.
    """
    if spec.kind is not Kind.RING or not spec.size_key:
        return None
    return next((one for one in _of_size(session, job_id, spec.size_key) if _is_same(session, one, spec)), None)


def apart(session: Session, need: Need) -> str:
    """In what a need differs from another of the same size on its kit, in words; "" where there is none."""
    if need.kind is not Kind.RING or not need.size_key:
        return ""
    others = [one for one in _of_size(session, need.job_id, need.size_key) if one.id != need.id]
    if not others:
        return ""
    ways = (
        ("place", any(one.position_id != need.position_id for one in others)),
        ("rubber", any(_rubbers(session, one) != _rubbers(session, need) for one in others)),
        ("hardness", any(one.hardness_shore_a != need.hardness_shore_a for one in others)),
    )
    differs = " and ".join(word for word, so in ways if so) or "measured or judged otherwise"
    how = differs if differs.startswith("measured") else f"another {differs}"
    return f"{len(others) + 1} needs on this kit are for {need.title}, kept apart: {how}"


def _of_size(session: Session, job_id: int, size_key: str) -> list[Need]:
    mine = (Need.job_id == job_id, Need.kind == Kind.RING, col(Need.withdrawn_at).is_(None))
    key = clean_size_key(size_key)
    return list(session.exec(select(Need).where(*mine, Need.size_key == key).order_by(col(Need.id))).all())


def _is_same(session: Session, need: Need, spec: NeedSpec) -> bool:
    key = clean_size_key(spec.size_key)
    said = (
        spec.position_id,
        spec.hardness_shore_a,
        None if spec.groove is None else to_text(spec.groove),
        ppm(spec.seals),
        spec.others,
    )
    if (need.position_id, need.hardness_shore_a, need.groove, need.seals_ppm, need.others) != said:
        return False
    # Another name of the ring itself has no chance of its own, and goes before what would only do.
    sizes = {clean_size_key(one.size_key): ppm(one.seals) for one in reversed(spec.would_do)}
    sizes |= dict.fromkeys(map(clean_size_key, spec.equivalents))
    sizes.pop(key, None)
    mine = select(NeedSize.size_key, NeedSize.seals_ppm).where(NeedSize.need_id == need.id)
    kept = dict(session.exec(mine).all())
    rubbers = list(dict.fromkeys(one.strip().upper() for one in spec.rubbers))
    return sizes == kept and rubbers == _rubbers(session, need)


def _rubbers(session: Session, need: Need) -> list[str]:
    mine = select(NeedRubber.rubber).where(NeedRubber.need_id == need.id).order_by(col(NeedRubber.position))
    return list(session.exec(mine).all())
