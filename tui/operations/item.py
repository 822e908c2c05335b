"""What can be done with items: list them, see one, add one, say what is known of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

import models
from models import inventory
from tui.answers.items import ItemKnown, ItemList, item_known, item_of
from tui.fields.amounts import EACH, Amount
from tui.fields.field import Asked
from tui.fields.filters import Measured
from tui.fields.plain import Choice, Count, Flag, Several, Text, Words
from tui.fields.rows import MOST_ROWS, Item
from tui.fields.trade import KINDS, BarCode, Minutes, RingSize
from tui.operations.noting import note_on
from tui.operations.operation import Operation, Then, Values
from tui.operations.upkeep import upkeep

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlmodel import Session

    from models.acts import Act
    from models.inventory.items import ItemPage, ItemRow

HELP = "what the shop stocks; add, rename, retire, merge items"
DESCRIPTION = """\
List the items, see one, add one; say which classes it claims, what a full container
holds, how an element measures, which bar code is on the pack.

examples:
  kitwright item list 214 --demo
  kitwright item show "UTTO, drum" --demo
  kitwright item add "UTTO, pail" --kind fluid --class UTTO --grade 10W-30 --container "5 gal" --demo
  kitwright item add "O-ring AS568 214 FKM 75" --kind ring --size AS568-214 --rubber FKM --hardness 75 --demo
"""
EPILOG = "exit codes: 0 done, 1 there is no item by that, 2 wrong options or input.\n"


def _list() -> Callable[..., Any]:

    def look(session: Session, *, text: str = "", kind: str | None = None) -> ItemPage:
        """The items that hold every word."""
        return inventory.items.page(session, text, kind=models.words.Kind(kind) if kind else None, limit=MOST_ROWS)

    return look


def _listed(then: Then) -> ItemList:
    return ItemList(then.result.total, tuple(map(item_of, then.result.rows)))


def _add() -> Callable[..., Any]:

    def add(
        session: Session,
        act: Act,
        *,
        kind: str,
        by_volume: bool,
        claims: tuple[str, ...],
        container: int | None = None,
        **said: Any,
    ) -> ItemRow:
        """Add it with its figures."""
        return inventory.items.add(
            session,
            act,
            kind=models.words.Kind(kind),
            counted_in=models.words.Unit.MICROLITRE if by_volume else None,
            figures=inventory.item_figures.ItemFigures(claims, None, container),
            **said,
        )

    return add


def _known(then: Then, done: str = "") -> ItemKnown:
    """All that is known now of the item that was named or added."""
    item_id = then.values["item"].item_id if hasattr(then.values["item"], "item_id") else then.result.item_id
    row = inventory.items.get(then.session, item_id)
    figures = inventory.item_figures.of(then.session, [item_id]).get(item_id, inventory.item_figures.ItemFigures())
    return item_known(row, figures, inventory.bar_codes.codes_of(then.session, item_id), done)


def _tied(then: Then) -> ItemKnown:
    known = _known(then)
    return _known(then, f"Kept: {then.values['gtin']} is {known.item}. Scanned, it opens here.")


def _strangers(values: Values) -> str:
    """What says nothing about an item of this kind is a slip, so it is not passed over."""
    kind = values.get("kind")
    if kind == "ring" and "size" in values and values["size"] is None:
        return "--kind ring: say its size, as --size AS568-214"
    if kind != "ring" and any(values.get(one) for one in ("size", "rubber", "hardness")):
        return f"--size, --rubber and --hardness do not apply to a {kind}; leave them out"
    if kind != "sealant" and values.get("cure") is not None:
        return f"--cure does not apply to a {kind}; leave it out"
    return ""


@dataclass(frozen=True)
class _Container(Amount):
    """What a full one holds, in what an item that is not there yet will be counted in."""

    def counted_in(self, asked: Asked) -> str:
        """`each` or `ul`."""
        return "ul" if asked.values.get("by_volume") or asked.values.get("kind") == "fluid" else EACH


KIND = f"what it is: {', '.join(KINDS)}"
COUNTED = "pieces, or a volume as 5 gal"
ITEM = Item("item", "Item")

LIST = Operation(
    area="item",
    name="list",
    label="List",
    help="the items, by name",
    about="List the items, all or those that hold every word.",
    fields=(
        Words("text", "Search", "words of the name, size, rubber, class or grade"),
        Choice("kind", "Kind", f"only this kind: {', '.join(KINDS)}", choices=KINDS, must=False),
    ),
    question=_list,
    answer=_listed,
    examples=("item list hydraulic", "item list --kind filter"),
)
SHOW = Operation(
    area="item",
    name="show",
    label="Show",
    help="all that is known of one item",
    about="Show all that is known of one item: its class and what else it claims, what a full\n"
    "container holds, its bar codes.",
    fields=(ITEM,),
    question=lambda: inventory.items.get,
    answer=_known,
    examples=('item show "UTTO, drum"',),
)
ADD = Operation(
    area="item",
    name="add",
    label="Add an item",
    help="add an item",
    about="Add an item. A ring needs its size; a fluid is counted by volume.",
    fields=(
        Text("item", "Name", "the item's name", what="the item's name", parameter="name", placed=True),
        Choice("kind", "Kind", KIND, choices=KINDS),
        RingSize("size", "Size", "a ring's standard size, like AS568-214 or P22A", must=False, parameter="size_key"),
        Text("rubber", "Rubber", "a ring's rubber, like NBR", must=False, metavar="FAMILY"),
        Count("hardness", "Hardness", "a ring's hardness", must=False, least=10, most=99, metavar="SHORE_A",
              parameter="hardness_shore_a"),
        Text("class", "Class", "its class, like UTTO", must=False, metavar="CLASS", parameter="spec_class"),
        Text("grade", "Grade", "its grade, like 10W-30 or 8.8", must=False, metavar="GRADE", parameter="spec_grade"),
        Several("claims", "Claims",
                "a further class a fluid claims, or what a sealant resists; may be given again", metavar="CLASS"),
        Flag("by_volume", "By volume", "count it by volume though it is no fluid"),
        _Container("container", "A full one holds", f"what a full one holds: {COUNTED}", must=False),
        Minutes("cure", "Cures in", "how long a sealant cures, as 24 h or 90 min", must=False,
                parameter="cure_minutes"),
        Text("note", "Note", "anything else to know", must=False),
    ),
    change=_add,
    answer=partial(_known, done="Added."),
    refuse=_strangers,
    examples=(
        'item add "UTTO, pail" --kind fluid --class UTTO --grade 10W-30 --container "5 gal"',
        'item add "O-ring AS568 214 FKM 75" --kind ring --size AS568-214 --rubber FKM --hardness 75',
        'item add "Flange sealant, fast" --kind sealant --class "oil-proof flange sealant" --cure "4 h"',
    ),
)  # fmt: skip
CLAIMS = Operation(
    area="item",
    name="claims",
    label="Claims",
    help="which further classes it claims",
    about="Say which further classes a fluid claims, or what a sealant resists, in place of what\nwas said before.",
    fields=(
        ITEM,
        Several("classes", "Classes", "all of them; none takes them away", metavar="CLASS", placed=True,
                parameter="claims"),
    ),
    change=lambda: inventory.item_figures.set_claims,
    answer=partial(_known, done="Noted."),
    examples=('item claims "UTTO, drum" "API GL-4" "JASO MA"',),
)  # fmt: skip
CONTAINER = Operation(
    area="item",
    name="container",
    label="Container",
    help="what a full container holds",
    about="Say what one full container holds, so that an opened one shows what is left.",
    fields=(ITEM, Amount("holds", "Holds", COUNTED, of="item", placed=True)),
    change=lambda: inventory.item_figures.set_container,
    answer=partial(_known, done="Noted."),
    examples=('item container "Hydraulic oil, jug" "20 L"',),
)
ELEMENT = Operation(
    area="item",
    name="element",
    label="Element as measured",
    help="a filter element as measured",
    about="Note a filter element as it was measured; it is judged in a position's housing.",
    fields=(Measured("element", "Element", "what was measured, see: kitwright filter --fields"), ITEM),
    change=lambda: inventory.item_figures.set_element,
    answer=partial(_known, done="Noted."),
    examples=("item element \"Suction strainer, drop-in\" --element kind='suction strainer' od=90 length=140",),
)
CODE = Operation(
    area="item",
    name="code",
    label="Bar code",
    help="which bar code is on its pack",
    about="Say which bar code (GTIN) is on an item's pack. One code is one item; its check digit\nis looked at.",
    fields=(
        ITEM,
        BarCode("gtin", "Bar code", "the code's digits, as scanned", what="the digits under the bars, or scan them",
                placed=True, parameter="text"),
    ),
    change=lambda: inventory.bar_codes.tie,
    answer=_tied,
    examples=('item code "Rags, lint-free" 2000123456782',),
)  # fmt: skip

OPERATIONS = (
    *(LIST, SHOW, ADD, CLAIMS, CONTAINER, ELEMENT, CODE),
    note_on("item", "Rags, lint-free", "the blue ones shed less"),
    *upkeep("item", "Flange sealant, old tube", "Flange sealant, 24 h cure"),
)
