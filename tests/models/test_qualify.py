"""Judgements decide what on the shelf serves a need; what does not is named with its reason."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from sqlmodel import Session

from catalog.filters.element import NO_BYPASS, Element, Gasket, thread_size
from catalog.filters.element import Kind as Sort
from catalog.filters.housing import BypassPlace, Duty, GasketLand, Housing
from catalog.filters.housing import Position as Sits
from catalog.filters.media import rated
from catalog.orings.groove import Groove, piston
from catalog.orings.span import between, span
from models import jobs, kits, machines, shelf
from models.database import Workshop
from models.errors import InvalidInputError
from models.fits import fit_records
from models.inventory import bins, item_figures, items
from models.inventory.item_figures import ItemFigures
from models.inventory.items import NewItem
from models.kits import NeedSpec
from models.kitting.kit_view import LineView, NeedView
from models.words import Kind, LineState
from tests.models.shop import NOON, act, job, ring, ring_spec

LITRE = 1_000_000

# A bore of 31 mm over a groove root of 25.3 mm, 4.8 mm wide. By hand: depth (31.0 − 25.3) / 2 = 2.85 mm, so a width of
# 3.53 mm is squeezed by about 19 % before stretch takes some; 5.33 mm (AS568-314) by 47 %, 2.62 mm (-115) not at all.
GROOVE: Groove = piston(span(25.3, 0.05), between(4.7, 4.9), bore=span(31.0, 0.05))


def _stock(session: Session, new: NewItem, quantity: int, bin_code: str = "A1") -> int:
    item = items.add_many(session, act(), [new])[0]
    place = next((one for one in bins.page(session) if one.code == bin_code), None) or bins.add(
        session, act(), code=bin_code
    )
    return shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=quantity).stock_id


def _fluid(name: str, spec_class: str, grade: str = "", claims: tuple[str, ...] = ()) -> NewItem:
    return NewItem(Kind.FLUID, name, spec_class=spec_class, spec_grade=grade, figures=ItemFigures(claims))


def _need(session: Session, spec: NeedSpec, due_on: date | None = None) -> NeedView:
    number = jobs.open_job(session, act(), title=f"for {spec.title or spec.kind}", due_on=due_on).job_id
    kits.add_need(session, act(), number, spec)
    return kits.allocate(session, act(), number).needs[0]


def _have(need: NeedView) -> list[LineView]:
    return [line for line in need.lines if line.state is LineState.HAVE]


def _short(need: NeedView) -> str:
    return next(line.reason for line in need.lines if line.state is LineState.SHORT)


def test_the_same_ring_is_found_by_another_standards_name_without_being_told(workshop: Workshop) -> None:
    # AS568-214 is 24.99 × 3.53 mm, 25 × 3.55 of ISO 3601-1:1988 lies within its tolerances (both as published).
    with workshop.write() as session:
        ring(session, 3, size_key="metric:25x3.55")
        need = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"]))
    (line,) = need.lines
    assert line.state is LineState.HAVE
    assert "same ring by another name" in line.reason


def test_another_size_serves_only_where_the_groove_is_known_and_says_why(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 3, size_key="jis:P25")
        ring(session, 3, size_key="as568:314")
        ring(session, 3, size_key="as568:213")
        blind = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"]))
        seen = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], groove=GROOVE))
    assert _have(blind) == []
    (line,) = _have(seen)
    assert "P25" in line.item_name
    assert line.reason.startswith("JIS P25, where AS568-214 was asked for: it seals in this groove, squeeze")
    assert seen.groove == GROOVE


def test_a_marginal_look_alike_is_named_and_not_taken(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 3, size_key="as568:213")
        need = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], groove=GROOVE))
    assert _have(need) == []
    assert "AS568-213, where AS568-214 was asked for, is only marginal in this groove: Stretch is" in _short(need)


def test_a_ring_asked_for_that_will_not_seal_in_the_groove_is_refused(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 3, size_key="as568:115")
        need = kits.accept_match(session, act(), job(session), ring_spec("as568:115", ["NBR"], groove=GROOVE))
    assert _have(need) == []
    assert "AS568-115 will not seal in this groove: Squeeze is -39.6" in _short(need)


def test_a_ring_as_fitted_follows_the_fit_record(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 3)
        ring(session, 3, size_key="as568:222", rubber="HNBR", bin_code="B2")
        press = machines.add(session, act(), name="Shop press")
        ram = machines.add_position(session, act(), machine_id=press.machine_id, name="ram ring").position_id
        number = jobs.open_job(session, act(), title="Ram drips", machine_id=press.machine_id).job_id
        spec = NeedSpec(Kind.RING, size_key="fit:record", position_id=ram, title="ram ring")
        first = kits.add_need(session, act(), number, spec)
        assert (first.size_key, first.as_fitted) == (None, True)
        unknown = kits.allocate(session, act(), number).needs[0]
        assert "No fit record at this position" in _short(unknown)
        fit_records.record(session, act(), ram, "as568:222", rubber="HNBR", groove=GROOVE)
        found = kits.allocate(session, act(), number).needs[0]
    assert (found.size_key, found.rubbers, found.groove) == ("as568:222", ("HNBR",), GROOVE)
    # The groove on record is not the one of a -222: that is said rather than the ring taken.
    assert "will not seal" in _short(found)
    with pytest.raises(InvalidInputError, match="needs the position"), workshop.write() as session:
        kits.add_need(session, act(), job(session), NeedSpec(Kind.RING, size_key="fit:record"))


def test_rubber_is_as_old_as_its_cure_and_the_standard_says(workshop: Workshop) -> None:
    # ISO 2230: NBR is group B, 7 years as first packed (S201 in catalog/data/elastomers/SOURCES.md).
    cured = date(2019, 3, 1)
    with workshop.write() as session:
        row = ring(session, 1, lot="L1")
        old = shelf.receive(
            session, act(), item_id=row.item_id, bin_id=row.bin_id, quantity=5, lot_code="L0", cured_on=cured
        )
        assert old.expires_on == date(2026, 3, 1)
        need = _need(session, NeedSpec(Kind.RING, 3, size_key="as568:214", rubbers=("NBR",)))
    assert [line.lot.code for line in _have(need)] == ["L1"]
    assert "lot L0 expired on 2026-03-01" in _short(need)
    with pytest.raises(InvalidInputError, match="lies ahead"), workshop.write() as session:
        shelf.receive(
            session, act(), item_id=row.item_id, bin_id=row.bin_id, quantity=1, cured_on=NOON.date() + timedelta(days=1)
        )


def test_rings_without_a_lot_are_no_younger_than_the_day_they_came(workshop: Workshop) -> None:
    with workshop.write() as session:
        item = items.add(session, act(), kind=Kind.RING, name="old stock", size_key="as568:214", rubber="NBR")
        place = bins.add(session, act(), code="Z")
        then = NOON.replace(year=2001)
        shelf.receive(session, act(at=then), item_id=item.item_id, bin_id=place.bin_id, quantity=5)
        need = _need(session, NeedSpec(Kind.RING, size_key="as568:214", rubbers=("NBR",)))
        assert _have(need) == []
        assert "nothing came in since 2001-03-02" in _short(need)
        # A fresh delivery into the same bin: now nobody can tell, and it is offered.
        shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=5)
        assert _have(_need(session, NeedSpec(Kind.RING, size_key="as568:214", rubbers=("NBR",))))


def test_what_expires_soon_is_offered_with_a_word_and_not_past_the_jobs_day(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 1, lot="soon", expires_on=date(2026, 3, 20), bin_code="A1")
        ring(session, 1, lot="late", expires_on=date(2040, 1, 1), bin_code="B1")
        ring(session, 1, lot="first", expires_on=date(2026, 3, 5), bin_code="C1")
        spec = NeedSpec(Kind.RING, 3, size_key="as568:214", rubbers=("NBR",))
        need = _need(session, spec, due_on=date(2026, 3, 9))
    # Promised in this order: good past the job's day and oldest first, then the rest. Lines are shown by bin.
    said = {line.lot.code: (line.line_id, line.reason) for line in _have(need)}
    assert sorted(said, key=lambda lot: said[lot][0] or 0) == ["soon", "late", "first"]
    assert said["soon"][1] == "lot soon expires soon, on 2026-03-20"
    assert said["late"][1] == ""
    assert said["first"][1] == "lot first expires on 2026-03-05, before the job's day 2026-03-09"


def test_fluids_are_judged_by_what_they_claim(workshop: Workshop) -> None:
    # API: CK-4 may be used where CJ-4 is asked (API 1509, Annex on backward compatibility; `stand_in` holds the rule).
    with workshop.write() as session:
        _stock(session, _fluid("CK-4 oil", "API CK-4", "15W-40"), 9 * LITRE, "A1")
        _stock(session, _fluid("Tractor oil", "STOU", "10W-30"), 9 * LITRE, "B1")
        _stock(session, _fluid("Thick tractor oil", "STOU", "10W-40"), 9 * LITRE, "C1")
        _stock(session, _fluid("Bare oil", ""), 9 * LITRE, "D1")
        engine = _need(
            session,
            NeedSpec(Kind.FLUID, spec_class="API CJ-4", spec_grade="15W-40", low_ul=LITRE, full_ul=2 * LITRE),
        )
        gears = _need(
            session, NeedSpec(Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=18 * LITRE, full_ul=20 * LITRE)
        )
        offered = kits.offers(session, gears.need_id, on=NOON.date())
    (upgrade,) = _have(engine)
    assert upgrade.item_name == "CK-4 oil"
    assert upgrade.reason.startswith("Yes: API CK-4 may be used where API CJ-4 is asked; fuel sulfur above 15 ppm")
    (care,) = _have(gears)
    assert (care.item_name, care.quantity) == ("Tractor oil", 9 * LITRE)
    assert "With care: STOU may be used where UTTO is asked; only where the manual allows" in care.reason
    tried = _short(gears)
    assert "SAE 10W-40 is thicker than SAE 10W-30 when hot" in tried
    assert tried.endswith("and 1 more.")
    assert "it states neither class nor grade: find out before it is used" in [one.refused for one in offered]


def test_what_was_asked_comes_before_what_stands_in(workshop: Workshop) -> None:
    with workshop.write() as session:
        _stock(session, _fluid("A stand-in", "API CK-4", "15W-40"), 9 * LITRE, "A1")
        _stock(session, _fluid("Itself", "API CJ-4", "15W-40"), LITRE, "Z1")
        need = _need(
            session,
            NeedSpec(Kind.FLUID, spec_class="api cj-4", spec_grade="SAE 15W-40", low_ul=LITRE, full_ul=2 * LITRE),
        )
    by_line = sorted(_have(need), key=lambda line: line.line_id or 0)
    assert [(line.item_name, bool(line.reason)) for line in by_line] == [("Itself", False), ("A stand-in", True)]


def test_further_classes_must_all_be_met_by_further_claims(workshop: Workshop) -> None:
    spec = NeedSpec(
        Kind.FLUID, spec_class="HM", spec_grade="ISO VG 46", low_ul=LITRE, full_ul=LITRE, asks=("house rule 7",)
    )
    with workshop.write() as session:
        stock_id = _stock(session, _fluid("Hydraulic oil", "HM", "ISO VG 46"), 9 * LITRE)
        assert _have(_need(session, spec)) == []
        item_id = shelf.stock_row(session, stock_id).item_id
        item_figures.set_claims(session, act(), item_id, ["House Rule 7", "House Rule 7"])
        assert item_figures.of(session, [item_id])[item_id].claims == ("House Rule 7",)
        need = _need(session, spec)
    assert need.asks == ("house rule 7",)
    assert [line.reason for line in _have(need)] == [""]


HEAD = Housing(
    Sort.SPIN_ON,
    depth_mm=200,
    bore_mm=120,
    thread=thread_size("3/4-16"),
    gasket_land=GasketLand(60, 74, 0.0),
    medium=rated(10, 200),
    bypass=BypassPlace.HOUSING,
    bypass_opens_bar=1.7,
    position=Sits.HANGING,
    duty=Duty.RETURN,
    max_differential_bar=2,
    flow_l_min=60,
)
CAN = Element(
    Sort.SPIN_ON,
    od_mm=93,
    length_mm=142,
    thread=thread_size("3/4-16"),
    gasket=Gasket(62, 71, 5),
    medium=rated(10, 200),
    bypass=NO_BYPASS,
    anti_drain_back=False,
    collapse_bar=10,
    flow_l_min=90,
)


def test_elements_are_judged_in_the_housing_and_the_unknown_never_fits(workshop: Workshop) -> None:
    def can(name: str, element: Element | None) -> NewItem:
        return NewItem(Kind.FILTER, name, spec_class="spin-on", figures=ItemFigures(element=element))

    spec = NeedSpec(Kind.FILTER, spec_class="return element", housing=HEAD, title="return element")
    with workshop.write() as session:
        _stock(session, can("never measured", None), 5, "A1")
        _stock(session, can("wrong thread", CAN._replace(thread=thread_size("M20x1.5"))), 5, "B1")
        _stock(session, can("gasket unknown", CAN._replace(gasket=Gasket())), 5, "C1")
        nothing = _need(session, spec)
        _stock(session, can("coarser", CAN._replace(medium=rated(20, 200))), 5, "D1")
        care = _need(session, spec)
        good = _stock(session, can("the one", CAN), 5, "E1")
        best = _need(session, spec)
        item_id = shelf.stock_row(session, good).item_id
        assert item_figures.of(session, [item_id])[item_id].element == CAN
    assert _have(nothing) == []
    tried = _short(nothing)
    assert "never measured in A1: it was never measured, so its fit is not known" in tried
    assert "M20x1.5 on 3/4-16 UNF" in tried
    assert "not known to fit. Measure this before you trust it" in tried
    assert [(line.item_name, "coarser" in line.reason) for line in _have(care)] == [("coarser", True)]
    assert [(line.item_name, line.reason) for line in _have(best)] == [("the one", "")]


def test_a_positions_housing_judges_its_filters_and_words_alone_say_so(workshop: Workshop) -> None:
    with workshop.write() as session:
        _stock(session, NewItem(Kind.FILTER, "by words", spec_class="spin-on"), 5)
        words = _need(session, NeedSpec(Kind.FILTER, spec_class="Spin-On"))
        press = machines.add(session, act(), name="Shop press")
        head = machines.add_position(session, act(), machine_id=press.machine_id, name="head", takes=Kind.FILTER)
        assert machines.housing_at(session, head.position_id) is None
        assert machines.set_housing(session, act(), head.position_id, HEAD) == HEAD
        measured = _need(session, NeedSpec(Kind.FILTER, spec_class="spin-on", position_id=head.position_id))
    assert [line.reason for line in _have(words)] == [
        "chosen by its description: no housing was measured to judge it in"
    ]
    assert "never measured" in _short(measured)


def test_sealants_by_resistance_and_cure(workshop: Workshop) -> None:
    def tube(name: str, spec_class: str, hours: int, resists: tuple[str, ...]) -> NewItem:
        return NewItem(Kind.SEALANT, name, spec_class=spec_class, cure_minutes=hours * 60, figures=ItemFigures(resists))

    spec = NeedSpec(
        Kind.SEALANT, 2, spec_class="flange sealant", cure_minutes_at_most=24 * 60, asks=("oil",), title="sealant"
    )
    with workshop.write() as session:
        _stock(session, tube("slow", "flange sealant", 48, ("oil",)), 5, "A1")
        _stock(session, tube("water only", "flange sealant", 12, ("water",)), 5, "B1")
        _stock(session, tube("paste", "anaerobic paste", 6, ("Oil", "fuel")), 1, "C1")
        _stock(session, tube("right", "flange sealant", 12, ("oil", "water")), 1, "D1")
        need = _need(session, spec)
        refused = [one.refused for one in kits.offers(session, need.need_id, on=NOON.date())]
    by_line = sorted(_have(need), key=lambda line: line.line_id or 0)
    assert [(line.item_name, line.reason, line.cure_minutes) for line in by_line] == [
        ("right", "", 720),
        ("paste", "anaerobic paste instead of flange sealant: it resists oil", 360),
    ]
    assert refused == ["", "", "cure 48 h, at most 24 h asked for", "not known to resist oil"]


@pytest.mark.parametrize(
    "spec",
    [
        NeedSpec(Kind.FLUID, spec_class="HM", low_ul=1, full_ul=2, groove=GROOVE),
        NeedSpec(Kind.RING, size_key="as568:214", housing=HEAD),
        NeedSpec(Kind.RING, size_key="as568:214", asks=("oil",)),
    ],
)
def test_what_belongs_to_another_kind_is_refused(workshop: Workshop, spec: NeedSpec) -> None:
    with pytest.raises(InvalidInputError), workshop.write() as session:
        kits.add_need(session, act(), job(session), spec)


@pytest.mark.parametrize(
    "new",
    [
        NewItem(Kind.CONSUMABLE, "rags", figures=ItemFigures(("oil",))),
        NewItem(Kind.FLUID, "oil", figures=ItemFigures(element=CAN)),
        NewItem(Kind.FLUID, "oil", figures=ItemFigures(container=0)),
        NewItem(Kind.FLUID, "oil", figures=ItemFigures(tuple(f"class {n}" for n in range(61)))),
    ],
)
def test_figures_an_item_can_not_have_are_refused(workshop: Workshop, new: NewItem) -> None:
    with pytest.raises(InvalidInputError), workshop.write() as session:
        items.add_many(session, act(), [new])
