"""What the trade knows of sealant: common practice, no source."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from models import jobs, kits, shelf
from models.database import open_workshop
from models.demo import stock as demo_stock
from models.inventory import bins, items
from models.kits import NeedSpec
from models.kitting.finish import earliest_finish
from models.words import Kind
from tests.models.shop import NOON, act


def test_oil_proof_gasket_maker_is_left_a_day_before_filling(tmp_path: Path) -> None:
    """Common practice, no source: oil-proof gasket maker is left a day before the oil goes in."""
    tube = next(one for one in demo_stock.THINGS if one.kind is Kind.SEALANT)
    assert tube.spec_class == "oil-proof flange sealant"
    assert tube.cure_minutes == 24 * 60
    workshop = open_workshop(tmp_path / "w.sqlite3")
    with workshop.write() as session:
        shelf_s = bins.add(session, act(), code="Shelf S").bin_id
        for kind, name, asked, cure in (
            (Kind.SEALANT, tube.name, tube.spec_class, tube.cure_minutes),
            (Kind.FLUID, "Drum", "UTTO", None),
        ):
            item = items.add(session, act(), kind=kind, name=name, spec_class=asked, cure_minutes=cure)
            shelf.receive(session, act(), item_id=item.item_id, bin_id=shelf_s, quantity=10)
        job = jobs.open_job(session, act(), title="Pump housing").job_id
        kits.add_need(session, act(), job, NeedSpec(Kind.SEALANT, spec_class=tube.spec_class, title="sealant"))
        kits.add_need(session, act(), job, NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=1, full_ul=2, title="oil"))
        found = earliest_finish(kits.allocate(session, act(), job), NOON)
    workshop.close()
    assert found.at == NOON + timedelta(days=1)
    assert found.facts == ("Sealant: if sealed today 12:00, may be filled tomorrow 12:00.",)
