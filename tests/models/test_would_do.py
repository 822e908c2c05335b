"""A need carries the decision: other rings that would do are taken where the size lacks, and never silently."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import Session, col, select

from catalog.orings.would_do import WouldDo
from models import jobs, kits, shelf, templates
from models.database import Workshop
from models.errors import InvalidInputError
from models.fits.fitted import used
from models.kits import NeedSpec, NeedView
from models.kitting import kit_offers
from models.orders.planning import gather, work_out
from models.storage.check import check
from models.tables import NeedSize
from models.undoing.undo import undo
from models.words import Kind, LineState, Others
from tests.models.orders.buying import ON, short_job, supplier
from tests.models.shop import INLET, act, job, ring, ring_spec
from tests.models.test_qualify import GROOVE

P25 = WouldDo("jis:P25", 0.865, "goes where AS568-214 or JIS P25 was")
P24 = WouldDo("jis:P24", 0.78, "goes where AS568-214 was; not where JIS P25 was")
"""Beside AS568-214 at 87 %: one that is as sure to a point, and one that is not."""


def spec(*others: WouldDo, rubbers: Sequence[str] = ("NBR",), **said: Any) -> NeedSpec:
    """AS568-214, measured, and what else would do."""
    return ring_spec("as568:214", rubbers, seals=0.87, would_do=others or (P24, P25), evidence=INLET, **said)


def accepted(session: Session, need: NeedSpec, *, key: str | None = None) -> NeedView:
    """The need on a job of its own, looked for on the shelf."""
    return kits.accept_match(session, act(key=key), job(session), need)


def taken(need: NeedView) -> list[tuple[str, int, str]]:
    """The bins of a need's lines, how many from there, and why."""
    return [(line.bin_code, line.quantity, line.reason) for line in need.lines if line.state is LineState.HAVE]


def test_one_that_seals_as_surely_is_taken_where_the_size_lacks_and_the_line_says_so(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 9, size_key="jis:P24", bin_code="A0")
        ring(session, 5, size_key="jis:P25", bin_code="Box 4")
        need = accepted(session, spec(pieces=2))
        assert need.would_do == (P25, P24), "best first"
        assert (need.seals, need.others, need.missing) == (0.87, Others.WOULD_DO, 0)
        assert taken(need) == [("Box 4", 2, "JIS P25 in place of AS568-214: seals whichever it was, 86 %")]
        assert [line.in_place for line in need.lines] == [True]
        assert check(session).ok


def test_the_size_itself_first_then_the_equal_then_the_less_sure_with_its_reason(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 9, size_key="jis:P24", bin_code="A0")
        ring(session, 1, size_key="jis:P25", bin_code="A1")
        ring(session, 1, bin_code="Z9")
        need = accepted(session, spec(pieces=4))
    assert sorted(taken(need)) == [
        ("A0", 2, "JIS P24 in place of AS568-214: goes where AS568-214 was; not where JIS P25 was, 78 %"),
        ("A1", 1, "JIS P25 in place of AS568-214: seals whichever it was, 86 %"),
        ("Z9", 1, ""),
    ]


def test_a_preferred_rubber_in_an_equal_ring_goes_before_the_size_in_another(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 5, rubber="NBR", bin_code="A1")
        ring(session, 5, rubber="HNBR", size_key="jis:P25", bin_code="A2")
        ring(session, 5, rubber="HNBR", size_key="jis:P24", bin_code="A3")
        ring(session, 5, rubber="EPDM", size_key="jis:P25", bin_code="A0")
        need = accepted(session, spec(rubbers=("HNBR", "NBR")))
        assert [bin_code for bin_code, _, _ in taken(need)] == ["A2"]
        offered = kits.offers(session, need.need_id, on=ON)
    assert [one.bin_code for one in offered] == ["A2", "A1", "A3", "A0"]
    assert offered[-1].refused == "EPDM is not among HNBR, NBR"


def test_another_name_of_one_that_would_do_serves_too(workshop: Workshop) -> None:
    # 25 × 3.55 and AS568-214 are one ring by two names.
    other = WouldDo("metric:25x3.55", 0.86, "")
    with workshop.write() as session:
        ring(session, 3, bin_code="B1")
        need = accepted(session, ring_spec("jis:P25", ["NBR"], seals=0.865, would_do=[other]))
    assert taken(need) == [("B1", 1, "AS568-214 in place of JIS P25: seals whichever it was, 86 %")]


def test_a_need_may_forbid_every_other_ring(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 9, size_key="jis:P25", bin_code="A0")
        need = accepted(session, spec(others=Others.NEVER))
        assert (need.missing, need.others, need.would_do) == (1, Others.NEVER, (P25, P24))
        assert need.lines[0].reason == "No AS568-214 or 25 × 3.55 on the shelf."
        in_a_groove = accepted(session, spec(others=Others.NEVER, groove=GROOVE))
        assert in_a_groove.missing == 1
        refused = [one.refused for one in kits.offers(session, in_a_groove.need_id, on=ON)]
        assert refused == ["JIS P25, where AS568-214 was asked for: no other ring may go in there"]
        ring(session, 1, size_key="metric:25x3.55", bin_code="A7")
        again = kits.allocate(session, act(), need.job_id).needs[0]
    assert [line.bin_code for line in again.lines] == ["A7"], "another name of it is no other ring"


def test_where_the_groove_was_measured_it_decides(workshop: Workshop) -> None:
    with workshop.write() as session:
        # A ring of twice the section never goes into that groove, whatever was said of it.
        ring(session, 9, size_key="as568:325", bin_code="A0")
        ring(session, 9, size_key="jis:P25", bin_code="A1")
        need = accepted(session, spec(P25, WouldDo("as568:325", 0.87, ""), groove=GROOVE))
    assert [bin_code for bin_code, _, _ in taken(need)] == ["A1"]
    assert "it seals in this groove, squeeze" in need.lines[0].reason


def test_nothing_on_the_shelf_names_what_else_would_do(workshop: Workshop) -> None:
    with workshop.write() as session:
        need = accepted(session, spec())
        ring(session, 1, size_key="jis:P25", bin_code="A1", rubber="FKM")
        later = kits.allocate(session, act(), need.job_id).needs[0]
    said = "No AS568-214 or 25 × 3.55 on the shelf, nor another that would do (JIS P25, JIS P24)."
    assert need.lines[0].reason == said
    assert "FKM is not among NBR" in later.lines[0].reason


def test_undo_of_the_acceptance_takes_all_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5, size_key="jis:P25", bin_code="Box 4")
        need = accepted(session, spec(pieces=2), key="taken")
        assert shelf.stock_row(session, row.stock_id).free == 3
        undo(session, act(), "taken")
        assert shelf.stock_row(session, row.stock_id).free == 5
        assert kits.view(session, need.job_id).needs == ()
        assert check(session).ok


def test_a_template_keeps_the_size_and_drops_what_one_old_ring_said(workshop: Workshop) -> None:
    with workshop.write() as session:
        accepted_one = accepted(session, spec(others=Others.NEVER, title="inlet ring"))
        kept = templates.add(session, act(), "Pump", templates.from_job(session, accepted_one.job_id))
        (need,) = kept.needs
        assert (need.spec.size_key, need.spec.would_do, need.spec.seals) == ("as568:214", (), None)
        assert need.spec.others is Others.NEVER, "that belongs to the place"
        typed = templates.edit(session, act(), kept.template_id, [templates.TemplateNeedRow(spec())])
        assert (typed.needs[0].spec.would_do, typed.needs[0].spec.seals) == ((), None)
        opened = templates.open_job(session, act(), kept.template_id)
        (again,) = kits.view(session, opened.job_id).needs
        assert (again.would_do, again.seals) == ((), None)


def test_what_can_not_be_is_refused_in_words(workshop: Workshop) -> None:
    wrong = {
        "come with the chance of the ring itself": ring_spec("as568:214", would_do=[P25]),
        "A probability of 1.2 is none": spec(WouldDo("jis:P25", 1.2, "")),
        "JIS B 2401 has no size “P25X”": spec(WouldDo("jis:P25X", 0.8, "")),
        "A sealant has no ring size": NeedSpec(Kind.SEALANT, spec_class="paste", others=Others.NEVER),
    }
    for said, need in wrong.items():
        with pytest.raises(InvalidInputError, match=said), workshop.write() as session:
            accepted(session, need)


def test_its_own_names_are_no_others(workshop: Workshop) -> None:
    own = (WouldDo("as568:214", 0.87, ""), WouldDo("metric:25x3.55", 0.86, ""), P25)
    with workshop.write() as session:
        need = accepted(session, spec(*own, equivalents=["metric:25x3.55"]))
        assert (need.would_do, need.equivalents) == ((P25,), ("metric:25x3.55",))
        assert check(session).ok


def test_check_finds_a_further_size_that_can_not_be(workshop: Workshop) -> None:
    with workshop.write() as session:
        need = accepted(session, spec(title="inlet ring"))
        row = session.exec(select(NeedSize).where(col(NeedSize.size_key) == "jis:P24")).one()
        row.size_key = "as568:214"
        session.add(row)
        session.flush()
        found = [(one.where, one.what) for one in check(session).findings]
    assert found == [(f"need {need.need_id} “inlet ring”", "holds as568:214 as a further size, which it can't")]


def test_readings_stay_with_the_ring_that_was_measured(workshop: Workshop) -> None:
    """What goes on record for another ring doesn't claim that its readings were of that ring."""
    from models import machines
    from models.fits import fitted

    with workshop.write() as session:
        ring(session, 2, size_key="jis:P25", bin_code="Box 4")
        machine = machines.add(session, act(), name="Pump").machine_id
        place = machines.add_position(session, act(), machine_id=machine, name="inlet", takes=Kind.RING).position_id
        job_id = jobs.open_job(session, act(), title="Pump leaks", machine_id=machine).job_id
        need = kits.accept_match(session, act(), job_id, spec(position_id=place))
        kits.pick(session, act(), [need.lines[0].line_id or 0])
        assert [one.ring.size_key for one in used(session, job_id).waiting] == ["jis:P25"]
        (record,) = fitted.note(session, act(), job_id)
    assert (record.size_key, record.readings) == ("jis:P25", ())


LISTED = ("P,O-RING JIS P25 NBR 70,0.40,1", "Q,O-RING JIS P24 NBR 70,0.10,1", "A,O-RING AS568-214 NBR 70,0.50,1")


def bought(workshop: Workshop, folder: Path, *lines: str) -> dict[str, str]:
    """The numbers that the cheapest plan takes, each with what to mind."""
    supplier(workshop, folder, lines)
    with workshop.write() as session:
        short_job(session, spec(pieces=3))
    with workshop.read() as session:
        gathered = gather(session, ON)
    (order,) = work_out(gathered).orders
    return {line.offer.row.number: line.shares[0].caution for line in order.lines}


def test_the_plan_takes_an_equal_ring_by_price_and_tells_it(workshop: Workshop, tmp_path: Path) -> None:
    (number, caution), *more = bought(workshop, tmp_path, *LISTED).items()
    assert (number, more) == ("P", []), "the cheapest of the equal ones; what seals less surely is not bought by price"
    assert caution.startswith("JIS P25 in place of AS568-214: seals whichever it was, 86 %")


def test_the_plan_takes_a_less_sure_ring_only_where_nothing_better_is_listed(
    workshop: Workshop, tmp_path: Path
) -> None:
    ((number, caution),) = bought(workshop, tmp_path, LISTED[1]).items()
    assert number == "Q"
    assert caution.startswith("JIS P24 in place of AS568-214: goes where AS568-214 was; not where JIS P25 was, 78 %")


def test_what_could_fill_a_need_lists_all_that_would_do(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, LISTED)
    with workshop.write() as session:
        need = accepted(session, spec())
    with workshop.read() as session:
        found = kit_offers.look(session, need.need_id, ON)
    assert {one.number for one in found.lists} == {"A", "P", "Q"}
    assert all("in place of AS568-214" in one.because for one in found.lists if one.number != "A")
