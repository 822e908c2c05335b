"""Elements read from text, and what fits: over the shop's filters and the suppliers' lists, on both databases."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from catalog.filters.describe import describe
from catalog.filters.element import Element, End, EndForm, EndSeal, Gasket, Kind, thread_size
from catalog.filters.grade import Grade
from catalog.filters.housing import GasketLand, Housing, Seat, SeatForm, Where
from catalog.filters.media import mesh, rated
from models import elements, jobs, kits, shelf
from models.database import open_workshop
from models.inventory import bins, items
from models.inventory.item_figures import ItemFigures
from models.kits import NeedSpec
from models.search.found import Where as Found
from models.supplier_lists.read_element import read_element
from models.words import Kind as Sort
from tests.models.shop import act
from tests.models.supplier_lists import lists

# How suppliers write is common practice, no source; 2.36 in is 59.94 mm and 4.72 in is 119.89 mm (the exact inch).
READ = [
    ("FILTER ELEMENT 60X120 OPEN 30", Element(Kind.CARTRIDGE, "", 60, 120, End(EndForm.OPEN, 30))),
    (
        "Hyd. filter cartridge 60 x 120 mm open 30 one end 60 mesh",
        Element(Kind.CARTRIDGE, "", 60, 120, End(EndForm.OPEN, 30), End(EndForm.CLOSED), medium=mesh(60)),
    ),
    (
        "SPIN-ON OIL FILTER M20X1.5 76X85 GASKET 56X65 20 MICRON",
        Element(
            Kind.SPIN_ON, "", 76, 85, thread=thread_size("M20x1.5"), gasket=Gasket(56, 65), medium=rated(20)
        ),
    ),
    (
        "CARTRIDGE OD 60 L 120 ID 30 BOTH ENDS 10 MIC BETA 200",
        Element(
            Kind.CARTRIDGE, "", 60, 120, End(EndForm.OPEN, 30), End(EndForm.OPEN, 30), medium=rated(10, 200)
        ),
    ),
    ('filter element 2.36" x 4.72"', Element(Kind.CARTRIDGE, "", 59.944, 119.888)),
    ("FILTERELEMENT 60,5X120", Element(Kind.CARTRIDGE, "", 60.5, 120)),
    ("Suction strainer 90 × 140 mm", Element(Kind.SUCTION_STRAINER, "", 90, 140)),
    # 2 3/8 in is 60.325 mm, 4 3/4 in 120.65, 1 1/4 in 31.75; 1.18 in is 29.972 mm (the exact inch).
    (
        "Filter cartridge 2-3/8 x 4-3/4 in open 1-1/4 one end",
        Element(Kind.CARTRIDGE, "", 60.325, 120.65, End(EndForm.OPEN, 31.75), End(EndForm.CLOSED)),
    ),
    ('FILTER ELEMENT 2,36 x 4,72" open 1.18', Element(Kind.CARTRIDGE, "", 59.944, 119.888, End(EndForm.OPEN, 29.972))),
    ('FILTER ELEMENT 2.36" x 4.72 open 1 1/4', Element(Kind.CARTRIDGE, "", 59.944, 119.888, End(EndForm.OPEN, 31.75))),
    ("FILTER ELEMENT 60X120 1/2 BSP", Element(Kind.CARTRIDGE, "", 60, 120, thread=thread_size("G 1/2"))),
    ("FILTER 60X120 IN-LINE", Element(Kind.IN_LINE, "", 60, 120)),
    ("HYD FILTER 3/4-16 UNF 93X142", Element(Kind.SPIN_ON, "", 93, 142, thread=thread_size("3/4-16"))),
]  # fmt: skip


@pytest.mark.parametrize(("text", "element"), READ)
def test_an_element_is_read_from_a_suppliers_text(text: str, element: Element) -> None:
    read = read_element(text)
    assert read is not None
    assert read.element._replace(od_mm=0, length_mm=0) == element._replace(od_mm=0, length_mm=0)
    assert (read.element.od_mm, read.element.length_mm) == pytest.approx((element.od_mm, element.length_mm))
    assert 0 < read.confidence < 1
    assert read.why


@pytest.mark.parametrize(
    "text",
    ["FILTER WRENCH 76X120", "FILTER HOUSING 60X120", "O-RING 60X3 FOR FILTER", "FILTER BAG", "BOLT 60X120", "",
     "FILTER ELEMENT 60X120 OPEN 70", "FILTER ELEMENT 1X2", "FILTER 9999X9999",
     "FILTER ELEMENT 60X120 OPEN 1.0", "FILTER ELEMENT 2-3/8 X 4-3/4 MM"],
)  # fmt: skip
def test_what_is_no_element_or_cannot_be_one_is_not_read(text: str) -> None:
    assert read_element(text) is None


def test_a_vague_text_is_read_with_less_confidence() -> None:
    said = {text: read_element(text) for text in ("CARTRIDGE 60X120", "FILTER 60X120", "AIR FILTER 200X100X50")}
    sure = [read.confidence for read in said.values() if read is not None]
    assert len(sure) == 3
    assert sure == sorted(sure, reverse=True)
    assert sure[0] > sure[1]


@example("0×0")
@settings(max_examples=150, deadline=None)
@given(st.text(alphabet='FILTERELM SPNOCAD0123456789.,X×"/-µΒ()MU\x00é', max_size=60))
def test_any_text_is_read_or_left_alone(text: str) -> None:
    read = read_element(f"FILTER {text}")
    assert read is None or 0 < read.confidence <= 1


# A return filter's housing: a 30.5 mm stub at the head, the element floats where it is too short.
CAN = Element(Kind.SPIN_ON, "", 93, 142, thread=thread_size("1-12"), gasket=Gasket(62, 71, 5))
CAN_HEAD = Housing(
    Kind.SPIN_ON, depth_mm=190, bore_mm=120, thread=thread_size("1-12"), gasket_land=GasketLand(60, 74, 0)
)
BOWL = Housing(
    Kind.CARTRIDGE, depth_mm=121, bore_mm=75, head=Seat(SeatForm.SPIGOT, 30.5), cover=Seat(SeatForm.NONE),
    outlet=Where.HEAD,
)  # fmt: skip
GOOD = Element(
    Kind.CARTRIDGE, "", 60, 120, End(EndForm.OPEN, 30, EndSeal.GROMMET), End(EndForm.CLOSED), medium=mesh(60)
)  # fmt: skip
LINES = (
    "E-1,FILTER ELEMENT 60X120 OPEN 30 ONE END,12.00,1",
    "E-2,FILTER ELEMENT 60X128 OPEN 30 ONE END,9.00,1",
    "E-3,FILTER CARTRIDGE 90X300,22.00,1",
    "E-4,FILTER BAG,2.00,1",
    "O-1,O-RING 60X3 NBR,0.40,1",
)


def fill(where: str) -> None:
    """A shop with two measured elements, one described only, one never measured; and a supplier's list."""
    workshop = open_workshop(where)
    with workshop.write() as session:
        drawer = bins.add(session, act(), code="F1").bin_id
        for name, element, spec_class, quantity in (
            ("Return can", CAN, "spin-on", 3),
            ("Tank cartridge", GOOD, "drop-in", 2),
            ("Short cartridge", GOOD._replace(length_mm=119.5), "drop-in", 0),
            ("Old strainer", None, "strainer 60 x 120 mm, 60 mesh", 1),
            ("Odd filter", None, "for the sprayer", 1),
        ):
            item = items.add(
                session, act(), kind=Sort.FILTER, name=name, spec_class=spec_class,
                figures=ItemFigures(element=element),
            )  # fmt: skip
            if quantity:
                shelf.receive(session, act(), item_id=item.item_id, bin_id=drawer, quantity=quantity)
        job = jobs.open_job(session, act(), title="Loader").job_id
        kits.add_need(session, act(), job, NeedSpec(Sort.FILTER, 2, spec_class="drop-in"))
        kits.allocate(session, act(), job)
    workshop.close()


def test_what_there_is_is_ranked_with_bins_short_and_supplier(where: str, tmp_path: Path) -> None:
    fill(where)
    workshop = open_workshop(where)
    supplier_id = lists.supplier(workshop)
    lists.take_over(workshop, supplier_id, lists.written(tmp_path / "list.csv", LINES))
    with workshop.read() as session:
        sought = describe("cartridge, 60 × 120, open 30 at one end")
        answer = elements.look(session, sought)
        names = [(one.offer.number or one.offer.name, one.overall, one.offer.free) for one in answer.ranked]
        # Both are promised to a job, so neither is free; measured ones fit, a reading fits with care at most.
        assert names == [
            ("Short cartridge", Grade.FITS, 0),
            ("Tank cartridge", Grade.FITS, 0),
            ("E-1", Grade.WITH_CARE, 0),
        ]
        assert answer.ranked[1].offer.lying == (elements.Lying("F1", 2, 0),)
        listed = answer.ranked[2].offer
        assert (listed.where, listed.supplier, listed.price_minor) == (Found.LIST, "Northfield Seals", 1200)
        assert listed.confidence == 0.8
        assert any("Read from its text, 80 % sure" in one.sentence for one in answer.ranked[2].table.criteria)
        assert answer.unmeasured == ("Odd filter",)
        assert not answer.cut
        everything = elements.look(session, sought, misses=True)
        # E-2 has no figure near 120 mm and E-3 none near 60 mm, so their texts were not even read.
        missed = {one.offer.number or one.offer.name for one in everything.ranked[3:]}
        assert missed == {"Return can", "Old strainer"}
        assert all(one.overall is Grade.DOES_NOT for one in everything.ranked[3:])
        assert everything.misses == len(everything.ranked) - 3

        # The housing's depth is 121 mm: what is read as 128 mm long does not go in, whatever the description says.
        fitting = elements.look(session, None, BOWL, misses=True)
        by_name = {one.offer.number or one.offer.name: one for one in fitting.ranked}
        assert by_name["E-2"].overall is Grade.DOES_NOT
        assert by_name["Return can"].overall is Grade.DOES_NOT
        assert by_name["Tank cartridge"].fitted is not None
        assert by_name["Tank cartridge"].overall is not Grade.DOES_NOT

        both = elements.look(session, sought, BOWL)
        assert {one.offer.number or one.offer.name for one in both.ranked} <= {
            "Tank cartridge",
            "Short cartridge",
            "E-1",
        }
        assert any(one.name == "length, sought" for one in both.ranked[0].table.criteria)
        assert [one.offer.name for one in elements.look(session, None, CAN_HEAD, lists=False).ranked] == ["Return can"]
        with pytest.raises(ValueError, match="Nothing to search by"):
            elements.look(session)
    workshop.close()


def test_a_withdrawn_row_is_no_offer(tmp_path: Path) -> None:
    workshop = open_workshop(tmp_path / "w.sqlite3")
    supplier_id = lists.supplier(workshop)
    lists.take_over(workshop, supplier_id, lists.written(tmp_path / "a.csv", LINES))
    lists.take_over(workshop, supplier_id, lists.written(tmp_path / "b.csv", LINES[1:]))
    with workshop.read() as session:
        numbers = {one.number for one in elements.gather(session).offers}
    workshop.close()
    assert numbers == {"E-2", "E-3"}
