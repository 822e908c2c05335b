"""Bins: the places things lie in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.alike import tell
from models.errors import AlreadyThereError
from models.inventory.made_with import made_with
from models.rows import find, in_use
from models.tables import Bin
from models.text import NOTE_LENGTH, clean, fold, search_words


class BinRow(NamedTuple):
    """One bin by its code, as written on it."""

    bin_id: int
    code: str
    note: str


def add(session: Session, act: Act, *, code: str, note: str = "") -> BinRow:
    """Add a bin. Raises `InvalidInputError` or `AlreadyThereError`."""
    label = clean(code, "bin code")
    made = claim(session, act, "bins.add", label)
    if made.first:
        refuse_taken(session, label)
        tell(label, session.exec(select(Bin.code).where(in_use(Bin))), "bin")
        words = clean(note, "note", limit=NOTE_LENGTH, empty=True)
        row = Bin(action_id=made.action_id, code=label, note=words, folded=fold(label, words))
        session.add(row)
        session.flush()
    else:
        row = session.exec(select(Bin).where(Bin.action_id == made.action_id)).one()
    return _row(row)


def refuse_taken(session: Session, code: str) -> None:
    """Raise `AlreadyThereError` where a bin has this code."""
    there = select(Bin.retired_at).where(Bin.code == code, col(Bin.withdrawn_at).is_(None))
    found = session.exec(there).all()
    if found and found[0] is not None:
        raise AlreadyThereError(
            f"There was a bin “{code}”, which is retired.",
            "Choose another code, or bring it back with: kitwright bin retire CODE --back",
        )
    if found:
        raise AlreadyThereError(f"There is already a bin “{code}”.", "Use it, or choose another code.")


def get(session: Session, bin_id: int) -> BinRow:
    """One bin. Raises `NotFoundError`."""
    return _row(find(session, Bin, bin_id, "bin"))


def named(session: Session, code: str) -> BinRow | None:
    """The bin with this code, whatever its case, as a scanner with caps lock sends it; None where there is none."""
    label = code.strip()
    rows = session.exec(select(Bin).where(in_use(Bin), col(Bin.folded).contains(fold(label), autoescape=True))).all()
    exact = [row for row in rows if row.code == label] or [row for row in rows if fold(row.code) == fold(label)]
    return _row(exact[0]) if exact else None


def named_or_new(session: Session, act: Act, code: str) -> int:
    """The number of the bin with this code, whatever its case; added where there is none, by an action of its own."""
    label = clean(code, "bin code")
    known = named(session, label)
    # Under a key that follows from this one's: a second try finds it.
    own = Act(act.who, made_with(act.key, "bin", label), act.at)
    return known.bin_id if known is not None else add(session, own, code=label).bin_id


def all_named_or_new(session: Session, act: Act, codes: Iterable[str]) -> dict[str, int]:
    """The numbers of the bins with these codes, as `named_or_new` finds each; a few statements where all are there."""
    wanted = dict.fromkeys(codes)
    known = session.exec(select(Bin.code, Bin.id).where(in_use(Bin), col(Bin.code).in_(list(wanted)))).all()
    there = {code: bin_id for code, bin_id in known if bin_id is not None}
    return {code: there[code] if code in there else named_or_new(session, act, code) for code in wanted}


def page(session: Session, text: str = "", *, limit: int = 200, offset: int = 0) -> tuple[BinRow, ...]:
    """Bins whose code or note holds every word of `text`, in walking order: by code."""
    conditions = [in_use(Bin), *(col(Bin.folded).contains(word, autoescape=True) for word in search_words(text))]
    rows = session.exec(
        select(Bin).where(*conditions).order_by(col(Bin.folded), col(Bin.id)).limit(limit).offset(offset)
    ).all()
    return tuple(_row(row) for row in rows)


def _row(row: Bin) -> BinRow:
    assert row.id is not None
    return BinRow(row.id, row.code, row.note)
