"""A filter element in free text: `FILTER ELEMENT 60X120 OPEN 30 60 MESH`. What was read is a guess, with how sure.

The figures are turned into the words that `catalog.filters.describe` reads, so that both understand the same.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, NamedTuple

from catalog.fasteners.sizes import find_thread
from catalog.filters.describe import describe
from catalog.filters.element import Element, Kind
from catalog.quantity import length_mm
from models.supplier_lists.read_thread import read_thread

LONGEST: Final = 250
WORDS: Final = (
    *("filter", "element", "strainer", "cartridge", "spin", "screen", "inline"),
    *("filtre", "filtro", "filterelement", "filterpatrone", "crepine"),
)
"""The words, one of which a text about an element holds, as search folds them."""
_IS_ONE: Final = re.compile(
    r"FILTER|FILTRE|FILTRO|STRAINER|CARTRIDGE|SPIN[\s-]?ON|CR[ÉE]PINE|\bELEMENTS?\b|DROP-IN"
)  # fmt: skip
_NOT_ONE: Final = re.compile(r"\b(?:WRENCH|SPANNER|HOUSING|HEAD|BOWL|BRACKET|SEALS?|O-?RINGS?|GAUGE|CUTTER|TOOL)\b")
_KINDS: Final = (
    (re.compile(r"SPIN[\s-]?ON|SCREW[\s-]?ON"), Kind.SPIN_ON, 0.95, "named spin-on"),
    (re.compile(r"STRAINER|CR[ÉE]PINE"), Kind.SUCTION_STRAINER, 0.9, "named strainer"),
    (re.compile(r"IN[\s-]?LINE"), Kind.IN_LINE, 0.9, "named in-line"),
    (re.compile(r"CARTRIDGE|DROP-IN|PATRONE|CARTOUCHE|CARTUCHO"), Kind.CARTRIDGE, 0.95, "named cartridge"),
    (re.compile(r"ELEMENT|INSERT"), Kind.CARTRIDGE, 0.8, "named element, taken as a cartridge"),
)
# Whole, decimal, or in parts of an inch as on a rule; a whole with a part is at most two feet, or `85 1/2 BSP` is one.
_NUMBER: Final = (
    r"(?:(?:(?:1?\d|2[0-4])[ -])?\d{1,2}/(?:2|4|8|16|32|64)|\d{1,4}(?:[.,]\d{1,3})?)(?![.,]?\d|\s?/\s?\d|-\d)"
)
_MARKS: Final = r"MM\b|INCH(?:ES)?\b|IN\b(?![\s-]?LINE)|\"|″"
_UNIT: Final = rf"(?:\s*({_MARKS}))?"
_BY: Final = r"\s*[X×*]\s*"
_GASKET: Final = re.compile(rf"\bGASKET\s*(?:Ø\s*)?({_NUMBER}){_UNIT}{_BY}({_NUMBER}){_UNIT}")
_THREE: Final = re.compile(
    rf"(?<![\w.,/-])Ø?({_NUMBER}){_UNIT}{_BY}Ø?({_NUMBER}){_UNIT}{_BY}({_NUMBER}){_UNIT}"
)  # fmt: skip
_TWO: Final = re.compile(rf"(?<![\w.,/-])Ø?({_NUMBER}){_UNIT}{_BY}L?\s*({_NUMBER}){_UNIT}")
_OD: Final = re.compile(rf"(?:\bOD|\bDIA|Ø)\.?\s*:?\s*({_NUMBER}){_UNIT}")
_LENGTH: Final = re.compile(rf"\b(?:L|LG|LENGTH|HEIGHT|H)\.?\s*[:=]?\s*({_NUMBER}){_UNIT}")
_BORE: Final = re.compile(rf"\b(OPEN|ID|BORE)\.?\s*:?\s*({_NUMBER}){_UNIT}")
_INCH: Final = re.compile(r"/\d|\"|″|INCH|IN\b")
_BOTH: Final = re.compile(r"\b(?:BOTH ENDS? OPEN|OPEN (?:AT )?BOTH ENDS|OPEN BOTH)\b|\bBOTH ENDS\b")
_ONE: Final = re.compile(r"\b(?:ONE END|CLOSED(?: END)?|1 END)\b")
_MESH: Final = re.compile(r"\b(\d{1,3})\s*-?\s*MESH\b|\bMESH\s*(\d{1,3})\b")
_MICRON: Final = re.compile(r"(\d{1,3}(?:[.,]\d)?)\s*-?\s*(?:MICRONS?\b|MIC\b|UM\b|µM|ΜM)")
_BETA: Final = re.compile(r"(?:BETA|Β|ß)\s*(?:\(?\d{1,2}\)?\s*(?:\(C\))?\s*[=>≥]+\s*)?(\d{2,4})\b")
_LEAST_MM: Final = 5.0
_MOST_MM: Final = 1500.0


class ElementReading(NamedTuple):
    """An element as read, how sure (0 to 1), and what was understood in words."""

    element: Element
    confidence: float
    why: str


class _Parts(NamedTuple):
    phrases: list[str]
    confidence: float
    why: list[str]


def read_element(text: str) -> ElementReading | None:
    """The element that a row's text describes, or None where nothing that can be is said of one."""
    said = text[:LONGEST].upper()
    if not _IS_ONE.search(said) or _NOT_ONE.search(said):
        return None
    try:
        return _read(said)
    except ValueError:  # a size of nothing, say
        return None


@lru_cache(maxsize=8192)
def _read(said: str) -> ElementReading | None:
    parts = _Parts([], 1.0, [])
    rest = said
    usual = _usual_unit(rest)
    gasket = _GASKET.search(rest)
    if gasket:
        inner, outer = _lengths(gasket.groups(), usual)
        parts.phrases.append(f"gasket {inner} x {outer}")
        rest = rest.replace(gasket[0], " ")
    thread = read_thread(rest)
    parts = _sizes(rest, parts, usual)
    parts = _medium(rest, parts)
    parts = _bore(rest, parts, usual)
    if thread is not None and find_thread(thread.designation) is not None:
        parts.phrases.append(f"thread {thread.designation}")
        parts = _surer(parts, thread.confidence, f"thread {thread.designation}")
    if not parts.phrases:
        return None
    kind, sure, why = _kind(said, threaded=thread is not None)
    element = describe(", ".join(parts.phrases)).as_element(kind)
    if not _possible(element):
        return None
    found = _surer(parts, sure, why)
    return ElementReading(element, round(found.confidence, 3), "; ".join(found.why))


def _surer(parts: _Parts, confidence: float, why: str) -> _Parts:
    return _Parts(parts.phrases, min(parts.confidence, confidence), [*parts.why, why])


def _kind(said: str, *, threaded: bool) -> tuple[Kind, float, str]:
    for pattern, kind, sure, why in _KINDS:
        if pattern.search(said):
            return kind, sure, why
    if threaded:
        return Kind.SPIN_ON, 0.6, "it has a thread, taken as a spin-on"
    return Kind.CARTRIDGE, 0.4, "no kind named, taken as a cartridge"


def _sizes(rest: str, parts: _Parts, usual: str) -> _Parts:
    three = _THREE.search(rest)
    if three:
        outer, bore, long = _lengths(three.groups(), usual)
        parts.phrases.extend((f"{outer} x {long}", f"open {bore}"))
        return _surer(parts, 0.5, f"{three[0].strip()} taken as outside × bore × length")
    two = _TWO.search(rest)
    if two:
        outer, long = _lengths(two.groups(), usual)
        parts.phrases.append(f"{outer} x {long}")
        wide = length_mm(outer)[0] > length_mm(long)[0]
        sure, more = (0.6, ", though it is wider than long") if wide else (0.85, "")
        return _surer(parts, sure, f"{two[0].strip()} taken as outside × length{more}")
    for pattern, word in ((_OD, "od"), (_LENGTH, "length")):
        found = pattern.search(rest)
        if found:
            parts.phrases.append(f"{word} {_lengths(found.groups(), usual)[0]}")
            parts = _surer(parts, 0.9, f"{word} {found[1]} is named")
    return parts


def _bore(rest: str, parts: _Parts, usual: str) -> _Parts:
    found = _BORE.search(rest)
    if found is None:
        return parts
    (bore,) = _lengths(found.groups()[1:], usual)
    which = " at both ends" if _BOTH.search(rest) else " at one end" if _ONE.search(rest) else ""
    parts.phrases[:] = [phrase for phrase in parts.phrases if not phrase.startswith("open")]
    parts.phrases.append(f"open {bore}{which}")
    sure = 0.9 if found[1] == "OPEN" else 0.75
    return _surer(parts, sure, f"{found[0].strip()} taken as an open end" + (which or ", the other not named"))


def _medium(rest: str, parts: _Parts) -> _Parts:
    mesh = _MESH.search(rest)
    micron = _MICRON.search(rest)
    if mesh:
        number = mesh[1] or mesh[2]
        parts.phrases.append(f"{number} mesh")
        return _surer(parts, 0.95, f"{number} mesh")
    if micron:
        beta = _BETA.search(rest)
        rated = f"{_plain(micron[1])} micron" + (f" beta {beta[1]}" if beta else " nominal")
        parts.phrases.append(rated)
        return _surer(parts, 0.9, rated)
    return parts


def _plain(number: str) -> str:
    return number.replace(",", ".")


def _usual_unit(rest: str) -> str:
    """The unit of a figure without one: inches where any size is in inches and none in mm."""
    patterns = (_GASKET, _THREE, _TWO, _OD, _LENGTH, _BORE)
    said = " ".join(found[0] for pattern in patterns for found in pattern.finditer(rest))
    return "in" if _INCH.search(said) and "MM" not in said else "mm"


def _lengths(groups: tuple[str | None, ...], usual: str) -> list[str]:
    """Sizes that stand together, as numbers and the unit after each or after any of them: each with its unit."""
    units = [unit for unit in groups[1::2] if unit]
    made = []
    for number, own in zip(groups[::2], groups[1::2], strict=True):
        said = own or (units[0] if units else "")
        inch = said != "MM" if said else "/" in str(number) or usual == "in"
        made.append(f"{_plain(str(number))}{'in' if inch else 'mm'}")
    return made


def _possible(element: Element) -> bool:
    """Whether the figures can be an element's at all: a bore lies inside the diameter, and none is a pinhole."""
    sizes = [size for size in (element.od_mm, element.length_mm) if size is not None]
    bores = [end.id_mm for end in (element.first, element.second) if end.id_mm is not None]
    inside = element.od_mm is None or all(bore < element.od_mm for bore in bores)
    return inside and all(_LEAST_MM <= size <= _MOST_MM for size in (*sizes, *bores))
