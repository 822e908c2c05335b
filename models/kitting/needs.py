"""Needs: what a job takes, at spec level. Written by `models.kits`."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlmodel import Session

from catalog.filters.housing import Housing
from catalog.orings.evidence import Evidence
from catalog.orings.groove import Groove
from catalog.orings.would_do import WouldDo
from models.errors import InvalidInputError
from models.fits.readings import to_store
from models.inventory.items import check_hardness, clean_size_key
from models.qualify.wanted import AS_FITTED, MILLION
from models.rows import hold, live_row
from models.stored_text import to_text
from models.tables import Job, Need, NeedAsk, NeedReading, NeedRubber, NeedSize, Position
from models.text import NOTE_LENGTH, clean
from models.words import Kind, Others

MOST_PIECES = 1_000_000
MOST_MICROLITRES = 10**12


class NeedSpec(NamedTuple):
    """What a job takes, by specification.

    A ring: `size_key`, the `rubbers` allowed (best first; none means any), `equivalents` (other standards' names of the
    same ring), `hardness_shore_a`, and the `groove` where it was measured. The size `fit:record` asks for whatever the
    fit record at the position says when the shelf is looked at. A fluid: class, grade, volume from the low to the full
    mark in microlitres, no pieces; `asks` are further classes it must meet. A sealant: class, the longest cure, and in
    `asks` what it must resist. A filter: class, and the `housing` where no position holds one. The rest: class and
    grade. `probability` (0 to 1) and `evidence` say how the size was found; `why` says it in words. `seals` (0 to 1):
    the chance that the ring seals, and `would_do`: the other rings that would do, as they were judged when it was
    accepted; `others` `NEVER`: no other ring may go in, whatever would do (a critical place).
    """

    kind: Kind
    pieces: int = 1
    spares: int = 0
    title: str = ""
    size_key: str | None = None
    equivalents: Sequence[str] = ()
    rubbers: Sequence[str] = ()
    hardness_shore_a: int | None = None
    spec_class: str = ""
    spec_grade: str = ""
    low_ul: int | None = None
    full_ul: int | None = None
    cure_minutes_at_most: int | None = None
    position_id: int | None = None
    probability: float | None = None
    why: str = ""
    evidence: Evidence | None = None
    asks: Sequence[str] = ()
    groove: Groove | None = None
    housing: Housing | None = None
    seals: float | None = None
    would_do: Sequence[WouldDo] = ()
    others: Others = Others.WOULD_DO


def insert_need(session: Session, action_id: int, job_id: int, spec: NeedSpec) -> Need:
    """Write a need with its rubbers, further sizes and readings. Raises `InvalidInputError`, `NotFoundError`."""
    refuse(spec)
    # Held, so that nobody closes it meanwhile.
    job = hold(session, Job, job_id, "job")
    if job.closed_at is not None:
        raise InvalidInputError(f"The job “{job.title}” is closed.", "Open a new job.")
    place = None if spec.position_id is None else live_row(session, Position, spec.position_id, "position")
    if place is not None and place.takes is not spec.kind:
        raise InvalidInputError(f"That position does not take a {spec.kind}.", "Choose another position.")
    if spec.size_key == AS_FITTED and spec.position_id is None:
        raise InvalidInputError("A ring as it was fitted needs the position it was fitted at.", "Choose a position.")
    fluid = spec.kind is Kind.FLUID
    size_key = clean_size_key(spec.size_key) if spec.kind is Kind.RING else None
    said_class = clean(spec.spec_class, "class", empty=spec.kind is Kind.RING)
    grade = clean(spec.spec_grade, "grade", empty=True)
    need = Need(
        action_id=action_id,
        job_id=job_id,
        position_id=spec.position_id,
        kind=spec.kind,
        title=clean(spec.title or size_key or f"{said_class} {grade}", "title"),
        pieces=0 if fluid else spec.pieces,
        spares=0 if fluid else spec.spares,
        low_ul=spec.low_ul if fluid else None,
        full_ul=spec.full_ul if fluid else None,
        size_key=size_key,
        hardness_shore_a=spec.hardness_shore_a,
        spec_class=said_class,
        spec_grade=grade,
        cure_minutes_at_most=spec.cure_minutes_at_most,
        match_ppm=ppm(spec.probability),
        seals_ppm=ppm(spec.seals),
        others=spec.others,
        groove=None if spec.groove is None else to_text(spec.groove),
        housing=None if spec.housing is None else to_text(spec.housing),
        why=clean(spec.why, "reason", limit=NOTE_LENGTH, empty=True),
    )
    session.add(need)
    session.flush()
    assert need.id is not None
    families = dict.fromkeys(clean(one, "rubber", limit=20).upper() for one in spec.rubbers)
    equivalents = dict.fromkeys(clean_size_key(one) for one in spec.equivalents if one != size_key)
    would_do = {clean_size_key(one.size_key): one for one in reversed(spec.would_do)}
    asks = dict.fromkeys(clean(one, "class or resistance") for one in spec.asks)
    session.add_all(
        [
            *(NeedRubber(need_id=need.id, position=at, rubber=family) for at, family in enumerate(families)),
            *(NeedSize(need_id=need.id, size_key=equivalent) for equivalent in equivalents),
            *(
                NeedSize(
                    need_id=need.id,
                    size_key=key,
                    seals_ppm=ppm(one.seals),
                    why=clean(one.why, "reason", limit=NOTE_LENGTH, empty=True),
                )
                for key, one in would_do.items()
                if key != size_key and key not in equivalents
            ),
            *(NeedReading(need_id=need.id, **reading._asdict()) for reading in to_store(spec.evidence)),
            *(NeedAsk(need_id=need.id, position=at, ask=ask) for at, ask in enumerate(asks)),
        ]
    )
    session.flush()
    return need


def ppm(share: float | None) -> int | None:
    """A share from 0 to 1 in millionths, as it is kept."""
    return None if share is None else round(share * MILLION)


def withdraw(session: Session, need: Need, at: datetime) -> None:
    """Strike a need; it stays on record."""
    need.withdrawn_at = at
    session.add(need)
    session.flush()


def refuse(spec: NeedSpec) -> None:
    """Raise `InvalidInputError` for a need that says too little, too much or what can't be; places apart."""
    if spec.kind is Kind.FLUID:
        low, full = spec.low_ul, spec.full_ul
        if low is None or full is None or not 0 < low <= full <= MOST_MICROLITRES:
            raise InvalidInputError(
                "A fluid needs the volume at its low and at its full mark.", "Type both, the low mark's first."
            )
    elif not (1 <= spec.pieces <= MOST_PIECES and 0 <= spec.spares <= MOST_PIECES):
        raise InvalidInputError(
            f"{spec.pieces} pieces and {spec.spares} spares can't be asked for.",
            "Type at least 1 piece and no fewer than 0 spares.",
        )
    for share in (spec.probability, spec.seals, *(one.seals for one in spec.would_do)):
        if share is not None and not 0 <= share <= 1:
            raise InvalidInputError(f"A probability of {share} is none.", "Give a number from 0 to 1.")
    if spec.would_do and spec.seals is None:
        raise InvalidInputError(
            "Other rings that would do come with the chance of the ring itself.", "Give its chance to seal too."
        )
    check_hardness(spec.hardness_shore_a)
    if spec.cure_minutes_at_most is not None and spec.cure_minutes_at_most < 0:
        raise InvalidInputError("A cure time can't be negative.", "Type hours from 0 up.")
    judged = spec.seals is not None or spec.would_do or spec.others is not Others.WOULD_DO
    if spec.kind is not Kind.RING and (spec.size_key or spec.rubbers or spec.equivalents or judged):
        raise InvalidInputError(f"A {spec.kind} has no ring size or rubber.", "Leave them out.")
    if (spec.groove is not None and spec.kind is not Kind.RING) or (
        spec.housing is not None and spec.kind is not Kind.FILTER
    ):
        raise InvalidInputError(f"A {spec.kind} goes into no groove or housing like that.", "Leave it out.")
    if spec.asks and spec.kind not in {Kind.FLUID, Kind.SEALANT}:
        raise InvalidInputError(f"Further classes are asked of fluids and sealants, not of a {spec.kind}.")
