"""How the stores are kept: the count round, reorder points, assortment boxes. Operations of the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Final

import models
import tui
from models import inventory
from tui.answers.keeping import (
    Boxes,
    Gap,
    ReorderPoints,
    ReorderProposal,
    RoundCounted,
    RoundSheet,
    SheetLine,
    Stop,
    box_of,
    point_of,
)
from tui.answers.stock import stock_of
from tui.fields.amounts import Amount
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Choice, Count, Flag, Text
from tui.fields.rows import Bin, Bins, Item, item_named, look_of, one_named
from tui.fields.trade import Pairs, Percent
from tui.operations.operation import Operation, Then, Values

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from sqlmodel import Session

    from models.acts import Act
    from models.inventory.assortments import Box
    from models.inventory.bins import BinRow
    from models.inventory.count_round import BinStop
    from models.inventory.count_sheet import Filled, Outcome
    from models.inventory.reorder_rules import RuleRow
    from models.stocking.reorder import ReorderPoint

LARGEST: Final = 20_000_000
MOST_DAYS: Final = 3650
MOST_IN_BOX: Final = 1_000_000

# The count round.


@dataclass(frozen=True)
class FilledSheet(Field["Filled | None"]):
    """A count sheet that was filled in and saved as CSV; `-` is standard input."""

    METAVAR: ClassVar[str] = "FILE"
    LOOKS: ClassVar[bool] = True

    def read(self, text: str, asked: Asked) -> Filled | None:
        """Its rows. Raises `FieldError`."""
        try:
            return inventory.count_sheet.from_csv(models.outside.small_text(text, LARGEST))
        except models.errors.InvalidInputError as problem:
            raise FieldError(str(problem)) from problem


def _round() -> Callable[..., Any]:

    def look(
        session: Session, *, bin_ids: set[int] | None = None, empty: bool, filled: Filled | None = None, **_: Any
    ) -> tuple[BinStop, ...] | Outcome:
        """The bins to walk, or a sheet against the record."""
        if filled is not None:
            return inventory.count_sheet.compare(session, filled)
        return inventory.count_round.stops(session, bin_ids, empty=empty)

    return look


def _book() -> Callable[..., Any]:

    def book(session: Session, act: Act, *, filled: Filled, reason: str, **_: Any) -> Outcome:
        """Book it."""
        return inventory.count_sheet.book(session, act, filled, reason=reason)

    return book


def _of_round(then: Then) -> RoundSheet | RoundCounted:
    return _sheet(then) if then.values["take"] is None else _counted(then)


def _sheet(then: Then) -> RoundSheet:
    stops: tuple[BinStop, ...] = then.result
    told = tuple(Stop(stop.code, tuple(map(stock_of, stop.rows))) for stop in stops)
    csv = inventory.count_sheet.to_csv(stops) if then.values["as"] == "csv" else ""
    answer = RoundSheet(told, csv)
    return replace(answer, written=_written(then.values["out"], answer, csv)) if then.values["out"] else answer


def _written(file: str, answer: RoundSheet, csv: str) -> str:
    try:
        return str(tui.saving.save(file, (csv or "\n".join((*answer.sheet, ""))).encode()))
    except tui.saving.SaveError as problem:
        raise FieldError(str(problem), "--out") from problem


def _counted(then: Then) -> RoundCounted:
    found: Outcome = then.result
    return RoundCounted(
        booked=then.values["book"] and not found.refused and bool(found.counts),
        counted=len(found.counts),
        blank=found.blank,
        gaps=tuple(Gap(stock_of(gap.row), gap.counted, gap.by) for gap in found.gaps),
        moved=tuple(SheetLine(*one) for one in found.moved),
        bad_lines=tuple(SheetLine(*one) for one in found.refused),
    )


def _prints_or_takes(values: Values) -> str:
    if "reason" not in values:
        return ""
    if values["take"] is None:
        return "--book goes with --take FILE: which filled-in sheet?" if values["book"] else ""
    if values["bin"] or values["empty"] or values["out"] or values["as"] != "text":
        return "--take reads a sheet; --bin, --empty, --as and --out print one: leave them out"
    return ""


def _books(values: Values) -> bool:
    return bool(values["book"])


ROUND = Operation(
    area="shelf",
    name="round",
    label="Count round",
    help="a count round: print the sheet, take it back",
    about="Walk the bins and count. Print the sheet in walking order; fill in the column\n"
    "counted; take it back to see where it differs; book it. Litres for fluids.",
    fields=(
        Bins("bin", "Bins", "only this bin; may be given again"),
        Flag("empty", "Empty ones too", "list what should be empty, too"),
        Choice("as", "As", "text or csv; text unless you say", choices=("text", "csv"), must=False, empty="text"),
        Text("out", "File", "write the sheet to this file", must=False, metavar="FILE"),
        FilledSheet("take", "Filled-in sheet", "compare a filled-in CSV sheet with the record; - for input",
                    must=False, parameter="filled"),
        Flag("book", "Book it", "with --take: book the counts (else nothing is changed)"),
        Text("reason", "Reason", "what the counts are booked under", must=False, empty="count round"),
    ),
    change=_book,
    question=_round,
    changes=_books,
    answer=_of_round,
    refuse=_prints_or_takes,
    examples=(
        'shelf round --bin "Box 3" --bin "Shelf O"',
        "shelf round --as csv --out round.csv",
        "shelf round --take round.csv",
        "shelf round --take round.csv --book",
    ),
    key="all",
)  # fmt: skip

# Reorder points.


def _rules() -> Callable[..., Any]:

    def look(
        session: Session,
        *,
        on: date,
        item_id: int | None = None,
        everything: bool,
        propose: bool,
        lead_days: int = 0,
        service: float = 0.95,
        **_: Any,
    ) -> tuple[RuleRow, ...] | ReorderPoint:
        """The rules that are due, all of them, an item's own, or the point that its use calls for."""
        if propose and item_id is not None:
            return inventory.reorder_rules.proposed(session, item_id, on, lead_days, service_level=service)
        found = inventory.reorder_rules.rules(session, on, due_only=item_id is None and not everything)
        return tuple(row for row in found if item_id in (None, row.item_id))

    return look


def _keep_rule() -> Callable[..., Any]:

    def keep(
        session: Session,
        act: Act,
        *,
        item_id: int,
        on: date | None = None,
        order_at: int = 0,
        up_to: int = 0,
        lead_days: int | None = None,
        drop: bool = False,
        **_: Any,
    ) -> tuple[RuleRow, ...] | None:
        """Set it, or drop it; None where there was none to drop."""
        if not drop:
            return (
                inventory.reorder_rules.set_rule(
                    session, act, item_id, order_at=order_at, up_to=up_to, lead_days=lead_days
                ),
            )
        if on is None or item_id not in {row.item_id for row in inventory.reorder_rules.rules(session, on)}:
            return None
        inventory.reorder_rules.drop_rule(session, act, item_id)
        return ()

    return keep


def _setting(values: Values) -> bool:
    return values.get("order_at") is not None or values.get("up_to") is not None


def _sets_or_drops(values: Values) -> bool:
    return _setting(values) or bool(values.get("drop"))


def _one_of_them(values: Values) -> str:
    if "drop" not in values:
        return ""
    setting, more = _setting(values), values["lead_days"] is not None
    if values["item"] is None:
        if setting or values["drop"] or values["propose"] or more or values["service"]:
            return 'name the item first, as in: kitwright shelf reorder "Rags" --order-at 20 --up-to 100'
        return ""
    if setting + values["drop"] + values["propose"] > 1:
        return "choose one: --order-at with --up-to, --propose, or --drop"
    if values["service"] and not values["propose"]:
        return "--service goes with --propose"
    if more and not (setting or values["propose"]):
        return "--lead-days goes with --order-at and --up-to, or with --propose"
    if values["propose"] and not more:
        return "--propose: say how long a new order takes, as --lead-days 10"
    if setting and (values["order_at"] is None or values["up_to"] is None):
        return "a rule needs both --order-at and --up-to"
    return ""


def _points(then: Then) -> ReorderPoints | ReorderProposal:
    values, item = then.values, then.values["item"]
    if values.get("propose"):
        return ReorderProposal(item.name, item.counted_in.value, then.result.quantity, then.result.reason)
    if values.get("drop"):
        had = then.result is not None
        return ReorderPoints(
            (), f"{item.name} {'has' if had else 'had'} no reorder point{' any more' if had else ''}.", had
        )
    if item is None:
        otherwise = "There is no reorder point yet." if values["all"] else "Nothing has run low."
    else:
        otherwise = f"{_name(item)} has no reorder point; work one out with --propose --lead-days N"
    return ReorderPoints(tuple(map(point_of, then.result)), otherwise)


def _name(item: Any) -> str:
    """An item's name, also of a row of stock that stands for it."""
    return str(getattr(item, "item_name", "") or item.name)


def _kept_point(session: Session, on: date, values: Values) -> Mapping[str, str]:
    """The rule as it stands, to be changed."""
    for rule in inventory.reorder_rules.rules(session, on):
        if rule.item_id == values["item"].item_id:
            days = "" if rule.lead_days is None else str(rule.lead_days)
            at, up = (models.volume.in_words(quantity, rule.counted_in) for quantity in (rule.order_at, rule.up_to))
            return {"order_at": at, "up_to": up, "lead_days": days}
    return {}


def _up_to_more(values: Values) -> str:
    little = values.get("up_to") is not None and values["up_to"] <= values["order_at"]
    return "must be more than the reorder point" if little else ""


DAYS = Count("lead_days", "An order takes, days (optional)", "how many days a new order takes", must=False,
             least=0, most=MOST_DAYS)  # fmt: skip
ORDER_AT = Amount("order_at", "Reorder at", of="item", least=0,
                  help="order more when free stock falls to this: pieces, or a volume as 5 gal")  # fmt: skip
UP_TO = Amount("up_to", "Up to", "order up to this: pieces, or a volume as 5 gal", of="item")

REORDER = Operation(
    area="shelf",
    name="reorder",
    label="To order",
    help="what runs low; set when to order more",
    about="List what has fallen to its reorder point, with the reason. Or set an item's rule:\n"
    "order more when free stock falls to --order-at, up to --up-to. Or work a point out\n"
    "from what was used in a year.",
    fields=(
        Item("item", "Item", "the item's name; every rule that is due without it", must=False),
        Flag("all", "All", "list rules that are not due, too", parameter="everything"),
        replace(ORDER_AT, must=False),
        replace(UP_TO, must=False),
        DAYS,
        Flag("propose", "Propose", "work a point out from use; needs --lead-days"),
        Percent("service", "Service", "how often it must not run out (95)", must=False, least=50),
        Flag("drop", "Drop", "keep no rule for the item any more"),
    ),
    change=_keep_rule,
    question=_rules,
    changes=_sets_or_drops,
    answer=_points,
    refuse=_one_of_them,
    dated=True,
    examples=(
        "shelf reorder",
        'shelf reorder "Rags, lint-free" --order-at 20 --up-to 100 --lead-days 4',
        'shelf reorder "Hydraulic oil, jug" --propose --lead-days 10 --service 95',
        'shelf reorder "Rags, lint-free" --drop',
    ),
    key="wanted",
)
POINT = Operation(
    area="shelf",
    name="point",
    label="Reorder point",
    help="say when to order more of the highlighted item",
    fields=(Item("item", "Item"), ORDER_AT, UP_TO, DAYS),
    change=_keep_rule,
    answer=_points,
    refuse=_up_to_more,
    start=_kept_point,
    examples=(),
    command=False,
    key="change",
)

# Assortment boxes.


@dataclass(frozen=True)
class _Box(Bin):
    """An assortment box by its bin's code; any bin where it is told what a full one holds; none named means all."""

    must: bool = False
    placed: bool = True

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> BinRow | Box | None:  # type: ignore[override]
        """The box. Raises `FieldError`."""
        code = words.get(self.name)
        if words.get("full"):
            if code is None:
                raise FieldError('name the box first, as in: kitwright shelf box "Box 1" --full "ITEM=10"', "--full")
            return self.from_text(code, asked)
        if code is None:
            return None

        known = look_of(asked)(lambda session: [(box.code, box) for box in inventory.assortments.listed(session)])
        none = "No bin is a box yet; say what a full one holds with --full ITEM=N"
        return one_named(code, known, "box", none)

    def options(self) -> tuple[Option, ...]:
        """Its place."""
        return (Option(self.name, self.name, "BIN", self.help, self.must),)


@dataclass(frozen=True)
class _Holds(Pairs):
    """What a full box holds: items, each with how many."""

    LOOKS: ClassVar[bool] = True

    def value(self, text: str, asked: Asked) -> str:
        """A number of pieces. Raises `FieldError`."""
        return str(Count(self.name, self.label, least=0, most=MOST_IN_BOX).from_text(text, asked))

    def arguments(self, value: Any) -> dict[str, Any]:
        """Pieces by the item's name."""
        return {"full": {pair.name: int(pair.value) for pair in value}}


def _boxes() -> Callable[..., Any]:

    def look(session: Session, *, bin_id: int | None = None, **_: Any) -> tuple[Box, ...]:
        """One box, or all of them."""
        return (
            inventory.assortments.listed(session) if bin_id is None else (inventory.assortments.get(session, bin_id),)
        )

    return look


def _set_box() -> Callable[..., Any]:

    def keep(session: Session, act: Act, *, bin_id: int, full: Mapping[str, int], **_: Any) -> tuple[Box, ...]:
        """Change what a full one holds of the items named."""
        model = {row.item_id: row.full for row in inventory.assortments.get(session, bin_id).rows if row.full}
        model |= {item_named(session, name).item_id: pieces for name, pieces in full.items()}
        return (inventory.assortments.set_model(session, act, bin_id, {item: n for item, n in model.items() if n}),)

    return keep


def _of_boxes(then: Then) -> Boxes:
    return Boxes(tuple(map(box_of, then.result)), then.values["all"], bool(then.values["full"]))


def _says_full(values: Values) -> bool:
    return bool(values["full"])


BOX = Operation(
    area="shelf",
    name="box",
    label="Boxes",
    help="what is missing from an assortment box",
    about="Show what is missing from an assortment box, size by size. Or say what a full box\n"
    "holds: only the items named are changed.",
    fields=(
        _Box("box", "Box", "the box, by its bin's code; all boxes without it"),
        Flag("all", "All", "list what is all there, too", parameter="everything"),
        _Holds("full", "Holds", "a full box holds N of it; 0: none", metavar="ITEM=N",
               example="O-ring AS568 214 NBR 70=10"),
    ),
    change=_set_box,
    question=_boxes,
    changes=_says_full,
    answer=_of_boxes,
    examples=(
        "shelf box",
        'shelf box "Box 4" --all',
        'shelf box "Box 3" --full "O-ring METRIC 14X2.65 NBR 70=10"',
    ),
    key="fill",
)  # fmt: skip
