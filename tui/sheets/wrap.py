"""Breaking text into lines that fit a width: between words where it can, inside a word where it must."""

from __future__ import annotations

from collections.abc import Callable

Width = Callable[[str], float]


def wrap(text: str, room: float, width: Width) -> tuple[str, ...]:
    """`text` in lines no wider than `room`. `width` measures one letter; widths add up. At least one line.

    A letter wider than the room gets a line of its own.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines.extend(_wrapped(paragraph.split(), room, width))
    return tuple(lines)


def cut(text: str, room: float, width: Width, mark: str = "…") -> str:
    """`text` on one line, its end cut off and marked where it doesn't fit."""
    line = " ".join(text.split())
    if _total(line, width) <= room:
        return line
    kept, used = [], _total(mark, width)
    for letter in line:
        used += width(letter)
        if used > room:
            break
        kept.append(letter)
    return "".join(kept).rstrip() + mark


def _wrapped(words: list[str], room: float, width: Width) -> list[str]:
    lines: list[str] = []
    line, used = "", 0.0
    gap = width(" ")
    for word in words:
        wide = _total(word, width)
        if line and used + gap + wide <= room:
            line, used = f"{line} {word}", used + gap + wide
            continue
        if line:
            lines.append(line)
        if wide <= room:
            line, used = word, wide
            continue
        *whole, line = _chopped(word, room, width)
        lines.extend(whole)
        used = _total(line, width)
    return [*lines, line]


def _chopped(word: str, room: float, width: Width) -> list[str]:
    parts: list[str] = []
    start, used = 0, 0.0
    for index, letter in enumerate(word):
        wide = width(letter)
        if index > start and used + wide > room:
            parts.append(word[start:index])
            start, used = index, 0.0
        used += wide
    return [*parts, word[start:]]


def _total(text: str, width: Width) -> float:
    return sum(width(letter) for letter in text)
