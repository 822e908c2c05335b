"""When a job can be finished, in words a person says."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models import kits, shelf
from models.database import Workshop
from models.inventory import bins, items
from models.kits import KitView, NeedSpec, earliest_finish
from models.words import Kind
from tests.models.shop import act, job

MONDAY = datetime(2026, 3, 2, 16, 0, tzinfo=ZoneInfo("Europe/Berlin"))
OIL = NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=1, full_ul=2, title="transmission oil")
SEAL = NeedSpec(Kind.SEALANT, spec_class="flange sealant", cure_minutes_at_most=48 * 60, title="housing sealant")
ELEMENT = NeedSpec(Kind.FILTER, spec_class="spin-on", title="element")


def _kit(session: Session, *specs: NeedSpec, stocked: bool = True) -> KitView:
    if stocked:
        place = bins.add(session, act(), code="S")
        tube = items.add(
            session, act(), kind=Kind.SEALANT, name="Flange sealant", spec_class="flange sealant", cure_minutes=24 * 60
        )
        drum = items.add(session, act(), kind=Kind.FLUID, name="Drum", spec_class="UTTO")
        for item in (tube, drum):
            shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=9)
    number = job(session)
    kits.add_needs(session, act(), number, specs)
    return kits.allocate(session, act(), number)


def test_what_is_sealed_today_may_be_filled_tomorrow(workshop: Workshop) -> None:
    with workshop.write() as session:
        found = earliest_finish(_kit(session, OIL, SEAL), MONDAY)
    assert found.facts == ("Housing sealant: if sealed today 16:00, may be filled tomorrow 16:00.",)
    assert found.at == MONDAY + timedelta(days=1)


def test_sealing_waits_for_what_arrives(workshop: Workshop) -> None:
    with workshop.write() as session:
        kit = _kit(session, OIL, SEAL, ELEMENT)
    (element,) = [need.need_id for need in kit.needs if need.kind is Kind.FILTER]
    found = earliest_finish(kit, MONDAY, {element: timedelta(days=3)})
    # 2 March 2026 is a Monday, so three days on is a Thursday (ISO 8601 calendar).
    assert found.facts == (
        "Element arrives Thursday.",
        "Housing sealant: if sealed Thursday 16:00, may be filled Friday 16:00.",
    )
    assert found.at == MONDAY + timedelta(days=4)
    unknown = earliest_finish(kit, MONDAY)
    assert unknown.at is None
    assert unknown.facts[0] == "Element is short, and its arrival is not known: order it."


def test_a_fluid_may_arrive_while_the_sealant_cures(workshop: Workshop) -> None:
    with workshop.write() as session:
        kit = _kit(session, OIL, SEAL, stocked=False)
    oil, seal = (need.need_id for need in kit.needs)
    found = earliest_finish(kit, MONDAY, {oil: timedelta(hours=20), seal: timedelta(days=8)})
    assert found.facts == (
        "Transmission oil arrives tomorrow 12:00.",
        "Housing sealant arrives on 2026-03-10.",
        "Housing sealant: if sealed on 2026-03-10 16:00, may be filled on 2026-03-12 16:00.",
    )
    assert found.at == MONDAY + timedelta(days=10)


def test_without_a_fluid_it_may_be_used_and_without_a_cure_at_once(workshop: Workshop) -> None:
    with workshop.write() as session:
        dry = earliest_finish(_kit(session, SEAL), MONDAY)
        at_once = earliest_finish(_kit(session, OIL, stocked=False)._replace(needs=()), MONDAY)
    assert at_once == (MONDAY, ())
    assert dry.facts == ("Housing sealant: if sealed today 16:00, may be used tomorrow 16:00.",)


def test_a_cure_takes_its_hours_when_the_clocks_go_forward(workshop: Workshop) -> None:
    # Summer time began in the European Union on 29 March 2026 at 02:00 (Directive 2000/84/EC: last Sunday of March).
    with workshop.write() as session:
        found = earliest_finish(_kit(session, OIL, SEAL), MONDAY.replace(day=28))
    assert found.facts == ("Housing sealant: if sealed today 16:00, may be filled tomorrow 17:00.",)
