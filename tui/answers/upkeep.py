"""A name that was put right: renamed, retired, brought back, merged; and names that look alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from tui.answers.answer import Answer

WhatWord = Literal["item", "bin", "machine", "supplier"]
DoneWord = Literal["renamed", "retired", "brought back", "merged"]


@dataclass(frozen=True)
class NameChanged(Answer):
    """What was done to what. `name`: what it is called now; `other`: its name before, or of what was merged into it.

    `both_have`: of two that were merged, what each keeps for itself, note or picture, as both had one.
    """

    SCHEMA: ClassVar[str] = "kitwright.name-changed/2"

    done: DoneWord
    what: WhatWord
    name: str
    other: str | None
    both_have: tuple[str, ...] = ()

    def words(self) -> list[str]:
        """What was done, and what follows from it."""
        if self.done == "renamed":
            if self.name == self.other:
                return [f"The {self.what} is called {self.name} already."]
            label = " Print its label again." if self.what == "bin" else ""
            return [f"Renamed {self.what} {self.other}: {self.name} now.{label}"]
        if self.done == "merged":
            return [f"Merged {self.what} {self.other} into {self.name}; its history goes with it.{self._kept}"]
        if self.done == "retired":
            return [f"Retired {self.what} {self.name}: it is no longer offered. Its history stays."]
        return [f"{self.name} is offered again."]

    @property
    def _kept(self) -> str:
        if not self.both_have:
            return ""
        return f" Both have a {' and a '.join(self.both_have)}: {self.name} keeps its own, the other's stays with it."


@dataclass(frozen=True)
class LookAlike(Answer):
    """Which names look like this one or are spelled nearly so, the likest first."""

    SCHEMA: ClassVar[str] = "kitwright.look-alike/2"

    what: WhatWord
    name: str
    alike: tuple[str, ...]

    def words(self) -> list[str]:
        """The names, or that there is none."""
        if not self.alike:
            return [f"No other {self.what} has a name like {self.name}."]
        return [f"Like {self.what} {self.name}:", *(f"  {one}" for one in self.alike)]

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.alike)
