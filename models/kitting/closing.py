"""What a job took and what becomes of it as the job is closed: used, back on the shelf, or scrapped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.errors import InvalidInputError
from models.inventory.ledger import Change, Entries, Move
from models.kitting.locks import hold_lines
from models.kitting.lying import unit_of
from models.kitting.progress import progress_of
from models.kitting.promises import given_back
from models.kitting.standing import NeedProgress
from models.tables import Bin, Item, KitLine, Need, Stock
from models.volume import in_words
from models.words import Kind, LineState, Moved, Unit


class Became(NamedTuple):
    """What became of a picked line: so much was used, is back in its bin, was scrapped."""

    used: int
    back: int = 0
    scrapped: int = 0


class Out(NamedTuple):
    """A picked line of which something is out, and what is planned to become of it.

    As planned, a job used the pieces it asked for and its spares go back; of a fluid that was tallied, what was poured
    is used and the rest goes back.
    """

    line_id: int
    need_id: int
    title: str
    kind: Kind
    item_name: str
    bin_code: str
    counted_in: Unit
    out: int
    planned: Became


class Books(NamedTuple):
    """A fluid that was tallied, in µL: its marks less what was still in the sump, what is picked, what was poured.

    `let_out_ul`: what was let out again after pouring, beyond what was still in the sump.
    """

    need_id: int
    title: str
    low_ul: int
    full_ul: int
    picked_ul: int
    poured_ul: int
    let_out_ul: int = 0

    @property
    def over_ul(self) -> int:
        """How far over the full mark the machine stands; a mark is kept in whole microlitres."""
        over = self.poured_ul - self.let_out_ul - self.full_ul
        return over if over > 1 else 0

    @property
    def agree(self) -> bool:
        """Whether all that was picked was poured, and the other way about."""
        return self.picked_ul == self.poured_ul


class Left(NamedTuple):
    """A need of which not all is picked or poured: how much it takes, from its low mark on for a fluid (`least`)."""

    need_id: int
    title: str
    counted_in: Unit
    least: int
    wanted: int
    picked: int
    poured: int


class Closing(NamedTuple):
    """What is asked as a job is closed. `books`: the fluids that were tallied; `left`: what is not done."""

    lines: tuple[Out, ...]
    books: tuple[Books, ...]
    left: tuple[Left, ...] = ()

    @property
    def plain(self) -> bool:
        """Whether everything that is out was used, all the books agree and nothing is left."""
        return (
            all(one.planned.used == one.out for one in self.lines)
            and all(one.agree and not one.over_ul for one in self.books)
            and not self.left
        )


def look(session: Session, job_id: int) -> Closing:
    """What a job took, in the order of its needs, and what is planned to become of it."""
    needs = session.exec(
        select(Need).where(Need.job_id == job_id, col(Need.withdrawn_at).is_(None)).order_by(col(Need.id))
    ).all()
    standing = progress_of(session, needs)
    rows = session.exec(
        select(KitLine, Item, Bin)
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(col(KitLine.need_id).in_([need.id for need in needs]), KitLine.state == LineState.PICKED)
        .order_by(col(KitLine.need_id), col(KitLine.id))
    ).all()
    back = given_back(session, [line.id or 0 for line, *_ in rows]) if rows else {}
    lines: list[Out] = []
    books: list[Books] = []
    for need in needs:
        now = standing[need.id or 0]
        mine = [(line, item, place) for line, item, place in rows if line.need_id == need.id]
        picked = sum(line.quantity - back.get(line.id or 0, 0) for line, *_ in mine)
        tallied = need.kind is Kind.FLUID and (now.poured or now.left_in)
        to_use = (now.poured if tallied else picked) if need.kind is Kind.FLUID else need.pieces
        for line, item, place in mine:
            out = line.quantity - back.get(line.id or 0, 0)
            used = min(out, to_use)
            to_use -= used
            if out:
                lines.append(_out(need, line, item, place, out, used))
        if tallied:
            out = max(0, -now.left_in)
            marks = now.enough - out, now.wanted - out
            books.append(Books(need.id or 0, need.title, *marks, picked, now.poured, out))
    left = [_left(need, standing[need.id or 0]) for need in needs if not standing[need.id or 0].taken]
    return Closing(tuple(lines), tuple(books), tuple(left))


def _left(need: Need, now: NeedProgress) -> Left:
    return Left(need.id or 0, need.title, unit_of(need), now.enough, now.wanted, now.picked, now.poured)


def _out(need: Need, line: KitLine, item: Item, place: Bin, out: int, used: int) -> Out:
    return Out(
        line.id or 0, need.id or 0, need.title, need.kind, item.name, place.code, item.counted_in, out,
        Became(used, out - used),
    )  # fmt: skip


def settle(
    session: Session, entries: Entries, job_id: int, became: Mapping[int, Became], promised: Sequence[KitLine]
) -> None:
    """Book what became of what a job took, by line; of a line that is not named, as planned.

    `promised`: what the job held and gives up as well, so that all stock is held in one order. Raises
    `InvalidInputError` for a line that is not out, or where the three do not add up to what is.
    """
    lines = {one.line_id: one for one in look(session, job_id).lines}
    for line_id, said in became.items():
        one = lines.get(line_id)
        if one is None:
            raise InvalidInputError(f"Line {line_id} is not out for this job.", "Look at the kit again.")
        if min(said) < 0 or sum(said) != one.out:
            there = in_words(one.out, one.counted_in)
            raise InvalidInputError(
                f"{one.item_name}: {there} is out, and used, back and scrapped do not add up to that.",
                f"Say what became of all {there}.",
            )
    held = {line.id: line for line in hold_lines(session, lines)}
    entries.hold({line.stock_id for line in (*held.values(), *promised)})
    moves: list[Move] = []
    for line_id, one in sorted(lines.items(), key=lambda pair: (held[pair[0]].stock_id, pair[0])):
        said, stock_id = became.get(line_id, one.planned), held[line_id].stock_id
        if said.back or said.scrapped:
            change = Change(on_hand=said.back + said.scrapped)
            moves.append(Move(stock_id, Moved.RECEIVED, change, "not used by the job", line_id))
        if said.scrapped:
            moves.append(Move(stock_id, Moved.SCRAPPED, Change(on_hand=-said.scrapped), "scrapped as the job closed"))
    entries.write_many(moves)
