"""What is typed of a ring: the series to look in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.words import unknown

if TYPE_CHECKING:
    from catalog.orings.sizes import Series


@dataclass(frozen=True)
class InSeries(Field["tuple[Series, ...]"]):
    """The series to look in, each once; none means all of them."""

    METAVAR: ClassVar[str] = "NAME"

    must: bool = False
    empty: tuple[Series, ...] = ()

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help or self.label.lower(), takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "as568, jis, metric, bs4518, afnor or stock, comma between"

    def read(self, text: str, asked: Asked) -> tuple[Series, ...]:
        """The series. Raises `FieldError`."""
        from catalog.orings.sizes import Series

        words = [word for word in re.split(r"[,\s]+", text.lower()) if word]
        known = [one.value for one in Series]
        for word in words:
            if word not in known:
                raise FieldError(unknown(word, known))
        return tuple(dict.fromkeys(map(Series, words)))

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[Series, ...]:
        """All that was named. Raises `FieldError`."""
        return self.from_text(words.get(self.name) or "", asked)
