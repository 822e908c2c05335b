"""What the planner promises beyond least cost: time, shelf life, ties, currencies, and clear refusals."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from fractions import Fraction

import pytest

from models.errors import InvalidInputError
from models.purchasing import solver
from models.purchasing.demand import Expiring, Why
from models.purchasing.infeasible import NoPlan
from models.purchasing.money import CurrencyMixError, Exchange
from models.purchasing.offers import Break, Offer, Serves, ShortLine, Supplier
from models.purchasing.plan import Plan, plan

TODAY = date(2026, 3, 2)
ALDER, BIRCH = Supplier("Alder", "EUR"), Supplier("Birch", "EUR")


def offer(supplier: str, sku: str, pack: int, price: int, *keys: str, **more: int | bool | None) -> Offer:
    return Offer(supplier, sku, pack, (Break(1, price),), tuple(Serves(key) for key in keys), **more)  # type: ignore[arg-type]


def bought(made: Plan | NoPlan) -> dict[str, int]:
    assert isinstance(made, Plan)
    return {purchase.offer.sku: purchase.packs for order in made.orders for purchase in order.purchases}


def refused(made: Plan | NoPlan) -> dict[str, Why]:
    assert isinstance(made, NoPlan)
    return {cannot.line: cannot.why for cannot in made.cannot}


def test_a_second_pack_that_makes_the_freight_free_is_taken() -> None:
    # One pack is 4 and freight 8; two packs are 8, which is over the threshold of 5. HiGHS 1.16, started from the plan
    # of one pack, called that one optimal.
    supplier = Supplier("Alder", "EUR", freight=8, free_from=5)
    pairs = Offer("Alder", "P1", 1, (Break(2, 4),), (Serves("a"),))
    made = plan([ShortLine("L", "a", 1)], [offer("Alder", "P0", 1, 4, "a"), pairs], [supplier], today=TODAY)
    assert isinstance(made, Plan)
    assert (made.total, made.is_proven) == (Fraction(8), True)


def test_the_dear_one_that_comes_in_time() -> None:
    listed = [offer("Alder", "slow", 1, 100, "ring", lead_days=9), offer("Birch", "fast", 1, 300, "ring", lead_days=2)]
    line = ShortLine("L", "ring", 1, TODAY + timedelta(3))
    assert bought(plan([line], listed, [ALDER, BIRCH], today=TODAY)) == {"fast": 1}
    assert bought(plan([ShortLine("L", "ring", 1)], listed, [ALDER, BIRCH], today=TODAY)) == {"slow": 1}


def test_a_pack_more_when_that_saves_the_freight() -> None:
    seller = Supplier("Alder", "EUR", freight=900, free_from=1000)
    made = plan([ShortLine("L", "ring", 4)], [offer("Alder", "P", 1, 240, "ring")], [seller], today=TODAY)
    assert isinstance(made, Plan)
    assert bought(made) == {"P": 5}
    assert made.total == 1200
    assert made.orders[0].purchases[0].spare == 1
    assert made.line_by_line is not None
    assert made.line_by_line.total == 4 * 240 + 900


def test_an_all_units_break_is_taken_when_more_costs_less() -> None:
    listed = [Offer("Alder", "P", 1, (Break(1, 100), Break(10, 60)), (Serves("ring"),))]
    made = plan([ShortLine("L", "ring", 7)], listed, [ALDER], today=TODAY)
    assert isinstance(made, Plan)
    assert bought(made) == {"P": 10}
    assert made.total == 600


def test_one_bag_for_two_lines_and_the_caution_goes_with_it() -> None:
    bag = Offer("Alder", "bag", 50, (Break(1, 400),), (Serves("nbr"), Serves("hnbr", "Not above 100 °C.")))
    lines = [ShortLine("A", "nbr", 20), ShortLine("B", "hnbr", 20), ShortLine("C", "nbr", 10)]
    made = plan(lines, [bag], [ALDER], today=TODAY)
    assert isinstance(made, Plan)
    purchase = made.orders[0].purchases[0]
    assert {each.line: (each.quantity, each.caution) for each in purchase.for_lines} == {
        "A": (20, ""),
        "B": (20, "Not above 100 °C."),
        "C": (10, ""),
    }


def test_of_equals_the_fewest_suppliers_then_the_fewest_packs() -> None:
    listed = [
        offer("Alder", "a1", 1, 10, "a"),
        offer("Birch", "a1", 1, 10, "a"),
        offer("Birch", "b5", 5, 50, "b"),
        offer("Birch", "b1", 1, 10, "b"),
    ]
    made = plan([ShortLine("L", "a", 1), ShortLine("M", "b", 5)], listed, [ALDER, BIRCH], today=TODAY)
    assert isinstance(made, Plan)
    assert [order.supplier.name for order in made.orders] == ["Birch"]
    assert bought(made) == {"a1": 1, "b5": 1}
    assert made.ties_settled


def test_of_equal_suppliers_and_twins_the_first_by_name() -> None:
    listed = [offer(name, sku, 1, 10, "a") for name in ("Birch", "Alder") for sku in ("z", "y")]
    made = plan([ShortLine("L", "a", 1)], listed, [BIRCH, ALDER], today=TODAY)
    assert isinstance(made, Plan)
    assert [(o.supplier.name, o.purchases[0].offer.sku) for o in made.orders] == [("Alder", "y")]


class TestShelfLife:
    """A bag of 50 is cheaper than 10 single rings, but lasts 100 days."""

    BAG = offer("Alder", "bag", 50, 400, "ring", lead_days=0, shelf_life_days=100)
    ONE = offer("Alder", "one", 1, 60, "ring")

    def line(self, usage: Fraction | None) -> ShortLine:
        return ShortLine("L", "ring", 10, usage_per_day=usage)

    def test_what_would_expire_is_said(self) -> None:
        made = plan([self.line(Fraction(1, 10))], [self.BAG, self.ONE], [ALDER], today=TODAY)
        assert isinstance(made, Plan)
        (said,) = made.would_expire  # 50 bought, 10 for the line, 100 days × 0.1 used: 30 are left
        assert (said.sku, said.quantity, said.usage_known) == ("bag", 30, True)
        assert said.expires == TODAY + timedelta(100)

    def test_what_would_expire_is_refused_when_asked(self) -> None:
        lines = [self.line(Fraction(1, 10))]
        made = plan(lines, [self.BAG, self.ONE], [ALDER], today=TODAY, expiring=Expiring.REFUSE)
        assert bought(made) == {"one": 10}
        made = plan([self.line(Fraction(4, 10))], [self.BAG], [ALDER], today=TODAY, expiring=Expiring.REFUSE)
        assert bought(made) == {"bag": 1}
        assert isinstance(made, Plan)
        assert made.would_expire == ()

    def test_usage_nobody_knows_is_said_not_refused(self) -> None:
        made = plan([self.line(None)], [self.BAG], [ALDER], today=TODAY, expiring=Expiring.REFUSE)
        assert isinstance(made, Plan)
        assert [(said.quantity, said.usage_known) for said in made.would_expire] == [(40, False)]

    def test_an_offer_nobody_buys_changes_nothing(self) -> None:
        late = offer("Alder", "late", 2, 100, "ring", lead_days=5, shelf_life_days=9)
        dear = offer("Alder", "dear", 1, 90_000, "ring", lead_days=0, shelf_life_days=9)
        line = ShortLine("L", "ring", 1, usage_per_day=Fraction(1, 10))  # one on day 10, in time
        for offers in ([late], [late, dear]):
            made = plan([line], offers, [ALDER], today=TODAY)
            assert isinstance(made, Plan)
            assert bought(made) == {"late": 1}
            assert made.would_expire == ()

    def test_nothing_is_said_of_what_keeps(self) -> None:
        made = plan([self.line(None)], [self.ONE], [ALDER], today=TODAY)
        assert isinstance(made, Plan)
        assert made.would_expire == ()


class TestCannotBuy:
    def test_no_offer(self) -> None:
        made = plan([ShortLine("L", "ring", 1, name="Pump ring")], [], [], today=TODAY)
        assert refused(made) == {"L": Why.NO_OFFER}
        assert isinstance(made, NoPlan)
        assert made.cannot[0].reason == "Pump ring: no supplier offers it."

    def test_too_late_says_when_it_would_come(self) -> None:
        line = ShortLine("L", "ring", 1, TODAY + timedelta(3))
        made = plan([line], [offer("Alder", "P", 1, 9, "ring", lead_days=5)], [ALDER], today=TODAY)
        assert refused(made) == {"L": Why.ARRIVES_TOO_LATE}
        assert isinstance(made, NoPlan)
        assert made.cannot[0].reason == "L: needed by 2026-03-05, the earliest comes on 2026-03-07."

    def test_no_lead_time_is_too_late(self) -> None:
        line = ShortLine("L", "ring", 1, TODAY + timedelta(3))
        assert refused(plan([line], [offer("Alder", "P", 1, 9, "ring")], [ALDER], today=TODAY)) == {
            "L": Why.ARRIVES_TOO_LATE
        }

    def test_out_of_stock(self) -> None:
        made = plan([ShortLine("L", "a", 1)], [offer("Alder", "P", 1, 9, "a", in_stock=False)], [ALDER], today=TODAY)
        assert refused(made) == {"L": Why.OUT_OF_STOCK}

    def test_expires_before_the_job(self) -> None:
        listed = [offer("Alder", "P", 1, 9, "a", lead_days=1, shelf_life_days=5)]
        made = plan([ShortLine("L", "a", 1, TODAY + timedelta(30))], listed, [ALDER], today=TODAY)
        assert refused(made) == {"L": Why.EXPIRES_FIRST}

    def test_too_few_packs(self) -> None:
        made = plan([ShortLine("L", "a", 9)], [offer("Alder", "P", 2, 9, "a", available_packs=3)], [ALDER], today=TODAY)
        assert refused(made) == {"L": Why.TOO_FEW_PACKS}
        assert isinstance(made, NoPlan)
        assert made.cannot[0].reason == "L: 9 needed, all suppliers together have 6."

    def test_too_few_packs_for_both(self) -> None:
        listed = [offer("Alder", "P", 2, 9, "a", "b", available_packs=3)]
        made = plan([ShortLine("L", "a", 4), ShortLine("M", "b", 4)], listed, [ALDER], today=TODAY)
        assert list(refused(made).values()) == [Why.TOO_FEW_PACKS]
        assert isinstance(made, NoPlan)
        assert len(made.rest) == 1

    def test_minimum_order_out_of_reach(self) -> None:
        seller = Supplier("Alder", "EUR", minimum_order=5000)
        listed = [offer("Alder", "P", 1, 900, "a", available_packs=2), offer("Birch", "Q", 1, 5, "b")]
        lines = [ShortLine("L", "a", 1), ShortLine("M", "b", 1)]
        made = plan(lines, listed, [seller, BIRCH], today=TODAY)
        assert refused(made) == {"L": Why.MINIMUM_ORDER}
        assert isinstance(made, NoPlan)
        assert made.cannot[0].reason == "L: the minimum order is out of reach (Alder asks for 50.00 EUR)."
        assert made.rest == ("M",)

    def test_supplier_limit(self) -> None:
        listed = [offer("Alder", "P", 1, 9, "a", "c"), offer("Birch", "Q", 1, 5, "b")]
        lines = [ShortLine("L", "a", 1), ShortLine("M", "b", 1), ShortLine("N", "c", 1)]
        made = plan(lines, listed, [ALDER, BIRCH], today=TODAY, max_suppliers=1)
        assert refused(made) == {"M": Why.SUPPLIER_LIMIT}
        assert isinstance(made, NoPlan)
        assert made.rest == ("L", "N")
        assert isinstance(plan(lines, listed, [ALDER, BIRCH], today=TODAY, max_suppliers=2), Plan)

    def test_would_expire(self) -> None:
        listed = [offer("Alder", "P", 50, 9, "a", shelf_life_days=10)]
        line = ShortLine("L", "a", 1, usage_per_day=Fraction(1))
        assert refused(plan([line], listed, [ALDER], today=TODAY, expiring=Expiring.REFUSE)) == {"L": Why.WOULD_EXPIRE}

    def test_the_rest_named_can_be_bought(self) -> None:
        listed = [offer("Alder", "P", 1, 9, "a"), offer("Birch", "Q", 1, 5, "b")]
        lines = [ShortLine(name, name, 1) for name in "abc"]
        made = plan(lines, listed, [ALDER, BIRCH], today=TODAY, max_suppliers=1)
        assert isinstance(made, NoPlan)
        again = plan([each for each in lines if each.line in made.rest], listed, [ALDER, BIRCH], today=TODAY)
        assert isinstance(again, Plan)


class TestRefusals:
    def test_currencies_are_not_mixed(self) -> None:
        listed = [offer("Alder", "P", 1, 9, "a"), offer("Rowan", "Q", 1, 9, "a")]
        sellers = [ALDER, Supplier("Rowan", "USD")]
        with pytest.raises(CurrencyMixError, match="EUR and USD"):
            plan([ShortLine("L", "a", 1)], listed, sellers, today=TODAY)
        with pytest.raises(CurrencyMixError, match="from USD to EUR"):
            plan([ShortLine("L", "a", 1)], listed, sellers, today=TODAY, exchange=Exchange("EUR", {}))

    @pytest.mark.parametrize(
        ("lines", "listed", "part"),
        [
            ([ShortLine("L", "a", 0)], [], "short of 0"),
            ([ShortLine("L", "a", 1), ShortLine("L", "a", 1)], [], "two of the short line"),
            ([], [offer("Oak", "P", 1, 1, "a")], "no such supplier"),
            ([], [offer("Alder", "P", 0, 1, "a")], "holds nothing"),
            ([], [offer("Alder", "P", 1, -1, "a")], "price below zero"),
            ([], [Offer("Alder", "P", 1, (Break(5, 1), Break(2, 1)), ())], "not in order"),
        ],
    )
    def test_one_sentence_for_what_makes_no_sense(self, lines: list[ShortLine], listed: list[Offer], part: str) -> None:
        with pytest.raises(InvalidInputError, match=part):
            plan(lines, listed, [ALDER], today=TODAY)

    def test_the_extra_is_named_when_the_solver_is_missing(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setitem(sys.modules, "highspy", None)
        with pytest.raises(solver.SolverMissingError, match=r"kitwright\[buying\]"):
            plan([ShortLine("L", "a", 1)], [offer("Alder", "P", 1, 9, "a")], [ALDER], today=TODAY)


def test_nothing_short_is_an_empty_plan() -> None:
    made = plan([], [offer("Alder", "P", 1, 9, "a")], [ALDER], today=TODAY)
    assert isinstance(made, Plan)
    assert made.orders == ()
    assert made.total == 0
    assert made.is_proven


def test_the_solver_is_imported_late_and_prints_nothing() -> None:
    script = (
        "import sys, datetime\n"
        "from models.purchasing.plan import plan\n"
        "from models.purchasing.offers import *\n"
        "assert not {'numpy', 'highspy', 'sqlalchemy', 'textual'} & set(sys.modules)\n"
        "o = Offer('A', 'P', 1, (Break(1, 5),), (Serves('a'),))\n"
        "print(plan([ShortLine('L', 'a', 2)], [o], [Supplier('A', 'EUR')], today=datetime.date(2026, 3, 2)).total)\n"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert (ran.stdout, ran.stderr) == ("10\n", "")
