"""A thread in free text. `text` is upper case throughout."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, NamedTuple

from catalog.fasteners.sizes import Thread, find_thread

_METRIC: Final = re.compile(
    r"(?<![\w.,/-])M\s?(\d{1,3}(?:[.,]\d)?)(?:\s*[X×*]\s*(\d(?:[.,]\d{1,2})?)(?![.,]?\d))?(?![.,]?\d)"
)
_MAYBE_METRIC: Final = re.compile(r"M\s?\d")
"""Found three times as quickly as `_METRIC` is not: it begins with a letter."""
_UNIFIED: Final = re.compile(r"(?<![\w.,-])((?:\d[\s-])?\d{1,2}/\d{1,2}|#?\d{1,2})\s*-\s*(\d{1,2})\s*(UN[CFJ]?E?F?)?\b")
_PIPE_FIRST: Final = re.compile(r"(?<![\w.,-])(G|R|BSPP|BSPT|BSP|NPTF?)\s*((?:\d[\s-])?\d/\d|\d(?![\d.,]))(?!\d)")
_PIPE_LAST: Final = re.compile(r"(?<![\w.,/-])((?:\d[\s-])?\d/\d|\d)\s*\"?\s*(BSPP|BSPT|BSP|NPTF?)\b")
_FASTENER: Final = re.compile(
    r"\b(?:BOLT|SCREW|NUT|STUD|PLUG|CAPSCREW|SET ?SCREW|HEX|SCHRAUBE|MUTTER|VIS|ECROU|TORNILLO|TUERCA)S?\b"
)


class ThreadReading(NamedTuple):
    """A thread as read, with how sure and why."""

    designation: str
    confidence: float
    why: str


def read_thread(text: str) -> ThreadReading | None:
    """The thread that the text names, or None."""
    if "/" in text or "UN" in text or "NPT" in text or "BSP" in text:
        for pattern, read in ((_PIPE_LAST, _pipe_last), (_PIPE_FIRST, _pipe_first), (_UNIFIED, _unified)):
            if (match := pattern.search(text)) and (found := read(*match.groups())) is not None:
                return found
    if _MAYBE_METRIC.search(text) and (match := _METRIC.search(text)):
        return _metric(match[1], match[2], _FASTENER.search(text) is not None)
    return None


def may_name_a_thread(text: str) -> bool:
    """Whether `read_thread` could find one in a text that differs from this one in its digits alone."""
    return any(pattern.search(text) for pattern in (_PIPE_LAST, _PIPE_FIRST, _UNIFIED, _METRIC))


def _pipe_last(size: str, form: str) -> ThreadReading | None:
    return _pipe_first(form, size)


@lru_cache(maxsize=1024)
def _pipe_first(form: str, size: str) -> ThreadReading | None:
    plain = size.replace("-", " ")
    if form == "BSP":
        return _reading(find_thread(f"G {plain}"), 0.6, "BSP alone may be parallel or tapered; parallel taken")
    fraction = "/" in plain
    if form == "NPTF":
        return _reading(find_thread(f"NPT {plain}"), 0.8, "dryseal NPTF; listed as NPT")
    lone_letter = form in ("G", "R")
    if lone_letter and not fraction:
        return None
    return _reading(find_thread(f"{form} {plain}"), 0.8 if lone_letter else 0.95, "named as a pipe thread")


@lru_cache(maxsize=1024)
def _unified(size: str, per_inch: str, series: str | None) -> ThreadReading | None:
    if series is None and "/" not in size:
        return None  # 10-32 alone may be a part of any number
    name = f"{size.lstrip('#').replace('-', ' ')}-{per_inch}"
    found = find_thread(f"{name} {series}") if series else find_thread(name)
    if found is None and series:
        found = find_thread(name)
        return _reading(found, 0.6, f"diameter and threads per inch; {series} does not go with them")
    return _reading(found, 0.95 if series else 0.85, "diameter, threads per inch" + (" and series" if series else ""))


@lru_cache(maxsize=4096)
def _metric(diameter: str, pitch: str | None, fastener: bool) -> ThreadReading | None:
    if pitch is not None and (found := find_thread(f"M{diameter}x{pitch}")) is not None:
        return _reading(found, 0.95, "diameter and pitch")
    found = find_thread(f"M{diameter}")
    return _reading(found, 0.85 if fastener else 0.6, "diameter alone: the coarse pitch taken")


def _reading(thread: Thread | None, confidence: float, why: str) -> ThreadReading | None:
    return None if thread is None else ThreadReading(thread.designation, confidence, why)
