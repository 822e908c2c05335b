"""What a kit sends to the database does not grow with its lines: at 50 as many statements as at 5, at most thirty."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import pytest
from sqlmodel import Session

from catalog.orings.sizes import all_sizes
from catalog.orings.would_do import WouldDo
from models import jobs, kits, shelf
from models.database import Workshop
from models.inventory import bins, items
from models.inventory.items import NewItem
from models.kits import KitView, NeedSpec
from models.kitting.picking import pick_all
from models.storage.check import check
from models.undoing.undo import undo
from models.words import Kind, LineState
from tests.models.shop import act, job
from tests.statements import counted

FEW, TWO_OF_EACH, MANY, MOST, ANEW = 5, 12, 50, 30, 8
EVERY_KIND: Final = 45
"""What a kit with needs of all six kinds may send: each kind is looked up in tables of its own."""
LITRE = 1_000_000


def rings(number: int) -> NewItem:
    """A ring of another size each."""
    key = all_sizes()[number].key
    return NewItem(Kind.RING, f"Ring {number} {key}", key, "NBR", 70)


def anything(number: int) -> NewItem:
    """Something of another kind each."""
    kind = (Kind.RING, Kind.FLUID, Kind.FILTER, Kind.FASTENER, Kind.SEALANT, Kind.CONSUMABLE)[number % 6]
    return (
        rings(number) if kind is Kind.RING else NewItem(kind, f"{kind} {number}", spec_class=f"{kind} class {number}")
    )


def needs_of(new: Sequence[NewItem]) -> list[NeedSpec]:
    """A need for each; of every kind some ask for more than there is."""
    kinds = len({one.kind for one in new})
    lacking = {at for at in range(len(new)) if at // kinds % 2}
    return [
        NeedSpec(one.kind, title=one.name, spec_class=one.spec_class, low_ul=2 * LITRE, full_ul=2 * LITRE)
        if one.kind is Kind.FLUID
        else NeedSpec(
            one.kind, 99 if at in lacking else 2, title=one.name, size_key=one.size_key, spec_class=one.spec_class,
            rubbers=["NBR"] if one.kind is Kind.RING else (), seals=0.9 if one.kind is Kind.RING else None,
            would_do=[WouldDo(all_sizes()[-at - 1].key, 0.85, "")] if one.kind is Kind.RING else (),
        )
        for at, one in enumerate(new)
    ]  # fmt: skip


def kit_of(workshop: Workshop, number: int, what: Callable[[int], NewItem]) -> int:
    """A job with so many needs, and in one bin what serves them."""
    new = [what(at) for at in range(number)]
    with workshop.write() as session:
        made = items.add_many(session, act(), new)
        place = bins.add(session, act(), code=f"A{number}")
        amounts = [9 * LITRE if one.kind is Kind.FLUID else 9 for one in made]
        delivered = [shelf.Delivery(one.item_id, place.bin_id, much) for one, much in zip(made, amounts, strict=True)]
        shelf.receive_many(session, act(), delivered)
        job_id = job(session, f"{number} needs")
        kits.add_needs(session, act(), job_id, needs_of(new))
    return job_id


def line_ids(kit: KitView) -> list[int]:
    """The lines that hold a promise."""
    return [line.line_id or 0 for need in kit.needs for line in need.lines if line.state is LineState.HAVE]


def sent(workshop: Workshop, work: Callable[[Session], object]) -> int:
    """How many statements a unit sends."""
    with workshop.write() as session, counted(session) as statements:
        work(session)
    return len(statements)


def costs(workshop: Workshop, job_id: int) -> dict[str, int]:
    """What each work on a kit sends, one after the other."""
    found = {
        "resolve": sent(workshop, lambda session: kits.allocate(session, act(key=f"r{job_id}"), job_id)),
        "undo of it": sent(workshop, lambda session: undo(session, act(), f"r{job_id}")),
    }
    with workshop.write() as session:
        kits.allocate(session, act(), job_id)
    found["look again"] = sent(workshop, lambda session: kits.look_again(session, act(key=f"l{job_id}"), job_id))
    found["undo of that"] = sent(workshop, lambda session: undo(session, act(), f"l{job_id}"))
    with workshop.read() as session:
        lines = line_ids(kits.view(session, job_id))
    assert lines
    found["pick all"] = sent(workshop, lambda session: kits.pick(session, act(key=f"p{job_id}"), lines))
    found["undo of picking"] = sent(workshop, lambda session: undo(session, act(), f"p{job_id}"))
    found["pick the job"] = sent(workshop, lambda session: pick_all(session, act(key=f"a{job_id}"), job_id))
    found["undo of picking the job"] = sent(workshop, lambda session: undo(session, act(), f"a{job_id}"))
    other = dict.fromkeys(lines, 1)
    found["pick another amount"] = sent(
        workshop, lambda session: kits.pick(session, act(key=f"o{job_id}"), lines, taken=other)
    )
    found["undo of that pick"] = sent(workshop, lambda session: undo(session, act(), f"o{job_id}"))
    found["close"] = sent(workshop, lambda session: jobs.close(session, act(key=f"c{job_id}"), job_id))
    found["undo of closing"] = sent(workshop, lambda session: undo(session, act(), f"c{job_id}"))
    return found


@pytest.mark.parametrize(("what", "most"), [(rings, MOST), (anything, EVERY_KIND)], ids=["rings", "every kind"])
def test_a_kit_sends_as_much_for_fifty_lines_as_for_five(
    workshop: Workshop, what: Callable[[int], NewItem], most: int
) -> None:
    many = costs(workshop, kit_of(workshop, MANY, lambda number: what(number + TWO_OF_EACH)))
    few = costs(workshop, kit_of(workshop, FEW if what is rings else TWO_OF_EACH, what))
    assert many == few
    # There a promise is given back, made anew for what was taken, and again for what is left.
    assert {
        work: number for work, number in many.items() if number > most + ANEW * (work == "pick another amount")
    } == {}
    with workshop.read() as session:
        assert check(session).findings == ()


def test_a_count_and_its_undo_send_as_much_for_fifty_rows_as_for_five(workshop: Workshop) -> None:
    found = []
    for number in (MANY, FEW):
        kit_of(workshop, number, lambda at, number=number: rings(at + number))  # type: ignore[misc]
        with workshop.read() as session:
            rows = [row for row in shelf.stock_rows(session).rows if row.bin_code == f"A{number}"]
        counts = {row.stock_id: row.on_hand + 1 for row in rows}
        counting = sent(workshop, lambda session, c=counts: shelf.count_many(session, act(key=f"{len(c)}"), c))  # type: ignore[misc]
        found.append((counting, sent(workshop, lambda session, c=counts: undo(session, act(), f"{len(c)}"))))  # type: ignore[misc]
    assert found[0] == found[1]
    assert max(found[0]) <= MOST
