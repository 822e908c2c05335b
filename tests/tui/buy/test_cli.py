"""`kitwright buy`: plan, order, list, text, receive, call-off, keep-sizes; what each prints, and how it ends."""

from __future__ import annotations

import io
import re
import shlex
import sys
from pathlib import Path

import pypdf
import pytest

from models.database import Workshop as Database
from models.database import open_workshop
from models.supplier_lists import suppliers
from tests.models.orders.buying import FIRST, new_list, rings, short_job
from tests.models.shop import act, ring
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def shop(tmp_path: Path) -> tuple[str, ...]:
    """A job short of five rings; one supplier; the words that name the database."""
    file = tmp_path / "workshop.sqlite3"
    workshop = open_workshop(file)
    add_supplier(workshop, tmp_path, "First supplier (invented)", "EUR", FIRST)
    with workshop.write() as session:
        short_job(session, rings(5))
    workshop.close()
    return ("--data", str(file))


def add_supplier(workshop: Database, folder: Path, name: str, currency: str, lines: tuple[str, ...]) -> None:
    with workshop.write() as session:
        made = suppliers.add(session, act(), name=name, currency=currency, lead_days=2)
    new_list(workshop, folder, made.supplier_id, lines, currency=currency)


def test_a_plan_in_words_and_as_json(kitwright: CommandLine, shop: tuple[str, ...]) -> None:
    ended = kitwright("buy", "plan", *shop)
    assert ended.code == 0
    assert "First supplier (invented): 2.50 EUR for the goods, freight not known" in ended.out
    assert "proven" not in ended.out
    assert "list terms 'First supplier (invented)' --freight AMOUNT" in ended.out
    assert kitwright("list", "terms", "First supplier (invented)", "--freight", "0", *shop).code == 0
    ended = kitwright("buy", "plan", *shop)
    assert "First supplier (invented): 2.50 EUR with freight free" in ended.out
    assert "2.50 EUR is the lowest possible (proven)." in ended.out
    told = kitwright("buy", "plan", *shop, "--json").json
    conforms("buy", told)
    assert (told["total"], told["orders"][0]["lines"][0]["packs"]) == ("2.50", 5)
    assert kitwright("buy", "list", *shop).code == 1, "a plan writes nothing"


def test_from_order_to_ready(kitwright: CommandLine, shop: tuple[str, ...]) -> None:
    refused = kitwright("buy", "order", *shop)
    assert (refused.code, "add --looked-at" in refused.err, "R214" in refused.err) == (2, True, True)
    sent = kitwright("buy", "order", "--looked-at", *shop, "--json").json
    conforms("buy", sent)
    (order,) = sent["orders"]
    assert (order["state"], order["total"]) == ("ordered", "2.50")
    line = str(order["lines"][0]["line"])
    part = kitwright(
        "buy", "receive", "1", "--line", line, "--packs", "2", "--bin", "B1", "--lot", "L1", *shop, "--json"
    )
    conforms("buy", part.json)
    assert (part.json["orders"][0]["state"], part.json["kits"][0]["state"]) == ("part received", "short")
    rest = kitwright("buy", "receive", "1", *shop)
    assert "Booked in. Order 1: all here. Kit of job 1, Pump leaks: ready." in rest.out
    assert kitwright("buy", "list", *shop).code == 1
    told = kitwright("buy", "list", "--all", *shop, "--json").json
    conforms("buy", told)
    assert told["orders"][0]["lines"][0]["received"] == 5


def test_cure_days_are_said_line_by_line(kitwright: CommandLine, shop: tuple[str, ...]) -> None:
    line = kitwright("buy", "order", "--looked-at", *shop, "--json").json["orders"][0]["lines"][0]["line"]
    came = ("buy", "receive", "1", "--bin", "B1", *shop)
    for told, said in (
        ("2026-02-15", "which line was cured on 2026-02-15? Say it as LINE=2026-02-15"),
        ("99=2026-02-15", "order 1 has no line 99"),
        (f"{line}=soon", "'soon' is not a day"),
    ):
        assert said in kitwright(*came, "--cured", told).err
    assert "Booked in." in kitwright(*came, "--line", str(line), "--packs", "1", "--cured", "2026-02-15").out
    assert "Booked in." in kitwright(*came, "--cured", f"{line}=2026-03-15").out
    rows = kitwright("shelf", "list", *shop, "--json").json["stock"]
    assert {row["lot"] for row in rows if row["on_hand"]} == {"cured 2026-02-15", "cured 2026-03-15"}


def test_keep_then_mark_as_sent_with_the_suppliers_own_day(kitwright: CommandLine, shop: tuple[str, ...]) -> None:
    assert "planned" in kitwright("buy", "order", "--keep", "--looked-at", *shop).out
    assert "has no bin yet; type the code" in kitwright("buy", "receive", "1", *shop).err
    assert "is planned" in kitwright("buy", "receive", "1", "--bin", "B", *shop).err
    assert "expected 2099-01-02" in kitwright("buy", "order", "1", "--expected", "2099-01-02", *shop).out
    assert kitwright("buy", "order", "--looked-at", *shop).code == 1, "all of it is on order"


def test_calling_off_makes_it_short_again(kitwright: CommandLine, shop: tuple[str, ...]) -> None:
    kitwright("buy", "order", "--looked-at", *shop)
    off = kitwright("buy", "call-off", "1", "--note", "no stock", *shop, "--json").json
    conforms("buy", off)
    assert off["orders"][0]["state"] == "cancelled"
    assert kitwright("buy", "plan", *shop).code == 0


def test_an_orders_text(kitwright: CommandLine, shop: tuple[str, ...], tmp_path: Path) -> None:
    kitwright("buy", "order", "--looked-at", *shop)
    mail = kitwright("buy", "text", "1", "--shop", "Co-op", *shop).out
    assert mail.startswith("Order from Co-op to First supplier (invented)")
    assert "5 × R214, O-RING AS568-214 HNBR 70" in mail
    rows = kitwright("buy", "text", "1", "--as", "csv", *shop).out.splitlines()
    assert rows[1].startswith("R214,O-RING AS568-214 HNBR 70,5,1,0.50,2.50,EUR,")
    file = tmp_path / "order.pdf"
    assert kitwright("buy", "text", "1", "--as", "pdf", "--out", str(file), *shop).code == 0
    text = pypdf.PdfReader(io.BytesIO(file.read_bytes())).pages[0].extract_text()
    assert "R214" in text
    assert "2.50 EUR" in text
    assert "add --out" in kitwright("buy", "text", "1", "--as", "pdf", *shop).err
    # In the language that was said of the supplier, unless the sheet says another.
    terms = kitwright("list", "terms", "First supplier (invented)", "--language", "de", *shop)
    assert (terms.code, "orders in German" in terms.out) == (0, True)
    assert kitwright("buy", "text", "1", *shop).out.startswith("Bestellung von ")
    assert kitwright("buy", "text", "1", "--as", "pdf", "--out", str(file), *shop).code == 0
    assert "Bestellliste" in pypdf.PdfReader(io.BytesIO(file.read_bytes())).pages[0].extract_text()
    assert kitwright("buy", "text", "1", "--language", "en", *shop).out.startswith("Order from ")


def test_what_can_not_be_bought_ends_with_1_and_says_why(kitwright: CommandLine, shop: tuple[str, ...]) -> None:
    workshop = open_workshop(shop[1])
    with workshop.write() as session:
        short_job(session, rings(1, rubbers=("FKM",)), title="Hot side")
    workshop.close()
    ended = kitwright("buy", "plan", *shop)
    assert ended.code == 1
    assert "Can't be bought: ring as568:214 (Hot side): no supplier offers it." in ended.out
    assert "HNBR is not among FKM" in ended.out
    assert kitwright("buy", "plan", "--job", "1", *shop).code == 0


def test_two_currencies_need_a_rate(kitwright: CommandLine, shop: tuple[str, ...], tmp_path: Path) -> None:
    workshop = open_workshop(shop[1])
    add_supplier(workshop, tmp_path, "Overseas (invented)", "USD", ("U214,O-RING AS568-214 HNBR 70,0.50,1",))
    workshop.close()
    assert "EUR and USD" in kitwright("buy", "plan", *shop).err
    told = kitwright("buy", "plan", "--in", "EUR", "--rate", "USD=0.9", *shop, "--json").json
    # 5 × 0.50 USD at 0.9.
    assert (told["orders"][0]["currency"], told["total"]) == ("USD", "2.25")


def test_rings_to_keep(kitwright: CommandLine, shop: tuple[str, ...]) -> None:
    workshop = open_workshop(shop[1])
    with workshop.write() as session:
        ring(session, 4)
        short_job(session, rings(1, "as568:116"), rings(1))
    workshop.close()
    told = kitwright("buy", "keep-sizes", "--share", "60 %", *shop, "--json").json
    conforms("buy", told)
    assert (told["keep"], told["covered"], told["needs"]) == (["as568:214"], 2, 3)
    assert "keep 1: 2 of 3 needs (67 %), no fewer do." in kitwright("buy", "keep-sizes", "--share", "60", *shop).out


def test_the_missing_solver_is_named_in_one_sentence(
    kitwright: CommandLine, shop: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "highspy", None)
    ended = kitwright("buy", "plan", *shop)
    assert ended.code == 2
    assert ended.err.strip().endswith("The planner needs highspy, which is not installed. Install kitwright[buying].")


@pytest.mark.parametrize(
    "words",
    [
        "plan --job x", "plan --job 99", "plan --max-suppliers 0", "plan --rate USD=1", "plan --in EUR --rate USD",
        "plan --in EUR --rate USD=1/0", "plan --time-limit -1", "order 99", "order x", "order 1 --expected soon",
        "text 99", "text 1 --as word", "receive 99", "receive 1 --packs 2", "receive 1 --lot A", "call-off 99",
        "keep-sizes --share 120", "keep-sizes --share most", "keep-sizes --share 1/0", "sell",
    ],
)  # fmt: skip
def test_wrong_words_end_with_2_and_one_sentence(kitwright: CommandLine, shop: tuple[str, ...], words: str) -> None:
    ended = kitwright("buy", *shlex.split(words), *shop)
    assert (ended.code, ended.out) == (2, "")
    assert "Traceback" not in ended.err
    assert ended.err.strip()


@pytest.mark.parametrize("what", ["", "plan", "order", "list", "text", "receive", "call-off", "keep-sizes"])
def test_help_keeps_within_eighty_columns(kitwright: CommandLine, monkeypatch: pytest.MonkeyPatch, what: str) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    ended = kitwright("buy", *filter(None, [what]), "--help")
    assert ended.code == 0
    assert max(map(len, ended.out.splitlines())) <= 82
    assert re.search(r"^  kitwright buy", ended.out, re.MULTILINE)


def test_ordering_is_one_unit_with_planning(kitwright: CommandLine) -> None:
    before = kitwright("buy", "list", "--all", "--demo", "--json").json["orders"]
    ended = kitwright("buy", "order", "--looked-at", "--expected", "2001-01-01", "--demo")
    assert (ended.code, "has passed" in ended.err) == (2, True), ended
    assert kitwright("buy", "list", "--all", "--demo", "--json").json["orders"] == before, "no planned order is left"
    done = kitwright("buy", "order", "--looked-at", "--demo", "--json").json["orders"]
    assert {one["state"] for one in done} == {"ordered"}
