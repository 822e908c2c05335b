"""A note is written over the one before, taken away when it is empty, and undo says again what it said before."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from models import machines, notes
from models.database import Session, Workshop
from models.errors import CannotUndoError, InvalidInputError, NotFoundError
from models.inventory import bins, items
from models.notes import What
from models.storage.check import check
from models.undoing import undo
from models.upkeep import named
from models.upkeep.rename import rename
from models.words import Kind
from tests.models.shop import act


def _each(session: Session) -> dict[What, int]:
    machine = machines.add(session, act(), name="Loader").machine_id
    return {
        What.ITEM: items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags").item_id,
        What.BIN: bins.add(session, act(), code="Box 1", note="inch rings").bin_id,
        What.POSITION: machines.add_position(session, act(), machine_id=machine, name="lift ring").position_id,
    }


def test_a_note_is_written_changed_taken_away_and_taken_back_on_all_three(workshop: Workshop) -> None:
    with workshop.write() as session:
        for what, number in _each(session).items():
            before, first, second, gone = notes.of(session, what, number).note, act(), act(), act()
            assert notes.write(session, first, what, number, "  left  hand\u200b thread ").note == "left hand thread"
            assert notes.write(session, act(), what, number, "left hand thread").is_new is False
            notes.write(session, second, what, number, "right hand thread")
            assert notes.write(session, gone, what, number).note == ""
            for did, left in ((gone, "right hand thread"), (second, "left hand thread"), (first, before)):
                undo.undo(session, act(), did.key)
                assert notes.of(session, what, number).note == left
        assert check(session).ok


def test_a_note_that_was_written_over_since_is_not_taken_back_alone(workshop: Workshop) -> None:
    first = act()
    with workshop.write() as session:
        number = _each(session)[What.ITEM]
        notes.write(session, first, What.ITEM, number, "first")
        notes.write(session, act(), What.ITEM, number, "second")
    with pytest.raises(CannotUndoError, match="has changed since"), workshop.write() as session:
        undo.undo(session, act(), first.key)
    with workshop.read() as session:
        assert notes.of(session, What.ITEM, number).note == "second"


def test_a_note_is_short_can_be_shown_and_stands_on_what_is_there(workshop: Workshop) -> None:
    with workshop.write() as session:
        number = _each(session)[What.ITEM]
        for text, said in (("x" * 201, "201 characters"), ("a\x07b", "can't be shown"), ("a\u202eb", "direction")):
            with pytest.raises(InvalidInputError, match=said):
                notes.write(session, act(), What.ITEM, number, text)
        assert len(notes.write(session, act(), What.ITEM, number, "x" * 200).note) == 200
        added = act()
        mistake = bins.add(session, added, code="Mistake").bin_id
        undo.undo(session, act(), added.key)
        with pytest.raises(NotFoundError, match="taken back"):
            notes.write(session, act(), What.BIN, mistake, "here")
        with pytest.raises(NotFoundError):
            notes.write(session, act(), What.POSITION, 999, "here")


def test_a_bin_is_found_by_the_code_and_the_note_that_stand_whatever_was_undone(workshop: Workshop) -> None:
    def found(word: str) -> list[str]:
        return [one.code for one in bins.page(session, word)]

    with workshop.write() as session:
        number, noted, renamed = _each(session)[What.BIN], act(), act()
        notes.write(session, noted, What.BIN, number, "metric rings")
        rename(session, renamed, named.What.BIN, number, "Box 9")
        assert (found("metric"), found("inch"), found("box 9")) == (["Box 9"], [], ["Box 9"])
        undo.undo(session, act(), noted.key)
        assert (found("metric"), found("inch"), found("box 9")) == ([], ["Box 9"], ["Box 9"])
        notes.write(session, act(), What.BIN, number, "washers")
        undo.undo(session, act(), renamed.key)
        assert (found("washers"), found("box 1"), found("box 9")) == (["Box 1"], ["Box 1"], [])
        assert check(session).ok


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(texts=st.lists(st.text(st.characters(codec="ascii", categories=["L", "N", "P", "Zs"]), max_size=20), max_size=5))
def test_undoing_in_turn_brings_back_every_note_there_was(workshop: Workshop, texts: list[str]) -> None:
    with workshop.write() as session:
        number = items.add(session, act(), kind=Kind.CONSUMABLE, name=f"Rags {act().key}").item_id
        said = [""]
        done = []
        for text in texts:
            did = act()
            made = notes.write(session, did, What.ITEM, number, text)
            if made.is_new:
                done.append(did)
                said.append(made.note)
        while done:
            assert notes.of(session, What.ITEM, number).note == said.pop()
            undo.undo(session, act(), done.pop().key)
        assert notes.of(session, What.ITEM, number).note == ""
