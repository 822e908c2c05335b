"""How a ring on record went after a run: said, said again, taken back, shared, and asked at the next job there."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlmodel import Session

from catalog.orings.on_record import confirmed
from catalog.orings.ran import Outcome
from models import jobs, kits, machines
from models.database import Workshop, open_workshop
from models.errors import InvalidInputError
from models.fits import fit_records, how_it_went
from models.fits.fit_csv import from_csv, to_csv
from models.fits.fit_import import Choice, import_fits, plan
from models.glance.fits import fits_on_record
from models.kitting.needs import NeedSpec
from models.storage import address
from models.storage.check import check
from models.undoing.undo import last_undoable, undo
from models.words import Kind
from tests.models.shop import INLET, act


def _place(session: Session, name: str = "ram ring") -> int:
    known = next((row for row in machines.listed(session) if row.name == "Shop press"), None)
    made = known or machines.add(session, act(), name="Shop press")
    return machines.add_position(session, act(), machine_id=made.machine_id, name=name).position_id


def _went(session: Session, place: int) -> list[str | None]:
    return [None if row.went is None else row.went.outcome.value for row in fit_records.history(session, place)]


def test_what_is_said_last_holds_and_undo_takes_it_back(workshop: Workshop, where: str) -> None:
    with workshop.write() as session:
        place = _place(session)
        fit_records.record(session, act(), place, "as568:222", rubber="NBR")
        fit_records.record(session, act(), place, "as568:214", rubber="NBR")
        dry, leaked = act("Bench 2"), act("Bench 2")
        assert how_it_went.say(session, dry, place, Outcome.DRY).went == ("dry", "Bench 2", dry.at)
        again = how_it_went.say(session, leaked, place, Outcome.LEAKED)
        assert again == how_it_went.say(session, leaked, place, Outcome.LEAKED)
        assert _went(session, place) == ["leaked", None]
    glance = fits_on_record(address.named(where)) or ()
    assert [(one.went, one.went_on) for one in glance] == [(Outcome.LEAKED, leaked.at.date()), (None, None)]
    for key, left in ((leaked.key, "dry"), (dry.key, None)):
        with workshop.write() as session:
            assert last_undoable(session, "Bench 2") == key
            assert undo(session, act(), key).what == "noting how it went"
            assert _went(session, place) == [left, None]
            assert check(session).ok
        assert [one.went for one in fits_on_record(address.named(where)) or ()] == [left, None]


def test_where_no_ring_is_on_record_there_is_nothing_to_say(workshop: Workshop) -> None:
    with workshop.write() as session:
        place = _place(session)
    with pytest.raises(InvalidInputError, match="No ring is on record at “ram ring”"), workshop.write() as session:
        how_it_went.say(session, act(), place, Outcome.DRY)


@pytest.mark.parametrize(("outcome", "counts"), [("dry", 2), ("wept", 1), ("leaked", 1)])
def test_what_wept_or_leaked_is_not_confirmed(workshop: Workshop, where: str, outcome: str, counts: int) -> None:
    with workshop.write() as session:
        for name in ("ram ring", "gland ring"):
            fit_records.record(session, act(), _place(session, name), "as568:214")
        fit_records.record(session, act(), _place(session, "changed"), "as568:222")
        (place,) = (row.position_id for row in fit_records.all_holding(session) if row.position_name == "gland ring")
        how_it_went.say(session, act(), place, Outcome(outcome))
        assert fit_records.confirmed_counts(session) == {"as568:214": counts, "as568:222": 1}
        expected = fit_records.confirmed_counts(session)
    assert confirmed(fits_on_record(address.named(where)) or ()) == expected


def test_the_next_job_there_asks_once_of_the_ring_that_was_there(workshop: Workshop) -> None:
    with workshop.write() as session:
        old, new, bare = (_place(session, name) for name in ("old", "new", "bare"))
        fit_records.record(session, act(), old, "as568:214")
        number = jobs.open_job(session, act(), title="Reseal").job_id
        for place in (old, new, bare):
            kits.add_need(session, act(), number, NeedSpec(Kind.RING, size_key="as568:214", position_id=place))
        fit_records.record(session, act(), new, "as568:214")
        assert [row.position_name for row in how_it_went.unsaid(session, number)] == ["old"]
        (waiting,) = how_it_went.unsaid(session, number)
        with pytest.raises(InvalidInputError, match="changed meanwhile"):
            how_it_went.say_of(session, act(), number, {waiting.fit_record_id + 1: Outcome.DRY})
        (said,) = how_it_went.say_of(session, act(), number, {waiting.fit_record_id: Outcome.WEPT})
        assert said.went is not None
        assert said.went.outcome is Outcome.WEPT
        assert how_it_went.unsaid(session, number) == ()
        fit_records.record(session, act(), old, "as568:222")
        assert how_it_went.unsaid(session, number) == ()


def test_the_file_carries_it_and_a_known_record_learns_of_it(workshop: Workshop, tmp_path: Path) -> None:
    with workshop.write() as session:
        place = _place(session)
        fit_records.record(session, act(), place, "as568:214", evidence=INLET, rubber="NBR")
        before = to_csv(fit_records.all_holding(session))
        how_it_went.say(session, act("Bench 2"), place, Outcome.LEAKED)
        rows = fit_records.all_holding(session)
        after = to_csv(rows)
    other = open_workshop(tmp_path / "other.sqlite3")
    with other.write() as session:
        import_fits(session, act(), from_csv(before).fits)
        assert [one.line for one in plan(session, from_csv(after).fits).told] == [2]
        told = act("Stores")
        done = import_fits(session, told, from_csv(after).fits)
        assert (done.added, done.settled, done.told, done.open) == (0, 0, 1, ())
        (theirs,) = fit_records.all_holding(session)
        assert theirs.went == rows[0].went
        assert to_csv([theirs]) == after
        # Said already, or not said in the file: nothing is new.
        assert import_fits(session, act(), from_csv(after).fits).known == 1
        assert import_fits(session, act(), from_csv(before).fits).known == 1
        dry = from_csv(after.replace(",leaked,", ",dry,")).fits
        (conflict,) = import_fits(session, act(), dry).open
        assert conflict.what == "how it went: theirs dry, ours leaked"
        import_fits(session, act(), dry, {2: Choice.OURS})
        assert [row.went.outcome.value for row in fit_records.history(session, theirs.position_id) if row.went] == [
            "leaked", "dry", "leaked",
        ]  # fmt: skip
        assert check(session).ok
        undo(session, act(), told.key)
    other.close()


def test_a_word_that_is_none_is_refused_by_its_line() -> None:
    read = from_csv("machine,position,size,went\nPress,ram,as568:214,burst\nPress,gland,as568:214,Dry\n")
    assert [line for line, _ in read.refused] == [2]
    assert "How it went, “burst”, can't be read" in read.refused[0][1]
    assert read.fits[0].fit.went == (Outcome.DRY, None)
