"""What Buy sends to the database does not grow with what is short, substitutes included."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from catalog.orings.sizes import all_sizes
from models import jobs
from models.acts import Act
from models.database import Workshop
from models.inventory import bins
from models.kits import NeedSpec
from models.orders.booking import call_off
from models.orders.listing import OrderView
from models.orders.planning import Gathered, gather
from models.orders.receiving import Came, receive
from models.storage.check import check
from models.supplier_lists.read_fluid import claims_of, fluids_in, read_fluid
from models.undoing.undo import undo
from models.words import Kind
from tests.models.orders.buying import LITRE, ON, oil, ordered, short_job, supplier
from tests.models.shop import act
from tests.statements import counted

FEW, MANY, MOST = 5, 50, 40
COME_IN: Final = 51
"""What taking an order in may send: the order, its lots and bins, and a look on the shelf for its one job."""
FLUIDS: Final = ("UTTO", "ISO-L-HM", "API GL-4", "ACEA C2", "UTTO GEAR OF OUR OWN")
GRADES: Final = ("10W-30", "ISO VG 46", "ISO VG 68")


def specs(number: int) -> list[NeedSpec]:
    """Needs of every kind, no two alike, that nothing on the shelf meets."""
    sizes = [one for one in all_sizes() if one.key.startswith("as568:")]
    found = []
    for at in range(number):
        oil = NeedSpec(
            Kind.FLUID, title=f"oil {at}", spec_class=FLUIDS[at % len(FLUIDS)], spec_grade=GRADES[at % len(GRADES)],
            low_ul=LITRE + at, full_ul=LITRE + at,
        )  # fmt: skip
        size = sizes[at % len(sizes)].key
        found += [oil, NeedSpec(Kind.RING, 2 + at, title=size, size_key=size, rubbers=["NBR"])]
        found += [
            NeedSpec(kind, 1 + at, title=f"{kind} {at}", spec_class=f"{kind} of make {at}")
            for kind in (Kind.FILTER, Kind.FASTENER, Kind.SEALANT, Kind.CONSUMABLE)
        ]
    return found


def sent_and_found(workshop: Workshop, job_id: int) -> tuple[int, Gathered]:
    """How many statements Buy sends for a job, and what it gathers."""
    with workshop.read() as session, counted(session) as sent:
        gathered = gather(session, ON, job_ids=[job_id])
    return len(sent), gathered


def test_buy_sends_as_much_for_fifty_needs_of_each_kind_as_for_five(workshop: Workshop, tmp_path: Path) -> None:
    rings = [f"R{at},O-RING {one.label} NBR 70,0.50,1" for at, one in enumerate(all_sizes()[:40])]
    oils = [f"U{at},Tractor fluid UTTO {grade},60.00,5 gal" for at, grade in enumerate(GRADES)]
    others = [f"F{at},Fastener of make {at},0.40,1" for at in range(MANY)]
    supplier(workshop, tmp_path, [*rings, *oils, *others, "O1,UTTO gear of our own 10W-30,9.00,20 L"])
    with workshop.write() as session:
        few, many = (short_job(session, *specs(number), title=f"{number}") for number in (FEW, MANY))
    sent_few, _ = sent_and_found(workshop, few)
    sent_many, gathered = sent_and_found(workshop, many)
    assert sent_few == sent_many <= MOST
    numbers = {one.row.number for one in gathered.rows}
    assert {"U0", "O1", "F0", "F49"} <= numbers
    assert len(gathered.shorts) == 6 * MANY


def test_a_fluid_is_found_by_its_class_by_a_substitute_and_by_words_that_stand_apart(
    workshop: Workshop, tmp_path: Path
) -> None:
    supplier(
        workshop,
        tmp_path,
        [
            "A,Hydraulic oil ISO-L-HM ISO VG 46,60.00,20 L",
            "B,Hydraulic oil ISO-L-HV ISO VG 46,70.00,20 L",
            "C,Fluid of type A for ATF,50.00,20 L",
            "D,Brake fluid DOT 4,5.00,1 L",
        ],
    )
    hm = NeedSpec(
        Kind.FLUID, title="hydraulics", spec_class="ISO-L-HM", spec_grade="ISO VG 46", low_ul=LITRE, full_ul=LITRE
    )
    atf = NeedSpec(Kind.FLUID, title="gearbox", spec_class="ATF Type A", low_ul=LITRE, full_ul=LITRE)
    with workshop.write() as session:
        short_job(session, hm, atf)
    with workshop.read() as session:
        gathered = gather(session, ON)
    serves = {one.row.number: [each.key.split("|")[4] for each in one.serves] for one in gathered.rows}
    assert serves == {"A": ["ISO-L-HM"], "B": ["ISO-L-HM"], "C": ["ATF Type A"]}
    (instead,) = (one for one in gathered.rows if one.row.number == "B")
    assert "read as ISO-L-HV ISO VG 46 in the list's text" in instead.doubt


@pytest.mark.parametrize(
    ("text", "claims"),
    [
        ("Tractor fluid UTTO 10W-30, 20 l", ("UTTO", "10W-30")),
        ("GL4 gear oil 80W90", ("API GL-4", "80W90")),
        ("O-RING AS568-214 HNBR 70", None),
        ("Engine oil 15W-40", None),
        ("", None),
    ],
)
def test_what_a_text_names_is_kept_as_its_classes_and_grade(text: str, claims: tuple[str, ...] | None) -> None:
    kept = fluids_in(text)
    assert kept == read_fluid(text).kept, "the quick look misses nothing"
    assert (None if kept is None else claims_of(kept)) == claims


def came_of(workshop: Workshop, number: int, given: Act) -> tuple[int, int, OrderView]:
    """What receiving an order of so many lines sends, each with the day of its cure; what its undo sends."""
    sizes = [one.key for one in all_sizes() if one.key.startswith("as568:")][number : 2 * number]
    with workshop.write() as session:
        specs = [NeedSpec(Kind.RING, 2, title=size, size_key=size, rubbers=["NBR"]) for size in sizes]
        short_job(session, *specs, title=f"{number}")
    order = ordered(workshop)
    assert len(order.lines) == number
    assert all(line.ages for line in order.lines), "NBR has a shelf life"
    cured = [Came(line.line_id, line.waits, f"Bin {at}", cured_on=ON) for at, line in enumerate(order.lines)]
    with workshop.write() as session, counted(session) as sent:
        receive(session, given, order.order_id, cured)
    with workshop.write() as session, counted(session) as back:
        undo(session, act(), given.key)
    return len(sent), len(back), order


def test_an_order_of_fifty_lines_is_received_by_as_many_statements_as_one_of_five(
    workshop: Workshop, tmp_path: Path
) -> None:
    sizes = [one for one in all_sizes() if one.key.startswith("as568:")]
    supplier(workshop, tmp_path, [f"R{at},O-RING {one.label} NBR 70,0.50,1" for at, one in enumerate(sizes)])
    with workshop.write() as session:
        for at in range(MANY):
            bins.add(session, act(), code=f"Bin {at}")
    few = came_of(workshop, FEW, act(key="few"))
    with workshop.write() as session:
        call_off(session, act(), few[2].order_id)
        for job in jobs.listed(session):
            jobs.close(session, act(), job.job_id)
    many = came_of(workshop, MANY, act(key="many"))
    assert few[:2] == many[:2]
    assert max(many[:2]) <= COME_IN
    with workshop.read() as session:
        assert check(session).findings == ()


def test_rows_that_read_alike_but_name_the_class_in_words_apart_are_judged_apart(
    workshop: Workshop, tmp_path: Path
) -> None:
    """Both are read as UTTO; only the first says, in words that stand apart, that it is HST oil as well."""
    supplier(workshop, tmp_path, ["A1,HST UTTO oil,60.00,20 L", "B1,Tractor fluid UTTO,61.00,20 L"])
    with workshop.write() as session:
        job_id = short_job(session, oil(spec_class="HST oil", grade=""))
    _, gathered = sent_and_found(workshop, job_id)
    (line,) = gathered.lines
    said = {one.row.number: one.what.spec_class for one in gathered.rows}
    cautions = {one.row.number: serves.caution for one in gathered.rows for serves in one.serves}
    assert said == {"A1": "HST oil", "B1": "UTTO"}
    assert line.key == gathered.rows[0].serves[0].key
    assert "UTTO" in cautions["B1"].split("; read as")[0]
    assert cautions["A1"].startswith("read as")
