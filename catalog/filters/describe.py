"""Read how an element is described in a line: `cartridge, 60 × 120, open 30 at one end, 60 mesh`."""

from __future__ import annotations

import re
from functools import lru_cache

from catalog.fasteners.sizes import Thread, find_thread
from catalog.filters.element import NO_BYPASS, Bypass, End, EndForm, Gasket, Kind, from_thread
from catalog.filters.media import Medium, mesh, rated, wire_cloth
from catalog.filters.search import Described, Dimension
from catalog.quantity import Kind as Quantity
from catalog.quantity import length_mm, parse
from catalog.quantity.errors import excerpt

LONGEST = 300
MOST_WORDS = 8  # of one phrase: open 30 mm at the other end
USUAL_PLUS_MINUS = 0.5  # mm, where none was typed: our assumption for a caliper on sheet metal and paper
EXAMPLE = "“cartridge, 60 × 120, open 30 at one end” or “spin-on, 93 × 142, thread 3/4-16, gasket 62 × 71”"

_KINDS = {
    "spin-on": Kind.SPIN_ON,
    "spin on": Kind.SPIN_ON,
    "can": Kind.SPIN_ON,
    "cartridge": Kind.CARTRIDGE,
    "suction strainer": Kind.SUCTION_STRAINER,
    "strainer": Kind.SUCTION_STRAINER,
    "in-line": Kind.IN_LINE,
    "in line": Kind.IN_LINE,
    "inline": Kind.IN_LINE,
}
# A comma between digits is a decimal comma; any other comma, and every semicolon, ends a phrase.
_BREAK = re.compile(r"(?<!\d),|,(?!\d)|;")
_BY = re.compile(r"\s*[x×*]\s*")
_STROKE = re.compile(r"\s*/\s*")
_END = re.compile(
    r"(open|closed|screened|sprung)\b\s*(.*?)\s*(?:(?:at|on)?\s*(?:(one|both|the other|other)(?:\s*ends?)?))?"
)
_MICRON = re.compile(r"([\d.,]+)\s*(?:micron|microns|µm|μm|um)(?:\s*nominal|\s*,?\s*(?:beta|β)\s*([\d.,]+))?")
_BYPASS = re.compile(r"(no|without)?\s*by-?pass(?:\s+valve)?(?:\s+(?:opens\s+)?(?:at\s+)?(\S.*))?")
# The class of fit, and UN for the series, as cans have it: 3/4-16 UNF-2B, 1-12 UN.
_FIT = re.compile(r"[\s-]*[123][ab]$|(?<=\d)\s*un$")
_MESH = re.compile(r"(?:mesh\s*(\d+)|(\d+)\s*mesh)")


def describe(text: str, bare_unit: str = "mm") -> Described:
    """What a line of words and measures says of an element. Raises ValueError that names the phrase it cannot read.

    Phrases are parted by commas, or by nothing where each is a phrase of its own (`cartridge 60 x 120`); a bare number
    is in `bare_unit` (`mm` or `in`). “open 30 at one end” says that the other end is closed; “open 30” alone says
    nothing of the other end.
    """
    if len(text) > LONGEST:
        raise ValueError(f"That is {len(text)} characters: describe the element in {LONGEST}, such as {EXAMPLE}.")
    found = Described()
    phrases = [" ".join(phrase.split()) for phrase in _BREAK.split(text)]
    for phrase in phrases:
        if phrase:
            found = _read_all(found, phrase, bare_unit)
    if found == Described():
        raise ValueError(f"Nothing to search by: type something like {EXAMPLE}.")
    return found


def _read_all(found: Described, phrase: str, unit: str) -> Described:
    """A phrase, or several without a comma between them: each the longest that is one. Raises as for the whole."""
    try:
        return _read(found, phrase, unit)
    except ValueError:
        words = phrase.split()
        at = 0
        while at < len(words):
            for end in range(min(len(words), at + MOST_WORDS), at, -1):
                try:
                    found = _read(found, " ".join(words[at:end]), unit)
                except ValueError:
                    continue
                at = end
                break
            else:
                raise
        return found


def _read(found: Described, phrase: str, unit: str) -> Described:
    lower = phrase.lower()
    if lower in _KINDS:
        return found._replace(kind=_KINDS[lower])
    medium = _medium(lower)
    if medium is not None:
        return found._replace(medium=medium)
    ended = _END.fullmatch(lower)
    if ended:
        return _with_end(found, EndForm(ended[1]), ended[2], ended[3] or "", unit)
    bypass = _BYPASS.fullmatch(lower)
    if bypass:
        return found._replace(bypass=_bypass(phrase, bool(bypass[1]), bypass[2]))
    thread = _thread(lower.removeprefix("thread").strip())
    if thread is not None:
        return found._replace(thread=from_thread(thread))
    if lower.startswith("thread"):
        raise ValueError(
            f"No thread called {excerpt(phrase[6:].strip())} in the tables: type it like M20x1.5 or 3/4-16."
        )
    if lower.startswith("gasket"):
        return found._replace(gasket=_gasket(lower.removeprefix("gasket").strip(), unit))
    return _sized(found, phrase, lower, unit)


def _sized(found: Described, phrase: str, lower: str, unit: str) -> Described:
    if lower.startswith(("od ", "diameter ")):
        return found._replace(od=_length(lower.split(" ", 1)[1], unit))
    if lower.startswith("length "):
        return found._replace(length=_length(lower.split(" ", 1)[1], unit))
    if lower.endswith(" long"):
        return found._replace(length=_length(lower.removesuffix(" long"), unit))
    if lower.startswith(("id ", "bore ")):
        return _with_end(found, EndForm.OPEN, lower.split(" ", 1)[1], "", unit)
    parts = _BY.split(lower)
    if len(parts) == 2:
        return found._replace(od=_length(parts[0], unit), length=_length(parts[1], unit))
    shown = excerpt(phrase)
    if len(parts) == 3:
        raise ValueError(
            f"{shown} has three sizes: type outside diameter × length, and the bore as “open 30 at one end”."
        )
    raise ValueError(f"{shown} is not understood: type something like {EXAMPLE}.")


@lru_cache(maxsize=4096)
def _length(text: str, unit: str) -> Dimension:
    value, plus_minus = length_mm(text, unit)
    if not value > 0:
        raise ValueError(f"{excerpt(text)} must be above 0: type a length in mm or inches.")
    return Dimension(value, plus_minus if plus_minus else USUAL_PLUS_MINUS)


def _with_end(found: Described, form: EndForm, size: str, which: str, unit: str) -> Described:
    size = size.removesuffix(" at").removesuffix(" on").strip()
    end = End(form)
    if size:
        bore = _length(size, unit)
        end = end._replace(id_mm=bore.value_mm)
        found = found._replace(end_plus_minus_mm=max(found.end_plus_minus_mm, bore.plus_minus_mm))
    if which == "both":
        return found._replace(first=end, second=end)
    # “at one end” means the other is not like it; a later phrase may still say what it is.
    if found.first.form is None:
        opposite = End(EndForm.CLOSED) if which == "one" and end.passes else End()
        return found._replace(first=end, second=opposite)
    return found._replace(second=end)


def _thread(name: str) -> Thread | None:
    while (thread := find_thread(name)) is None and (shorter := _FIT.sub("", name)) != name:
        name = shorter
    return thread


def _bypass(phrase: str, none: bool, opens: str | None) -> Bypass:
    """Whether it has one, and from what pressure it opens: a bare number is in bar."""
    if none and opens is None:
        return NO_BYPASS
    bar = None if opens is None else float(parse(opens, kind=Quantity.PRESSURE, bare_unit="bar").to("bar"))
    if none or (bar is not None and bar <= 0):
        raise ValueError(f"{excerpt(phrase)} is not understood: type bypass 1.5 bar, or no bypass.")
    return Bypass(True, bar)


def _gasket(text: str, unit: str) -> Gasket:
    # Two sizes it must have, so a stroke that is the only sign between figures parts them: 62/71 is no fraction.
    by = _BY if _BY.search(text) else _STROKE
    sizes = [_length(part, unit).value_mm for part in by.split(text)]
    if len(sizes) not in (2, 3) or sizes[0] == sizes[1]:
        raise ValueError(
            f"The gasket {excerpt(text)} is not understood: type inside × outside, such as gasket 62 × 71."
        )
    inner, outer = sorted(sizes[:2])
    return Gasket(inner, outer, sizes[2] if len(sizes) == 3 else None)


def _number(text: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise ValueError(f"{excerpt(text)} is not a number: type it like 10 or 2.5.") from None


def _medium(lower: str) -> Medium | None:
    meshed = _MESH.fullmatch(lower)
    if meshed:
        return mesh(meshed[1] or meshed[2])
    sized = _MICRON.fullmatch(lower)
    if sized:
        return rated(_number(sized[1]), _number(sized[2]) if sized[2] else None)
    return wire_cloth() if lower == "wire cloth" else None
