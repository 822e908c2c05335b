"""What was typed, as a sentence may repeat it, and the near match that is offered for it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from models import storage


def shown(text: str, longest: int = 40) -> str:
    """What was typed, in quotes, cut to a readable length and without control characters; no address is repeated."""
    if ("=" in text or ":" in text) and _is_secret(text):
        return "that address"
    clean = "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text[: longest + 1])
    return f"'{clean[:longest]}…'" if len(text) > longest else f"'{clean}'"


def _is_secret(text: str) -> bool:
    return storage.address.may_hold_a_secret(text)


def folded(text: str) -> str:
    """A name as it is compared: case and spaces apart."""
    return " ".join(text.split()).casefold()


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean --width?`, or nothing when nothing is near."""
    import difflib  # 4 ms, only paid for a typo

    near = difflib.get_close_matches(word[:80].lower(), list(known), n=1, cutoff=0.6)
    return f"; did you mean {near[0]}?" if near else ""


def unknown(word: str, known: Sequence[str], meant: str = "") -> str:
    """The sentence for a word that is none of a closed list. `meant`: the one it most likely stands for, if known."""
    offer = f"; did you mean {meant}?" if meant else did_you_mean(word, known) or "."
    return f"{shown(word)} is not known{offer} Choose one of: {', '.join(known)}"


_OPTION: Final = re.compile(r"(?<![\w-])--([a-z][a-z-]*)")
_COMMAND: Final = re.compile(r"([;.,]) ?[^;.,]*: kitwright ([a-z]+)[^;]*")
_STANDS_IN: Final = {
    "sizes": "the Catalog", "rubber": "Judge, Rubber", "fluid": "Judge, Fluid", "jobs": "Kits", "job": "Kits",
    "kit": "Kits", "shelf": "Shelf", "buy": "Buy", "list": "Find", "find": "Find",
}  # fmt: skip


def in_a_form(text: str, labels: Mapping[str, str] = MappingProxyType({})) -> str:
    """A sentence of a command as the app says it: an option by the label of its field, which `labels` has by option.

    An option that has no field is said in its words, without dashes; where a command is named to look with, the area
    that shows the same.
    """

    def look(found: re.Match[str]) -> str:
        area = _STANDS_IN.get(found[2])
        if area is None:
            return "." if found[1] == "." else ""
        return f". Look in {area}." if found[1] == "." else f"{found[1]} look in {area}"

    return _OPTION.sub(lambda found: labels.get(found[0], found[1].replace("-", " ")), _COMMAND.sub(look, text))
