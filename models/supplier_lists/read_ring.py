"""A ring in free text: by its dimensions or its name in a standard, and its rubber. `text` is upper case throughout."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, NamedTuple

from catalog.orings.fractions import sizes_called
from catalog.orings.names import find
from catalog.orings.rubber_tables import Family
from catalog.orings.sizes import RingSize

PER_MM: Final = 10_000
"""Lengths are stored in units of 100 nm, of which an inch has exactly 254,000."""
_NUMBER: Final = r"\d{0,4}[.,]\d{1,4}|\d{1,4}"
_PAIR: Final = re.compile(
    rf"(?=[\d.,])(?<![\d.,/×*-])(?<!\dX)(?<!\d X)(?<!\dX )(?<!\d X )(?<![×*] )(?<!\bM)"
    rf"({_NUMBER})\s*(MM|\"|IN\b)?\s*[X×*]\s*({_NUMBER})\s*(MM|\"|IN\b)?"
    r"(?![\d.,]*\s*[X×*/]\s*\d|\d|\s*(?:L|LTRS?|ML|GALS?|QTS?|PTS?|KG|G|PCS?|M)\b)"
)
_CALLED_ID: Final = r"(?:I/?D|I\.D\.?|INSIDE)(?![A-Z])"
_CALLED_WIDTH: Final = r"(?:C/?S|W|WIDTH|SECTION|CROSS[\s-]SECTION|THICK(?:NESS)?)(?![A-Z])"
_UNIT: Final = r"\s*(MM|\"|IN\b)?"
_APART: Final = r"[\s,;X×*/-]*"
_NAMED_BOTH: Final = (
    re.compile(rf"\b{_CALLED_ID}[\s:=Ø]*({_NUMBER}){_UNIT}{_APART}\b{_CALLED_WIDTH}[\s:=Ø]*({_NUMBER}){_UNIT}"),
    re.compile(rf"(?<![\d.,/])({_NUMBER}){_UNIT}\s*{_CALLED_ID}{_APART}({_NUMBER}){_UNIT}\s*{_CALLED_WIDTH}"),
)
"""`ID 12MM CS 2MM`, `12 ID X 2 CS`: each by its name, so neither can be the other."""
_LOBED: Final = re.compile(r"\bQUAD[\s-]?RINGS?\b|\bX-RINGS?\b|^X RINGS?\b|\b(?:FOUR|4)[\s-]LOBED?\b")
_FLAT: Final = re.compile(r"\bWASHERS?\b|\bSCHEIBEN?\b|\bRONDELLES?\b|\bARANDELAS?\b")
_RING: Final = re.compile(r"\bO[\s-]?RINGS?(?![A-Z])|\bJOINTS? TORIQUES?\b|\bJUNTAS? T[OÓ]RICAS?\b")
_AS568: Final = re.compile(r"\bAS[\s-]?568[A-F]?[\s-]*(\d{3})\b")
_DASH: Final = re.compile(r"(?<![\w.,-])-(\d{3})\b")
_AFTER_RING: Final = re.compile(r"\bO[\s-]?RINGS?\s+(\d{3})\b(?![.,/X×*-])")
_JIS: Final = re.compile(r"\bJIS\s*(?:B\s*2401)?[\s:-]*([PGVS]\s?\d{1,4}(?:[.,]\d)?[A-Z]?)\b")
_LETTERED: Final = re.compile(r"(?<![\w.,-])([PG]\d{1,4}(?:\.\d)?A?)\b")
_BS4518: Final = re.compile(r"(?<![\w.,-])(\d{4}-\d{2})\b")
_FRACTION: Final = r"(?:(?:\d{1,2}[ -])?\d{1,2}/\d{1,2}|\d{1,2})\s*(?:\"|IN\b)?"
_FIGURE: Final = re.compile(_FRACTION)
_FRACTIONS: Final = re.compile(rf"(?<![\w./×*-]){_FRACTION}(?:\s*[X×*]\s*{_FRACTION}){{1,2}}(?![\w/.]|\s*[X×*]\s*\d)")
_RUBBERS: Final[dict[str, tuple[str, float]]] = {
    # `NR` in a list is far more often a number (German “Nr.”) than natural rubber.
    **{family.value: (family.value, 0.95) for family in Family if family not in (Family.AU_EU, Family.NR)},
    "CR": (Family.CR.value, 0.8),
    **dict.fromkeys(("AU", "EU", "PU", "PUR"), (Family.AU_EU.value, 0.7)),
    # Names for the same in ISO 1629 as it was, and in words.
    "FPM": (Family.FKM.value, 0.9),
    "MVQ": (Family.VMQ.value, 0.9),
    "NITRILE": (Family.NBR.value, 0.9),
    "BUTYL": (Family.IIR.value, 0.8),
    "SILICONE": (Family.VMQ.value, 0.8),
    "SILIKON": (Family.VMQ.value, 0.8),
    # The families' names in words (ISO 1629 has them in full; what lists shorten them to is common practice).
    "NITRIL": (Family.NBR.value, 0.9),
    "NITRILO": (Family.NBR.value, 0.9),
    **dict.fromkeys(("FLUOROCARBON", "FLUOROELASTOMER", "FLUORORUBBER", "FLUORINE"), (Family.FKM.value, 0.85)),
    "FLUOROSILICONE": (Family.FVMQ.value, 0.9),
    "CHLOROPRENE": (Family.CR.value, 0.9),
    "POLYACRYLATE": (Family.ACM.value, 0.9),
    **dict.fromkeys(("POLYURETHANE", "URETHANE", "POLYURETHAN"), (Family.AU_EU.value, 0.85)),
}
_WORD: Final = re.compile(r"[A-Z]{2,15}")
_TWO_WORDS: Final = (
    (re.compile(r"\bHYDROGENATED[\s-]NITRILE\b|\bHIGHLY SATURATED NITRILE\b"), Family.HNBR.value),
    (re.compile(r"\bETHYLENE[\s-]PROPYLENE(?:[\s-]DIENE)?\b"), Family.EPDM.value),
)
_JIS_CLASS: Final = re.compile(r"(?<![\w.,-])(1[\s-]?[AB]|4[\s-]?[CD])(?![\w.,])")
_JIS_CLASSES: Final = {
    "1A": (Family.NBR.value, 70), "1B": (Family.NBR.value, 90), "4C": (Family.VMQ.value, 70),
    "4D": (Family.FKM.value, 70),
}  # fmt: skip
"""Material classes of JIS B 2401 as it was numbered until 2012, with their hardness: from memory, unchecked."""
_HARDNESS: Final = re.compile(r"[\s-]*(\d{2})\b")
# Common practice, no source: a letter for the rubber and its hardness.
_SHORT: Final = re.compile(r"(?<![\w.,-])([NVEHS])[\s-]?(50|60|70|75|80|85|90|95)\b")
_LETTERS: Final = {
    letter: family.value
    for letter, family in zip("NVEHS", (Family.NBR, Family.FKM, Family.EPDM, Family.HNBR, Family.VMQ), strict=True)
}
_SHORE: Final = re.compile(r"\b(\d{2})\s*°?\s*(?:SH(?:ORE)?|IRHD)\b")


class RingReading(NamedTuple):
    """A ring as read. `size_key` None: no standard size has just these dimensions."""

    label: str
    size_key: str | None
    id_100nm: int
    width_100nm: int
    confidence: float
    why: str
    rubber: str = ""
    hardness_shore_a: int | None = None
    rubber_confidence: float = 0.0
    rubber_why: str = ""


def read_ring(text: str, mark: str | None, *, said_ring: bool) -> RingReading | None:
    """The ring that the text names, or None. `said_ring`: the text says that it is about one, see `is_ring`."""
    fractions = _FRACTIONS.search(text) if said_ring and "/" in text else None
    if fractions is not None and "/" in fractions[0]:
        return _of_fractions(text, fractions)
    both = _both_named(text)
    pair = both or _PAIR.search(text)
    found = _named(text, said_ring and pair is None)
    if found is None and both is not None:
        first, first_unit, second, second_unit = both.groups()
        found = _by_dimensions(
            first, second, (second_unit or first_unit) in ('"', "IN"), mark, said_ring, each_named=True
        )
    elif found is None and pair is not None:
        first, first_unit, second, second_unit = pair.groups()
        inches = (second_unit or first_unit) in ('"', "IN")
        found = _by_dimensions(first, second, inches, mark, said_ring)
    if found is None:
        return None
    # Without the dimensions most texts are one of a few, and no length is taken for a hardness.
    rest = text if pair is None else f"{text[: pair.start()]}#{text[pair.end() :]}"
    return RingReading(*found[:6], *rubber_in(rest))


def may_name_a_ring(text: str) -> bool:
    """Whether `read_ring` could find one, by what stands in a text that differs from this one in its digits alone.

    Not asked about what is known by its figures, `568` and `4518`.
    """
    return is_ring(text) or "JIS" in text or _PAIR.search(text) is not None or _both_named(text) is not None


def _of_fractions(text: str, fractions: re.Match[str]) -> RingReading | None:
    """By trade fractions in inches, which are names of AS568 sizes; nothing where they name two, or none."""
    called = sizes_called(fractions[0])
    found = _named(text, said_ring=True)
    if found is None and len(called) == 1:
        sure = 0.85 if len(_FIGURE.findall(fractions[0])) > 2 else 0.7
        found = _of(called[0], sure, "trade fractions in inches after the word O-ring")
    if found is None:
        return None
    rest = f"{text[: fractions.start()]}#{text[fractions.end() :]}"
    return RingReading(*found[:6], *rubber_in(rest))


def _both_named(text: str) -> re.Match[str] | None:
    if not names_both(text):
        return None
    return next((found for pattern in _NAMED_BOTH if (found := pattern.search(text)) is not None), None)


def names_both(text: str) -> bool:
    """Whether the text may name an ID and a width; a cheap look."""
    return ("ID" in text or "I.D" in text or "I/D" in text or "INSIDE" in text) and (
        "C" in text or "W" in text or "THICK" in text
    )


def is_lobed(text: str) -> bool:
    """Whether it is a ring of four lobes, which is no O-ring though it goes by an O-ring's size."""
    return ("RING" in text or "LOBE" in text) and _LOBED.search(text) is not None


def is_flat(text: str) -> bool:
    """Whether it is a washer, whose two figures are no ID and width."""
    return _FLAT.search(text) is not None


def without_ring_word(text: str) -> str:
    """The text without the word that says that it is about an O-ring."""
    return " ".join(_RING.sub(" ", text).split())


def is_ring(text: str) -> bool:
    """Whether the text says that it is about an O-ring."""
    return ("RING" in text or "TORI" in text or "TÓRI" in text) and _RING.search(text) is not None


def _named(text: str, said_ring: bool) -> RingReading | None:
    """By a designation. Only a name that cannot be much else counts where the text does not say that it is a ring."""
    if "568" in text and (named := _AS568.search(text)):
        return _of(find(f"AS568-{named[1]}"), 0.97, "named by its AS568 number")
    if "JIS" in text and (named := _JIS.search(text)):
        return _of(find("JIS " + named[1].replace(",", ".")), 0.95, "named by its JIS size")
    if "4518" in text and (named := _BS4518.search(text)):
        return _of(find(f"BS4518 {named[1]}"), 0.95, "named by its BS 4518 number")
    if not said_ring:
        return None
    if named := _DASH.search(text):
        return _of(find(f"AS568-{named[1]}"), 0.9, "a dash number after the word O-ring")
    if named := _BS4518.search(text):
        return _of(find(named[1]), 0.85, "a number like those of BS 4518")
    if named := _LETTERED.search(text):
        return _of(find(named[1]), 0.75, "a letter and a number like those of JIS B 2401")
    if named := _AFTER_RING.search(text):
        return _of(find(f"AS568-{named[1]}"), 0.6, "three digits after the word O-ring, perhaps a dash number")
    return None


def _of(size: RingSize | None, confidence: float, why: str) -> RingReading | None:
    if size is None:
        return None
    return RingReading(
        size.label, size.key, round(size.id_mm * PER_MM), round(size.cross_section_mm * PER_MM), confidence, why
    )


@lru_cache(maxsize=32_768)
def _by_dimensions(
    first: str, second: str, inches: bool, mark: str | None, said_ring: bool, *, each_named: bool = False
) -> RingReading | None:
    one, one_sure = _length(first, mark, inches)
    two, two_sure = _length(second, mark, inches)
    sure, why = (
        (0.95, "ID × width after the word O-ring") if said_ring else (0.4, "two lengths; the word O-ring is missing")
    )
    if each_named:
        why = f"ID and width, each by its name{'' if said_ring else '; the word O-ring is missing'}"
    if not (one_sure and two_sure):
        sure, why = sure * 0.6, f"{why}; a comma with three digits behind it may set off thousands"
    size = _size(one, two)
    if size is None and one < two and not each_named:
        one, two, size = two, one, _size(two, one)
        sure, why = sure * 0.8, f"{why}, the width first"
    if not (5_000 <= two <= 300_000 and 5_000 <= one <= 20_000_000):
        return None
    if size is not None:
        return RingReading(size.label, size.key, one, two, round(sure, 3), why)
    label = f"{one / PER_MM:g} × {two / PER_MM:g} mm"
    return RingReading(label, None, one, two, round(sure * 0.8, 3), f"{why}; no standard size has these dimensions")


def _size(inner: int, width: int) -> RingSize | None:
    return find(f"{inner / PER_MM:.2f}x{width / PER_MM:.2f}") if inner <= 20_000_000 else None


def _length(said: str, mark: str | None, inches: bool) -> tuple[int, bool]:
    """In units of 100 nm, and whether a comma could not have meant thousands."""
    sure = not (len(said.partition(",")[2]) == 3 and mark != "," and said[:1] not in ("0", ","))
    return round(float(said.replace(",", ".")) * (25.4 if inches else 1) * PER_MM), sure


def _in_two_words(text: str) -> tuple[str, int] | None:
    """A family named in two words, and where they end."""
    if "NITRILE" not in text and "ETHYLENE" not in text:
        return None
    found = ((pattern.search(text), family) for pattern, family in _TWO_WORDS)
    return next(((family, words.end()) for words, family in found if words is not None), None)


def _by_jis_class(text: str) -> tuple[str, int | None, float, str]:
    found = _JIS_CLASS.search(text) if "JIS" in text or _LETTERED.search(text) is not None else None
    if found is None:
        return "", None, 0.0, ""
    name = re.sub(r"[\s-]", "", found[1])
    rubber, hardness = _JIS_CLASSES[name]
    return rubber, hardness, 0.8, f"{name} read as a material class of JIS B 2401"


@lru_cache(maxsize=8192)
def rubber_in(text: str) -> tuple[str, int | None, float, str]:
    """The family, the hardness where it is said, how sure, and why; empty where no rubber is named."""
    rubber, hardness, sure, why = "", None, 0.0, ""
    two = _in_two_words(text)
    if two is not None:
        rubber, sure, why = two[0], 0.9, "named"
        after = _HARDNESS.match(text, two[1])
        hardness = int(after[1]) if after is not None else None
    elif not _RUBBERS.keys().isdisjoint(_WORD.findall(text)):
        word = next(word for word in _WORD.finditer(text) if word[0] in _RUBBERS)
        (rubber, sure), why = _RUBBERS[word[0]], "named"
        after = _HARDNESS.match(text, word.end())
        hardness = int(after[1]) if after is not None else None
    else:
        short = _SHORT.search(text)
        if short is None:
            return _by_jis_class(text)
        rubber, hardness, sure = _LETTERS[short[1]], int(short[2]), 0.8
        why = f"{short[0]} read as a letter for the rubber and its hardness"
    if ("SH" in text or "IRHD" in text) and (shore := _SHORE.search(text)):
        hardness = int(shore[1])
    return rubber, hardness if hardness is not None and 30 <= hardness <= 99 else None, sure, why
