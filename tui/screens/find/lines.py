"""A row found, as a line of the list and in full."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.widgets.rows import Row

if TYPE_CHECKING:
    from models.search.found import Hit

WAITING = Row(("…",), "dim")
HOW = {
    "exact": "the number itself",
    "size": "by its dimensions",
    "prefix": "the number begins so",
    "words": "by its words",
    "part": "part of the number",
    "listed": "",
}
# An item of our own has no number: what was found is its name.
HOW_NAMED = {**HOW, "exact": "the name itself", "prefix": HOW["words"], "part": "part of its words"}


def price(hit: Hit) -> str:
    """The price of one pack, exactly: `0.45 EUR`, or `3.45 EUR a 100`."""
    from models.purchasing.money import written

    if hit.price_minor is None:
        return ""
    return written(hit.price_minor, hit.currency) + ("" if hit.price_per == 1 else f" a {hit.price_per}")


def pack(hit: Hit) -> str:
    """What a pack holds: pieces or a volume."""
    from models.volume import in_words
    from models.words import Unit

    if hit.where == "item":
        return ""
    return in_words(hit.pack_quantity, Unit(hit.counted_in))


def row_of(hit: Hit | None) -> Row:
    """Where, number, name, size, pack, price."""
    if hit is None:
        return WAITING
    where = "● ours" if hit.where == "item" else hit.supplier
    size = (hit.size_key or "").partition(":")[2]
    return Row((where, hit.number, hit.name, size, pack(hit), price(hit)), "good" if hit.where == "item" else "")


def explain(hit: Hit | None) -> list[str]:
    """The highlighted row in full."""
    if hit is None:
        return []
    if hit.where == "item":
        first = f"{hit.name}: an item of our own"
    else:
        number = f"{hit.number}  " if hit.number else ""
        first = f"{number}{hit.name}"
    found = (HOW if hit.number else HOW_NAMED).get(str(hit.how), "")
    parts = [] if hit.where == "item" else [hit.supplier, f"pack of {pack(hit)}", price(hit) or "no price given"]
    second = " · ".join([*parts, *([f"found: {found}"] if found else [])])
    return [first, second, *_reading(hit)]


def _reading(hit: Hit) -> list[str]:
    """What was read in a supplier's text is never passed off as certain."""
    if not hit.size_key and not hit.rubber:
        return []
    from catalog.orings.sizes import label_of

    what = [label_of(hit.size_key), hit.rubber]
    what += [f"{hit.hardness_shore_a} Shore A"] if hit.hardness_shore_a else []
    said = ", ".join(part for part in what if part)
    if hit.where == "item":
        return [said]
    if hit.reading_state == "confirmed":
        return [f"{said}: confirmed by hand"]
    if hit.reading_state == "refused":
        return [f"read as {said}: refused by hand"]
    sure = f", {(hit.reading_ppm or 0) / 10_000:.0f} % sure" if hit.reading_ppm is not None else ""
    return [f"read in the text: {said}{sure}; check it before you buy"]
