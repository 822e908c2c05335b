"""Bins: the places things lie in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tui.answers.answer import Answer, said
from tui.commands.output import table


@dataclass(frozen=True)
class Bin:
    """One bin by the code that is written on it."""

    bin: str
    note: str | None


@dataclass(frozen=True)
class BinList(Answer):
    """The bins that were asked for, in walking order. `done`: said first, where one was added."""

    SCHEMA: ClassVar[str] = "kitwright.bins/2"

    bins: tuple[Bin, ...]
    done: str = said()

    def words(self) -> list[str]:
        """A table, or what was done."""
        if self.done:
            return [self.done]
        if not self.bins:
            return ["No bin matches."]
        return table(("bin", "note"), [(one.bin, one.note or "") for one in self.bins])

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.bins)
