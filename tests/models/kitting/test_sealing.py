"""When a joint was sealed: what is noted, refused, replaced and undone, and what the earliest finish says of it."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import Session, select

from models import jobs, kits, moments, shelf
from models.database import Workshop
from models.errors import CannotUndoError, InvalidInputError
from models.inventory import bins, items
from models.kits import KitView, NeedSpec, earliest_finish
from models.kitting import sealing
from models.kitting.finish import cured_at, still_curing
from models.storage.check import check
from models.tables import SealNote
from models.undoing.undo import undo
from models.words import Kind
from tests.models.shop import act, job

BERLIN = ZoneInfo("Europe/Berlin")
MONDAY = datetime(2026, 3, 2, 16, 0, tzinfo=BERLIN)
LONG_BEFORE = MONDAY - timedelta(hours=20)


def _kit(session: Session, *, pick: bool = True) -> KitView:
    """A job opened the day before, with oil and two joints: one cures a day, the other an hour and a half."""
    place = bins.add(session, act(), code="S").bin_id
    for kind, name, asked, cure in (
        (Kind.FLUID, "Drum", "UTTO", None),
        (Kind.SEALANT, "Tube", "gasket maker", 24 * 60),
        (Kind.SEALANT, "Stick", "thread sealant", 90),
    ):
        item = items.add(session, act(), kind=kind, name=name, spec_class=asked, cure_minutes=cure)
        shelf.receive(session, act(), item_id=item.item_id, bin_id=place, quantity=9)
    number = jobs.open_job(session, act(at=LONG_BEFORE), title="Pump housing").job_id
    specs = (
        NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=1, full_ul=2, title="oil"),
        NeedSpec(Kind.SEALANT, spec_class="gasket maker", title="gasket maker"),
        NeedSpec(Kind.SEALANT, spec_class="thread sealant", title="thread sealant"),
    )
    kits.add_needs(session, act(), number, specs)
    kit = kits.allocate(session, act(), number)
    if pick:
        kit = kits.pick(session, act(), [line.line_id or 0 for need in kit.needs for line in need.lines])
    return kit


def test_the_cure_counts_from_the_noted_time_each_joint_on_its_own(workshop: Workshop) -> None:
    with workshop.write() as session:
        kit = _kit(session)
        _, gasket, thread = (need.need_id for need in kit.needs)
        assert earliest_finish(kit, MONDAY).at == MONDAY + timedelta(days=1)
        noted = act(at=MONDAY)
        for _ in range(2):  # the same key twice is one note
            sealing.note(session, noted, gasket, MONDAY)
        sealing.note(session, act(at=MONDAY), thread, MONDAY - timedelta(hours=1))
        assert len(session.exec(select(SealNote)).all()) == 2
    with workshop.read() as session:
        kit = kits.view(session, kit.job_id)
        assert check(session).ok
    assert kit.needs[1].sealed == sealing.Seal(MONDAY.astimezone(UTC), "Bench 1")
    evening, next_day = MONDAY + timedelta(hours=4), MONDAY + timedelta(hours=25)
    found = earliest_finish(kit, evening)
    assert found.facts == (
        "Gasket maker: sealed today 16:00, may be filled tomorrow 16:00.",
        "Thread sealant: sealed today 15:00, cured since today 16:30.",
    )
    assert found.at == MONDAY + timedelta(days=1)
    assert still_curing(kit, evening) == (
        "Gasket maker cures until tomorrow 16:00; the sealant's own data sheet decides.",
    )
    done = earliest_finish(kit, next_day)
    assert done.facts[0] == "Gasket maker: sealed yesterday 16:00, cured since today 16:00."
    assert (done.at, still_curing(kit, next_day)) == (next_day, ())


def test_a_note_that_no_bench_can_have_written_is_found(workshop: Workshop) -> None:
    with workshop.write() as session:
        kit = _kit(session)
        oil, gasket, _ = (need.need_id for need in kit.needs)
        sealing.note(session, act(at=MONDAY), gasket)
        (row,) = session.exec(select(SealNote)).all()
        for need_id, at in ((oil, MONDAY), (gasket, MONDAY + timedelta(hours=1))):
            session.add(SealNote(action_id=row.action_id, need_id=need_id, sealed_at=at.astimezone(UTC)))
        found = [finding.what for finding in check(session).findings]
    assert found == [f"“{title}” is not a sealant, or was noted too early" for title in ("oil", "gasket maker")]


def test_sealed_again_both_notes_are_kept_and_undo_takes_the_last_back(workshop: Workshop) -> None:
    first, again = act(at=MONDAY), act("Bench 2", at=MONDAY + timedelta(hours=3))
    with workshop.write() as session:
        kit = _kit(session)
        gasket = kit.needs[1].need_id
        sealing.note(session, first, gasket)
        sealing.note(session, again, gasket)
    with workshop.write() as session:
        assert sealing.of_needs(session, [gasket])[gasket] == sealing.Seal(again.at.astimezone(UTC), "Bench 2")
        assert sealing.last_key(session, gasket) == again.key
        assert undo(session, act(), again.key).what == "the sealing"
        assert sealing.of_needs(session, [gasket])[gasket].who == "Bench 1"
        undo(session, act(), first.key)
        assert (
            earliest_finish(kits.view(session, kit.job_id), MONDAY).facts[0].startswith("Gasket maker: if sealed today")
        )
        assert kits.view(session, kit.job_id).needs[1].sealed is None
        assert len(session.exec(select(SealNote)).all()) == 2
        with pytest.raises(InvalidInputError, match="no sealing to take back"):
            sealing.last_key(session, gasket)
        last = act(at=MONDAY)
        sealing.note(session, last, gasket)
        jobs.close(session, act(), kit.job_id)
    with (
        pytest.raises(CannotUndoError, match=r"is closed\. So the sealing can't be undone"),
        workshop.write() as session,
    ):
        undo(session, act(), last.key)


def test_what_cannot_have_been_sealed_is_refused(workshop: Workshop) -> None:
    with workshop.write() as session:
        kit = _kit(session, pick=False)
        oil, gasket, _ = (need.need_id for need in kit.needs)
        tube = kit.needs[1].lines[0].line_id or 0
        with pytest.raises(InvalidInputError, match="“gasket maker” is not picked yet"):
            sealing.note(session, act(at=MONDAY), gasket)
        kits.pick(session, act(), [tube])
    for need, at, said in (
        (oil, MONDAY, "is not a sealant"),
        (gasket, MONDAY + timedelta(minutes=1), "still to come"),
        (gasket, LONG_BEFORE - timedelta(days=2), "more than a day before the job was opened"),
    ):
        with pytest.raises(InvalidInputError, match=said), workshop.write() as session:
            sealing.note(session, act(at=MONDAY), need, at)
    with workshop.write() as session:
        sealing.note(session, act(at=MONDAY), gasket)
        # Put back, it was the wrong tube: nothing that counts was sealed with it.
        assert kits.put_back(session, act(), tube).needs[1].sealed is None
        jobs.close(session, act(), kit.job_id)
        with pytest.raises(InvalidInputError, match="is closed"):
            sealing.note(session, act(at=MONDAY), gasket)


def test_where_nobody_says_how_long_it_cures_the_data_sheet_does(workshop: Workshop) -> None:
    with workshop.write() as session:
        place = bins.add(session, act(), code="S").bin_id
        tube = items.add(session, act(), kind=Kind.SEALANT, name="Tube", spec_class="gasket maker")
        shelf.receive(session, act(), item_id=tube.item_id, bin_id=place, quantity=1)
        number = job(session)
        need = kits.add_need(session, act(), number, NeedSpec(Kind.SEALANT, spec_class="gasket maker", title="cover"))
        line = kits.allocate(session, act(), number).needs[0].lines[0]
        kits.pick(session, act(), [line.line_id or 0])
        sealing.note(session, act(at=MONDAY), need.need_id)
        kit = kits.view(session, number)
    assert cured_at(kit.needs[0]) is None
    assert earliest_finish(kit, MONDAY).facts == (
        "Cover: sealed today 16:00; how long it cures is not known: its data sheet decides.",
    )
    assert "sealed today 16:00: how long it cures is not known" in still_curing(kit, MONDAY)[0]


# The clocks of the European Union went forward on 29 March 2026 and back on 25 October 2026, both at 01:00 UTC
# (Directive 2000/84/EC: the last Sundays of March and October).


def test_a_cure_takes_its_hours_over_a_change_of_clocks_on_the_wall_too(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    try:
        sealed = datetime(2026, 3, 28, 16, 0, tzinfo=BERLIN)
        with workshop.write() as session:
            kit = _kit(session)
            sealing.note(session, act(at=sealed), kit.needs[1].need_id)
            kit = kits.view(session, kit.job_id)
        for zone in (BERLIN, moments.WALL):
            found = earliest_finish(kit, (sealed + timedelta(hours=1)).astimezone(zone))
            assert found.facts[0] == "Gasket maker: sealed today 16:00, may be filled tomorrow 17:00."
            # 24 hours on, in an offset an hour further east.
            assert found.at is not None
            assert found.at.isoformat() == "2026-03-29T17:00:00+02:00"
        # The wall's zone tells each of the two hours from 02:00 on 25 October.
        for hour, offset in ((0, 2), (1, 1)):
            there = datetime(2026, 10, 25, hour, 30, tzinfo=UTC).astimezone(moments.WALL)
            assert (there.hour, there.minute, there.utcoffset()) == (2, 30, timedelta(hours=offset))
            assert there.astimezone(UTC).hour == hour
    finally:
        monkeypatch.undo()
        time.tzset()


def test_times_are_read_as_a_person_types_them() -> None:
    for typed, meant in (
        ("now", MONDAY),
        ("  ", MONDAY),
        ("14:30", MONDAY.replace(hour=14, minute=30)),
        ("2:30 PM", MONDAY.replace(hour=14, minute=30)),
        ("12:15am", MONDAY.replace(hour=0, minute=15)),
        ("yesterday 23:30", MONDAY.replace(day=1, hour=23, minute=30)),
        ("2026-02-28T09:05", MONDAY.replace(month=2, day=28, hour=9, minute=5)),
    ):
        assert moments.read(typed, MONDAY) == meant, typed
    for typed, said in (
        ("23:30", r"Today 23:30 is still to come; it is 16:00 now\. Type now, or"),
        ("2026-03-03 8:00", "Tomorrow 08:00 is still to come"),
        ("25:00", "“25:00” is not a time. Type it as now"),
        ("13:00 pm", "is not a time"),
        ("yesterday", "“yesterday” does not say the hour. Type it as now"),
        ("2026-11-28", "“2026-11-28” does not say the hour."),
        ("1901-01-01 10:00", "The year 1901 can't be reckoned with. Type the year it was."),
        ("2026-02-30 8:00", "is not a time"),
        ("noon", "is not a time"),
        ("٣:٣٠", "is not a time"),
    ):
        with pytest.raises(InvalidInputError, match=said):
            moments.read(typed, MONDAY)
    with pytest.raises(InvalidInputError, match="02:30 was skipped on 2026-03-29: the clocks went forward"):
        moments.read("2026-03-29 2:30", MONDAY.replace(month=4))
    # Of the hour that comes twice the later counts, unless that is still to come.
    autumn = datetime(2026, 10, 25, 1, 0, tzinfo=UTC)
    for minutes, hour in ((60, 1), (0, 0)):
        now = (autumn + timedelta(minutes=minutes)).astimezone(BERLIN)
        assert moments.read("2:30", now).astimezone(UTC) == datetime(2026, 10, 25, hour, 30, tzinfo=UTC)
