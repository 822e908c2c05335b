"""Items: one as every answer tells it, all that is known of one, the list of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Literal

import models
from catalog import orings
from tui.answers.answer import Answer, said
from tui.commands.output import table

if TYPE_CHECKING:
    from models.inventory.item_figures import ItemFigures
    from models.inventory.items import ItemRow

KindWord = Literal["ring", "filter", "fluid", "sealant", "fastener", "consumable"]


@dataclass(frozen=True)
class Item:
    """What the shop stocks. Rings have the key of a size and a rubber, the rest a class and a grade."""

    item: str
    kind: KindWord
    counted_in: Literal["each", "ul"]
    size: str | None
    rubber: str | None
    hardness_shore_a: int | None
    spec_class: str | None
    spec_grade: str | None
    cure_minutes: int | None
    note: str | None

    @property
    def what(self) -> str:
        """Size, rubber and hardness, or class and grade, in half a sentence."""
        hard = f"{self.hardness_shore_a} Shore A" if self.hardness_shore_a else None
        size = orings.sizes.label_of(self.size) if self.size else None
        return " ".join(filter(None, (size, self.rubber, hard, self.spec_class, self.spec_grade)))


def _fields_of(row: ItemRow) -> dict[str, Any]:
    return {
        "item": row.name,
        "kind": row.kind.value,
        "counted_in": row.counted_in.value,
        "size": row.size_key,
        "rubber": row.rubber or None,
        "hardness_shore_a": row.hardness_shore_a,
        "spec_class": row.spec_class or None,
        "spec_grade": row.spec_grade or None,
        "cure_minutes": row.cure_minutes,
        "note": row.note or None,
    }


def item_of(row: ItemRow) -> Item:
    """An item as answers tell it."""
    return Item(**_fields_of(row))


@dataclass(frozen=True)
class ItemKnown(Item, Answer):
    """All that is known of one item. `container`, what a full one holds, is in what the item is counted in.

    `done`: said first, where something was done.
    """

    SCHEMA: ClassVar[str] = "kitwright.item/2"

    claims: tuple[str, ...]
    container: int | None
    element_measured: bool
    bar_codes: tuple[str, ...]
    done: str = said()

    def words(self) -> list[str]:
        """What was done; what it is, how it is counted, what it claims and holds, its bar codes."""
        unit = "by volume" if self.counted_in == "ul" else "in pieces"
        cure = f"; cures in {self.cure_minutes / 60:g} h" if self.cure_minutes is not None else ""
        holds = models.volume.in_words(self.container, models.words.Unit(self.counted_in)) if self.container else ""
        lines = (
            self.done,
            f"{self.item}, {self.kind}" + (f": {self.what}" if self.what else ""),
            f"  counted {unit}{cure}",
            f"  claims {', '.join(self.claims)}" if self.claims else "",
            f"  a full container holds {holds}" if holds else "",
            "  its element was measured" if self.element_measured else "",
            f"  bar code {', '.join(self.bar_codes)}" if self.bar_codes else "",
            f"  {self.note}" if self.note else "",
        )
        return [line for line in lines if line]


def item_known(row: ItemRow, figures: ItemFigures, codes: tuple[str, ...], done: str = "") -> ItemKnown:
    """All that is known of an item as an answer."""
    return ItemKnown(
        **_fields_of(row),
        claims=tuple(figures.claims),
        container=figures.container,
        element_measured=figures.element is not None,
        bar_codes=codes,
        done=done,
    )


@dataclass(frozen=True)
class ItemList(Answer):
    """The items that were asked for, by name, and how many there are in all."""

    SCHEMA: ClassVar[str] = "kitwright.items/2"

    total: int
    items: tuple[Item, ...]

    def words(self) -> list[str]:
        """A table."""
        if not self.items:
            return ["No item matches."]
        return table(("item", "kind", "what"), [(one.item, one.kind, one.what) for one in self.items])

    def aside(self) -> list[str]:
        """That the list is cut."""
        shown = len(self.items)
        return [f"{shown} of {self.total} shown; add a word to narrow it."] if self.total > shown else []

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.items)
