"""A shop's own stand-in rules: said, listed, withdrawn, undone, shared as CSV, used where a kit looks for fluids."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import RuleKind
from catalog.fluids.shop_rules import ShopBook, ShopClass, ShopRule, read_shop_book
from catalog.fluids.stand_in import may_use
from models import fluid_rules, jobs, kits, shelf
from models.database import Workshop, open_workshop
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError, NotFoundError
from models.inventory import bins, items
from models.kits import NeedSpec
from models.orders.planning import gather, work_out
from models.storage.check import check
from models.undoing.undo import undo
from models.words import Kind
from tests.models.orders.buying import ON, oil, short_job, supplier
from tests.models.shop import act

LITRE = 1_000_000


def test_a_rule_is_said_listed_used_withdrawn_and_undone(where: str) -> None:
    workshop = open_workshop(where)
    with workshop.write() as session:
        first = act("tess")
        rule = fluid_rules.add(
            session, first, required="utto", offered="orchard blend", kind="allowed", condition="sprayers only"
        )
        # The same key does it once only.
        assert fluid_rules.add(session, first, required="utto", offered="orchard blend", kind="allowed") == rule
        own = fluid_rules.add_class(session, act(), "orchard blend", "what the co-op mixes for its sprayers")
    with workshop.read() as session:
        assert [one.said for one in fluid_rules.listed(session)] == [
            ShopRule("UTTO", "orchard blend", RuleKind.ALLOWED, "sprayers only", "")
        ]
        assert (rule.who, own.said.code) == ("tess", "orchard blend")
        rules = fluid_rules.rules(session)
        assert all(one.own for one in rules)
        assert may_use("Orchard-Blend", "UTTO").verdict is Verdict.NO
        answer = may_use("Orchard-Blend", "UTTO", own_rules=rules)
        assert answer.verdict is Verdict.YES
        assert answer.standing == "shop"
    with workshop.write() as session, pytest.raises(AlreadyThereError, match="Withdraw that one first"):
        fluid_rules.add(
            session,
            act(),
            required="tractor transmission hydraulic oil",
            offered="Orchard blend; API GL-4",
            kind="never",
            condition="x",
        )
    gone = act()
    with workshop.write() as session:
        fluid_rules.remove(session, gone, rule.rule_id)
        assert fluid_rules.rules(session) == ()
    with workshop.write() as session, pytest.raises(NotFoundError):
        fluid_rules.remove(session, act(), rule.rule_id)
    with workshop.write() as session:
        undo(session, act(), gone.key)
        assert len(fluid_rules.rules(session)) == 1
    with workshop.write() as session:
        undo(session, act(), first.key)
        assert fluid_rules.rules(session) == ()
        again = fluid_rules.add(session, act(), required="UTTO", offered="orchard blend", kind="never", condition="no")
        fluid_rules.remove_class(session, act(), own.class_id)
        assert fluid_rules.classes(session) == ()
    # What was taken back stays on record, and undone twice it would stand beside what took its place.
    with workshop.write() as session:
        fluid_rules.remove(session, act(key="again"), again.rule_id)
        fluid_rules.add(session, act(), required="UTTO", offered="orchard blend", kind="allowed")
    with workshop.write() as session, pytest.raises(CannotUndoError, match="The shop has a rule"):
        undo(session, act(), "again")
    with workshop.read() as session:
        assert check(session).findings == ()
    workshop.close()


@pytest.mark.parametrize(
    ("required", "offered", "kind", "condition", "words"),
    [
        ("", "blend", "allowed", "", "Required is empty. Type a class"),
        ("UTTO", "blend", "perhaps", "", "is not a kind of rule"),
        ("UTTO", "blend", "caution", "", "needs its condition"),
        ("UTTO", "utto", "allowed", "", "Name two different classes"),
        ("@nothing", "blend", "allowed", "", "There is no group"),
        ("UTTO", "b\x00lend", "allowed", "", "can't be shown"),
        ("UTTO", "b" * 401, "allowed", "", "401 characters"),
        ("UTTO", "blend", "allowed", "x" * 2001, "2001 characters"),
    ],
)
def test_what_is_no_rule_is_refused_in_a_sentence(
    tmp_path: Path, required: str, offered: str, kind: str, condition: str, words: str
) -> None:
    workshop = open_workshop(tmp_path / "w.sqlite3")
    with workshop.write() as session, pytest.raises(InvalidInputError, match=words):
        fluid_rules.add(session, act(), required=required, offered=offered, kind=kind, condition=condition)
    with workshop.read() as session:
        assert fluid_rules.listed(session) == ()
    workshop.close()


def test_a_class_the_tables_have_is_no_class_of_the_shops_own(tmp_path: Path) -> None:
    workshop = open_workshop(tmp_path / "w.sqlite3")
    for code, says, words in (("utto", "x", "in the tables already"), ("a; b", "x", "without ;"), ("X1", "", "empty")):
        with workshop.write() as session, pytest.raises(InvalidInputError, match=words):
            fluid_rules.add_class(session, act(), code, says)
    workshop.close()


BOOK = ShopBook(
    (ShopClass("ORCHARD-1", "=the co-op's mix"),),
    (
        ShopRule("UTTO", "ORCHARD-1", RuleKind.ALLOWED, "sprayers only", "bench note 4"),
        ShopRule("@glycol brake", "mystery jug", RuleKind.NEVER, "nobody knows what it is", ""),
        ShopRule("ISO VG 46", "ISO VG 68", RuleKind.CAUTION, "-summer only, not the crawler", "'tess"),
    ),
)


def test_a_book_goes_out_as_csv_and_comes_in_the_same(tmp_path: Path) -> None:
    text = fluid_rules.to_csv(BOOK)
    # No cell may begin as a formula does (OWASP, CSV injection).
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]
    workshop = open_workshop(tmp_path / "w.sqlite3")
    with workshop.write() as session:
        taken = fluid_rules.take_in(session, act(key="in"), text)
        assert taken == fluid_rules.TakenIn(3, 1, 0)
        assert fluid_rules.book(session) == BOOK
    with workshop.write() as session:
        assert fluid_rules.take_in(session, act(), "\ufeff" + text) == fluid_rules.TakenIn(0, 0, 4)
        assert fluid_rules.to_csv(fluid_rules.book(session)) == text
    other = "required,offered,kind,condition\nUTTO,orchard-1,never,changed our mind\n"
    with workshop.write() as session, pytest.raises(AlreadyThereError, match="ORCHARD-1 where UTTO is asked"):
        fluid_rules.take_in(session, act(), other.replace("orchard-1", "ORCHARD-1"))
    bad = "required,offered,kind,condition\nUTTO,blend,allowed,\nUTTO,blend,never,x\n,blend,allowed,\n"
    with workshop.write() as session, pytest.raises(InvalidInputError, match=r"Line 3: blend for UTTO.*And 1 more"):
        fluid_rules.take_in(session, act(), bad)
    with workshop.write() as session:
        undo(session, act(), "in")
        assert fluid_rules.book(session) == ShopBook()
    workshop.close()


def test_a_class_row_of_a_file_is_the_shops_own_class() -> None:
    text = "required,offered,kind,condition\nORCHARD-1,,class,the co-op's mix\norchard 2,,Class,\n"
    with pytest.raises(ValueError, match="Line 3: orchard 2 needs a description"):
        read_shop_book(text)
    book = read_shop_book(text.splitlines()[0] + "\n" + text.splitlines()[1] + "\n")
    assert book == ShopBook((ShopClass("ORCHARD-1", "the co-op's mix"),))


def _kit(workshop: Workshop) -> tuple[str, int]:
    """A job that asks for UTTO 10W-30, and a drum of the co-op's own mix; what the kit says of it."""
    with workshop.write() as session:
        drum = bins.add(session, act(), code="Drum 9").bin_id
        mix = items.add(session, act(), kind=Kind.FLUID, name="Co-op mix", spec_class="Orchard-1", spec_grade="10W-30")
        shelf.receive(session, act(), item_id=mix.item_id, bin_id=drum, quantity=60 * LITRE)
        job = jobs.open_job(session, act(), title="Sprayer").job_id
        need = NeedSpec(Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=10 * LITRE, full_ul=12 * LITRE)
        kits.add_need(session, act(), job, need)
        view = kits.allocate(session, act(), job)
    return view.needs[0].lines[0].reason, job


def test_a_kit_uses_the_shops_own_rule_and_says_so(where: str) -> None:
    workshop = open_workshop(where)
    tried, job = _kit(workshop)
    assert "no rule lets Orchard-1 be used where UTTO is asked" in tried
    with workshop.write() as session:
        fluid_rules.add(session, act(), required="UTTO", offered="ORCHARD-1", kind="allowed", condition="sprayers only")
        view = kits.allocate(session, act(), job)
    (line,) = view.needs[0].lines
    assert line.item_name == "Co-op mix"
    assert "sprayers only" in line.reason
    assert "this shop's own rule" in line.reason
    workshop.close()


def test_what_is_bought_may_serve_by_the_shops_own_rule(tmp_path: Path) -> None:
    workshop = open_workshop(tmp_path / "w.sqlite3")
    # ISO 3448: VG 68 is 48 % thicker than VG 46, so the tables alone say no.
    supplier(workshop, tmp_path, ["H68,Hydraulic oil HM ISO VG 68,58.00,20 L"])
    with workshop.write() as session:
        job = short_job(session, oil(10, "HM", "ISO VG 46"))
    with workshop.read() as session:
        assert work_out(gather(session, ON, job_ids=[job], reorder=False)).orders == ()
    with workshop.write() as session:
        fluid_rules.add(session, act(), required="VG 46", offered="VG 68", kind="caution", condition="summer only")
    with workshop.read() as session:
        (order,) = work_out(gather(session, ON, job_ids=[job], reorder=False)).orders
    workshop.close()
    assert [(line.offer.row.number, line.packs) for line in order.lines] == [("H68", 1)]
