"""A quantity of stock as typed: whole pieces, or a volume in any unit; in the item's own count, or one sentence."""

from __future__ import annotations

MOST = 10**9


def read_amount(text: str, counted_in: str, *, least: int) -> tuple[int, str]:
    """Pieces or microlitres, and "" or the sentence that says what is wrong. A bare volume is in litres."""
    text = text.strip()
    if counted_in == "each":
        if text.isascii() and text.isdigit() and len(text) <= 9 and least <= int(text):
            return int(text), ""
        return 0, f"Type a whole number of pieces from {least} up, for example 12."
    from catalog.quantity import Kind, QuantityError, parse

    if least == 0 and text == "0":
        return 0, ""
    try:
        litres = parse(text, kind=Kind.VOLUME, bare_unit="L").to("µL")
    except QuantityError as problem:
        return 0, str(problem)
    return round(litres), ""
