"""The confirmed fits of the shop, by machine and position or by ring."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from catalog.orings.groove import Groove
from catalog.orings.on_record import RecordedFit
from catalog.orings.ran import Outcome
from models.glance.asking import Look, ask, moment
from models.glance.sizes import book_for, sized
from models.storage.address import Server
from models.stored_text import from_text

_FITS: Final = """
SELECT positions.id, machines.name, positions.name, fit_records.size_key, fit_records.rubber,
       fit_records.hardness_shore_a, actions.at, fit_records.confirmed_at,
       went.outcome, told.at, went.said_at, fit_records.groove
FROM fit_records
JOIN positions ON positions.id = fit_records.position_id
JOIN machines ON machines.id = positions.machine_id
JOIN actions ON actions.id = fit_records.action_id
LEFT JOIN fit_outcomes AS went ON went.id = (
    SELECT max(said.id) FROM fit_outcomes AS said
    WHERE said.fit_record_id = fit_records.id
    AND NOT EXISTS (SELECT 1 FROM actions AS back WHERE back.undoes_id = said.action_id)
)
LEFT JOIN actions AS told ON told.id = went.action_id
WHERE NOT EXISTS (SELECT 1 FROM actions AS undone WHERE undone.undoes_id = fit_records.action_id)
ORDER BY machines.name, positions.name, fit_records.id DESC
"""


def fits_on_record(
    place: Path | Server, *, size_key: str | None = None, machine: str | None = None, position: str | None = None
) -> tuple[RecordedFit, ...] | None:
    """The fits that were confirmed and not taken back, by machine and position, the newest of a position first.

    Only those of a size, of a machine, of a position, where these are given, by their whole names. `holds` is said of
    all the position's records, whichever are asked for. None where a glance can't tell.
    """
    found = ask(place, _fits)
    if found is None:
        return None
    wanted = (("key", size_key), ("machine", machine), ("position", position))
    return tuple(one for one in found if all(said in (None, getattr(one, name)) for name, said in wanted))


def _fits(look: Look) -> tuple[RecordedFit, ...]:
    found: list[RecordedFit] = []
    last: int | None = None
    rows = look(_FITS)
    book = book_for({row[3] for row in rows}, look)
    for position_id, machine, position, key, rubber, hardness, at, confirmed_at, went, told_at, said_at, groove in rows:
        day = moment(at if confirmed_at is None else confirmed_at).date()
        outcome = None if went is None else Outcome(went)
        said = None if went is None else moment(told_at if said_at is None else said_at).date()
        place = (machine, position, *sized(key, book), rubber, hardness, day)
        measured = None if groove is None else _groove(groove)
        found.append(RecordedFit(*place, position_id != last, outcome, said, measured))
        last = position_id
    return tuple(found)


def _groove(text: str) -> Groove:
    """A groove as it is stored. Raises ValueError."""
    try:
        return from_text(Groove, text)
    except (KeyError, TypeError) as problem:
        raise ValueError("no groove") from problem
