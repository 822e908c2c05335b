"""What was typed, as a sentence may repeat it, and the near match that is offered for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

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
