"""What is typed of a bolt: its class, what is on its thread, and how tight it is to be."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Final

import catalog
from catalog import fasteners
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.quantities import Force, Torque
from tui.fields.threads import ThreadName, name_of
from tui.fields.words import shown

_SHARE: Final = re.compile(r"(\d{1,3}(?:[.,]\d{0,6})?|[.,]\d{1,6})\s*(%?)", re.ASCII)


@dataclass(frozen=True)
class StrengthClass(Field["str | None"]):
    """A property class or grade, by its own name; read after the thread, since metric and inch bolts have their own."""

    METAVAR: ClassVar[str] = "CLASS"

    must: bool = False
    what: str = "8.8, A2-70, 5"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> str | None:
        """The class as the table of the thread names it. Raises `FieldError`."""
        thread = asked.values.get("thread")
        grade = name_of(text)
        if thread is None:
            return grade
        try:
            return fasteners.strength.strength(grade, thread).name
        except ValueError as problem:
            raise FieldError(str(problem)) from problem

    def echo(self, value: str | None, asked: Asked) -> str:
        """What stress the class has, in both units."""
        thread = asked.values.get("thread")
        if value is None or thread is None:
            return ""
        known = fasteners.strength.strength(value, thread)
        return f"{known.limit.stress} {catalog.quantity.display.format_stress(known.proof_mpa)}"


@dataclass(frozen=True)
class OnThread(Field["str | None"]):
    """What is on a thread. `shortcuts`: words that have an option of their own."""

    METAVAR: ClassVar[str] = "WORD"

    must: bool = False
    shortcuts: tuple[str, ...] = ()

    def options(self) -> tuple[Option, ...]:
        """The word, or one of the shortcuts in its place."""
        short = (
            Option(one.replace("-", "_"), f"--{one}", "", f"the same as {self.flag} {one}", takes="none")
            for one in self.shortcuts
        )
        return (*super().options(), *short)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "dry, oiled, anti-seize, zinc, light-oil, rusty, waxed or thread-locker"

    def read(self, text: str, asked: Asked) -> str | None:
        """The condition's key. Raises `FieldError`."""
        try:
            return fasteners.torque.nut_factor(name_of(text)).key
        except FieldError:
            raise
        except ValueError as problem:
            raise FieldError(str(problem)) from problem

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> str | None:
        """The condition, said once. Raises `FieldError`."""
        said = [one for one in self.shortcuts if words.get(one.replace("-", "_"))]
        flags = [*([self.flag] if words.get(self.name) else []), *(f"--{one}" for one in said)]
        if len(flags) > 1:
            raise FieldError(f"not allowed with {flags[0]}; say once what is on the thread", flags[1])
        return said[0] if said else super().from_words(words, asked)


@dataclass(frozen=True)
class LoadShare(Field["float | None"]):
    """A share of what a bolt bears, as `75%` or `0.75`."""

    METAVAR: ClassVar[str] = "SHARE"

    must: bool = False
    what: str = "75 % or 0.75"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> float | None:
        """The part of one. Raises `FieldError`."""
        found = _SHARE.fullmatch(text)
        value = -1.0 if found is None else float(found[1].replace(",", ".")) / (100 if found[2] else 1)
        if not 0 <= value <= 1:
            raise FieldError(f"{shown(text)} is not a share; type for example {self.what}")
        return value

    def echo(self, value: float | None, asked: Asked) -> str:
        """The share in percent."""
        return "" if value is None else f"{100 * value:g} %"


CONDITIONS: Final = ("dry", "oiled", "anti-seize", "zinc", "light-oil", "rusty", "waxed", "thread-locker")
"""What may be on a thread, as the table has it."""
THREAD = ThreadName("thread", "Thread", "M16x2, 3/8-16 UNC", what="M16x2, 3/8-16")
STRENGTH = StrengthClass("strength", "Class", "8.8, A2-70, 7T, or SAE grade 5", option="class")
CONDITION = OnThread(
    "condition",
    "Thread is",
    "what is on the thread (dry unless you say otherwise)",
    empty="dry",
    shortcuts=("oiled", "anti-seize"),
)
TORQUE = Torque(
    "torque", "Torque", "a torque, such as 100 lbf·ft, 40 lbf·in or 135 N·m", must=False, what="empty: usual"
)
CLAMP = Force("clamp", "or clamp", "the clamp load wanted, such as 60 kN or 13.5 kip", must=False, what="as 60 kN")
FRACTION = LoadShare(
    "fraction", "or share", "of the proof load, such as 0.6 (0.75 unless you say otherwise)", what="75 % or 0.75"
)
MEANT_FOR = OnThread("meant_for", "Meant for", "condition the torque was printed for (dry unless you say)")
