"""Pictures of items, bins, machines, positions: added, replaced, removed, taken back; through merging and retiring."""

from __future__ import annotations

from itertools import product

import pytest

from models import jobs, kits, machines, notes, shelf
from models.database import Session, Workshop
from models.errors import CannotUndoError, InvalidInputError, NotFoundError
from models.inventory import bins, items
from models.notes import What
from models.pictures import at_work, keeping
from models.storage.check import check
from models.tables import Picture
from models.undoing import undo
from models.upkeep import named
from models.upkeep.merge import merge
from models.upkeep.retire import retire
from models.words import Kind
from tests.models.a_picture import a_picture
from tests.models.shop import act, ring, ring_spec

ORANGE, NAVY = a_picture(), a_picture("navy")
MERGED = (What.ITEM, What.BIN, What.MACHINE)


def make(session: Session, what: What, name: str) -> int:
    """One of them."""
    if what is What.ITEM:
        return items.add(session, act(), kind=Kind.CONSUMABLE, name=name).item_id
    if what is What.BIN:
        return bins.add(session, act(), code=name).bin_id
    if what is What.MACHINE:
        return machines.add(session, act(), name=name).machine_id
    machine = machines.add(session, act(), name=f"{name}'s").machine_id
    return machines.add_position(session, act(), machine_id=machine, name=name).position_id


def kept(session: Session, what: What, number: int) -> bytes:
    """The file that stands for it; none is empty."""
    row = keeping.of(session, what, number)
    return b"" if row is None else keeping.jpeg_of(session, row.picture_id)


def test_one_is_added_replaced_removed_and_each_is_taken_back_on_all_four(workshop: Workshop) -> None:
    with workshop.write() as session:
        for what in What:
            number, other = make(session, what, "A"), make(session, what, "B")
            keeping.add(session, act(), what, other, NAVY)
            first, second, gone = act(), act(), act()
            row = keeping.add(session, first, what, number, ORANGE)
            assert (row.what, row.name, row.width, row.height, row.who) == (what, "A", 40, 30, first.who)
            again = keeping.add(session, first, what, number, ORANGE)  # the same act, after a crash
            assert again == row
            keeping.add(session, second, what, number, NAVY)
            assert kept(session, what, number) == NAVY.jpeg
            assert keeping.remove(session, gone, what, number) == "A"
            assert not keeping.is_of(session, what, number)
            for did, left in ((gone, NAVY.jpeg), (second, ORANGE.jpeg), (first, b"")):
                undo.undo(session, act(), did.key)
                assert kept(session, what, number) == left
            assert kept(session, what, other) == NAVY.jpeg
            with pytest.raises(NotFoundError, match="no picture of “A”"):
                keeping.remove(session, act(), what, number)
        assert {what for what, _ in keeping.pictured(session, *What)} == set(What)
        assert check(session).ok


def test_one_that_was_replaced_since_is_not_taken_back_alone(workshop: Workshop) -> None:
    first = act()
    with workshop.write() as session:
        number = make(session, What.BIN, "A")
        keeping.add(session, first, What.BIN, number, ORANGE)
        keeping.add(session, act(), What.BIN, number, NAVY)
    with pytest.raises(CannotUndoError), workshop.write() as session:
        undo.undo(session, act(), first.key)
    with workshop.read() as session:
        assert kept(session, What.BIN, number) == NAVY.jpeg


def test_what_has_one_is_not_withdrawn_and_what_is_withdrawn_takes_none(workshop: Workshop) -> None:
    for what in MERGED:
        added = act()
        with workshop.write() as session:
            if what is What.ITEM:
                number = items.add(session, added, kind=Kind.CONSUMABLE, name="A").item_id
            elif what is What.BIN:
                number = bins.add(session, added, code="A").bin_id
            else:
                number = machines.add(session, added, name="A").machine_id
            keeping.add(session, act(key=f"{what} pictured"), what, number, ORANGE)
        with pytest.raises(CannotUndoError, match="picture"), workshop.write() as session:
            undo.undo(session, act(), added.key)
        with workshop.write() as session:
            undo.undo(session, act(), f"{what} pictured")
            undo.undo(session, act(), added.key)
        with pytest.raises(NotFoundError, match="taken back"), workshop.write() as session:
            keeping.add(session, act(), what, number, ORANGE)


def test_it_stays_with_what_is_retired_and_what_is_kept_broken_is_told(workshop: Workshop) -> None:
    with workshop.write() as session:
        number = make(session, What.ITEM, "A")
        keeping.add(session, act(), What.ITEM, number, ORANGE)
        retire(session, act(), what=named.What.ITEM, row_id=number)
        assert kept(session, What.ITEM, number) == ORANGE.jpeg
        row = keeping.of(session, What.ITEM, number)
        assert row is not None
        held = session.get_one(Picture, row.picture_id)
        held.jpeg = b"\xff\xd8\xff\xd9"
        session.add(held)
        session.flush()
        with pytest.raises(InvalidInputError, match="can't be read"):
            keeping.jpeg_of(session, row.picture_id)
        session.rollback()


def test_a_merge_hands_over_what_the_other_lacks_says_what_both_keep_and_undo_puts_all_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        for at, (what, mine, theirs) in enumerate(product(MERGED, (False, True), (False, True))):
            row, into = make(session, what, f"A {at}"), make(session, what, f"B {at}")
            if mine:
                keeping.add(session, act(), what, row, ORANGE)
                notes.write(session, act(), what, row, "from the old stock")
            if theirs:
                keeping.add(session, act(), what, into, NAVY)
                notes.write(session, act(), what, into, "top drawer")

            def now(what: What = what, row: int = row, into: int = into) -> list[tuple[bytes, str]]:
                return [(kept(session, what, one), notes.of(session, what, one).note) for one in (row, into)]

            before, done = now(), act()
            made = merge(session, done, named.What(what.value), row, into)
            assert made.both_have == (("note", "picture") if mine and theirs else ())
            assert now()[1] == (before[1] if theirs else before[0])
            if mine and theirs:
                assert now()[0] == before[0]
            if what is What.BIN and mine and not theirs:
                assert [one.code for one in bins.page(session, "old stock")] == [f"B {at}"]
            undo.undo(session, act(), done.key)
            assert now() == before, (what, mine, theirs)
            if what is What.BIN and mine:
                assert [one.code for one in bins.page(session, "old stock")] == [f"A {at}"]
                notes.write(session, act(), what, row, "")
        assert check(session).ok


def test_what_was_written_or_added_after_a_merge_stays_when_it_is_taken_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        row, into = make(session, What.ITEM, "A"), make(session, What.ITEM, "B")
        keeping.add(session, act(), What.ITEM, row, ORANGE)
        notes.write(session, act(), What.ITEM, row, "old")
        done, later = act(), act()
        merge(session, done, named.What.ITEM, row, into)
        keeping.add(session, later, What.ITEM, into, NAVY)
        notes.write(session, act(), What.ITEM, into, "new")
        undo.undo(session, act(), done.key)
        assert (kept(session, What.ITEM, row), kept(session, What.ITEM, into)) == (ORANGE.jpeg, NAVY.jpeg)
        assert (notes.of(session, What.ITEM, row).note, notes.of(session, What.ITEM, into).note) == ("old", "new")
        # What was handed over is not put back by what had replaced it.
        undo.undo(session, act(), later.key)
        assert kept(session, What.ITEM, into) == b""
        assert check(session).ok


def test_a_note_handed_over_is_not_lost_by_undo_and_not_said_of_the_other_once_they_are_parted(
    workshop: Workshop,
) -> None:
    def note(number: int) -> str:
        return notes.of(session, What.BIN, number).note

    with workshop.write() as session:
        row, into, done, later = make(session, What.BIN, "A"), make(session, What.BIN, "B"), act(), act()
        notes.write(session, act(), What.BIN, row, "left hand thread")
        notes.write(session, act(), What.BIN, into, "right hand thread")
        emptied = act()
        notes.write(session, emptied, What.BIN, into, "")
        merge(session, done, named.What.BIN, row, into)
        # What stands there now was not there when it was emptied.
        with pytest.raises(CannotUndoError, match="has changed since"):
            undo.undo(session, act(), emptied.key)
        assert note(into) == "left hand thread"
        notes.write(session, later, What.BIN, into, "new")
        undo.undo(session, act(), done.key)
        undo.undo(session, act(), later.key)
        assert (note(row), note(into)) == ("left hand thread", "")
        # The same words by a person's own hand come back.
        again = act()
        notes.write(session, act(), What.BIN, into, "left hand thread")
        notes.write(session, again, What.BIN, into, "other")
        undo.undo(session, act(), again.key)
        assert note(into) == "left hand thread"
        assert [one.code for one in bins.page(session, "left hand")] == ["A", "B"]


def test_a_row_of_the_shelf_says_that_there_is_one_or_a_note_on_its_item(workshop: Workshop) -> None:
    with workshop.write() as session:
        numbers = {name: make(session, What.ITEM, name) for name in ("plain", "noted", "shown")}
        box, drawer = make(session, What.BIN, "Box"), make(session, What.BIN, "Drawer")
        for item in numbers.values():
            for place in (box, drawer):
                shelf.receive(session, act(), item_id=item, bin_id=place, quantity=1)
        notes.write(session, act(), What.ITEM, numbers["noted"], "sheds less")
        notes.write(session, act(), What.BIN, box, "rags")
        gone = act()
        keeping.add(session, act(), What.ITEM, numbers["shown"], ORANGE)
        keeping.add(session, gone, What.BIN, drawer, ORANGE)

        def marked() -> set[tuple[str, str]]:
            return {(row.bin_code, row.item_name) for row in shelf.stock_rows(session).rows if row.annotated}

        of_items = {(place, name) for place in ("Box", "Drawer") for name in ("noted", "shown")}
        assert marked() == of_items | {("Drawer", "plain")}
        undo.undo(session, act(), gone.key)
        assert marked() == of_items


def test_a_job_s_sheet_gets_its_positions_pictures_else_those_of_what_was_taken(workshop: Workshop) -> None:
    with workshop.write() as session:
        machine = machines.add(session, act(), name="Loader").machine_id
        numbers = {
            name: machines.add_position(session, act(), machine_id=machine, name=name, takes=Kind.RING).position_id
            for name in ("pump inlet", "lift cylinder", "filter head")
        }
        item = ring(session, 9)
        keeping.add(session, act(), What.ITEM, item.item_id, NAVY)
        keeping.add(session, act(), What.POSITION, numbers["pump inlet"], ORANGE)
        gone = keeping.add(session, act(), What.POSITION, numbers["filter head"], ORANGE)
        keeping.remove(session, act(), What.POSITION, numbers["filter head"])
        job_id = jobs.open_job(session, act(), title="Leaks", machine_id=machine).job_id
        for name in ("lift cylinder", "pump inlet", "filter head"):
            kits.add_need(session, act(), job_id, ring_spec("as568:214", position_id=numbers[name]))
        kits.look_again(session, act(), job_id)
        shown = at_work.of_job(session, job_id)
    assert [(one.name, one.jpeg == ORANGE.jpeg) for one in shown] == [(item.item_name, False), ("pump inlet", True)]
    assert (shown[0].width, shown[0].height, gone.width) == (40, 30, 40)
