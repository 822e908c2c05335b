"""Which fluid classes and which viscosity grade a row's text names: told once, when its list is taken over.

Kept with the row as one text, so that rows that name the same are found by an index and judged once.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Final, NamedTuple

from catalog.fluids import classes, grades

LONGEST_CLASS: Final = 4
"""Words in the longest class name looked for in a row's text ("API CK-4", "ISO VG 46", "ATF Type A")."""

_DIGIT: Final = re.compile(r"[0-9]")
_WORD: Final = re.compile(r"[^\s,;:()\[\]]+")
_BESIDE: Final = re.compile(r"(?i)\b(?:hydraulic|engine|gear|transmission|oil|fluid|iso|vg|[0-9]{2,4})\b")
"""What may stand beside a class's name and says nothing else."""
_PARTED: Final = str.maketrans(dict.fromkeys("-_/") | dict.fromkeys(",;:()[]", " "))
_BETWEEN: Final = "|"
_GRADE: Final = ";"
"""Stands between the classes and the grade; no class has it, nor the other, in its code."""


class FluidReading(NamedTuple):
    """The classes named, by their codes and as they are written there, and the grade: "" where none is."""

    named: tuple[tuple[str, str], ...]
    grade: str

    @property
    def kept(self) -> str | None:
        """As a row keeps it; None where no class is named."""
        if not self.named:
            return None
        return _BETWEEN.join(code for code, _ in self.named) + (f"{_GRADE}{self.grade}" if self.grade else "")


def split(kept: str) -> tuple[tuple[str, ...], str]:
    """The classes of what a row keeps, and the grade."""
    said, _, grade = kept.partition(_GRADE)
    return tuple(said.split(_BETWEEN)), grade


def claims_of(kept: str) -> tuple[str, ...]:
    """What such a row claims to be: its classes, and its grade where it names one."""
    codes, grade = split(kept)
    return (*codes, grade) if grade else codes


def fluids_in(name: str) -> str | None:
    """What a row keeps of its text; None where that names no class. Quick for the many rows that are no fluid."""
    words = name.casefold().translate(_PARTED).split()
    known, starts = _keys()
    if starts.isdisjoint(words):
        return None
    for at, word in enumerate(words):
        if word in starts and any("".join(words[at : at + more]) in known for more in range(1, LONGEST_CLASS + 1)):
            return read_fluid(name).kept
    return None


def may_name_a_fluid(shape: str) -> bool:
    """Whether `fluids_in` could find a class in a text that differs from this one in its digits alone, all 0 here."""
    words = shape.casefold().translate(_PARTED).split()
    known = _key_shapes()
    return any(
        "".join(words[at : at + more]) in known for at in range(len(words)) for more in range(1, LONGEST_CLASS + 1)
    )


def read_fluid(name: str) -> FluidReading:
    """The classes and the grade named in a text, longer names before shorter."""
    said = _WORD.findall(name)
    named: dict[str, str] = {}
    grade = ""
    for length in range(LONGEST_CLASS, 0, -1):
        for at in range(len(said) - length + 1):
            text = " ".join(said[at : at + length])
            if not any(letter.isalpha() for letter in text):
                continue
            if grades.is_grade(text):
                grade = grade or text
            elif (found := classes.get(text)) is not None and not found.family.startswith("viscosity grade"):
                named.setdefault(found.code, text)
    return FluidReading(tuple(named.items()), grade)


def class_and_grade(text: str) -> tuple[str, str]:
    """The class of a hydraulic oil that a text names by one word, and the viscosity grade beside it, as on a drum.

    `hydraulic oil HM 46` is HM of ISO VG 46. The text itself and no grade where it is a class's name whole, or names
    none, or says more than that.
    """
    if classes.get(text) is not None:
        return text, ""
    for _, said in read_fluid(text).named:
        if " " in said:
            continue
        found, beside = classes.get(said), text.replace(said, " ", 1)
        if found is None or not found.family.startswith("hydraulic") or _BESIDE.sub(" ", beside).strip():
            continue
        figures = re.findall("[0-9]{2,4}", beside)
        if not figures:
            return said, ""
        grade = f"VG {figures[0]}"
        if len(figures) == 1 and grades.is_grade(grade):
            return said, f"ISO {grade}"
    return text, ""


@cache
def _keys() -> tuple[frozenset[str], frozenset[str]]:
    """Every class's names as `classes.key` has them, and all that such a name begins with."""
    known = frozenset(
        classes.key(name)
        for one in classes.all_classes()
        if not one.family.startswith("viscosity grade")
        for name in (one.code, *one.aliases)
    )
    return known, frozenset(name[:length] for name in known for length in range(1, len(name) + 1))


@cache
def _key_shapes() -> frozenset[str]:
    return frozenset(_DIGIT.sub("0", name) for name in _keys()[0])
