"""Words on a label that could mean several classes that must not be mixed up: asked back, never guessed."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from catalog.fluids import classes, tables


class Which(NamedTuple):
    """A word with several meanings: the classes it may be, and why it matters."""

    word: str
    codes: tuple[str, ...]
    why: str

    @property
    def question(self) -> str:
        """The question as a person reads it: `synthetic could be ISO-L-HS, …`."""
        listed = f"{', '.join(self.codes[:-1])} or {self.codes[-1]}"
        return f"{self.word} could be {listed}. {self.why}: type which."


@cache
def _table() -> dict[str, tuple[tuple[str, ...], str]]:
    return {
        classes.key(word): (tables.several(row["codes"]), row["question"])
        for row in tables.rows("ambiguous")
        for word in tables.several(row["words"])
    }


def which(text: str) -> Which | None:
    """The question to ask back about an ambiguous word; None for a class, a grade or a word nobody listed."""
    found = _table().get(classes.key(text))
    if found is None or classes.get(text) is not None:
        return None
    return Which(" ".join(text.split()), *found)
