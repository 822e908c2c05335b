"""Every text in every picture of a screen is legible: at least 4.5 to 1 against its ground (WCAG 2.2, 1.4.3)."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from tui.theme import DARK, LIGHT

LEAST = 4.5
# In the first the terminal's own colours are used, not ours; in the other the mail's text lies over the page without a
# border, and what is beside it is out of use.
LEFT_OUT = ("test_other_themes[ansi-dark]", "test_each_state[text-120x40]")
PICTURES = [path for path in sorted(Path(__file__).parent.rglob("__snapshots__/**/*.svg")) if path.stem not in LEFT_OUT]
_ROW = 24.4
_STYLE = re.compile(r"\.terminal-(r\d+) \{ fill: (#[0-9a-f]{6})", re.IGNORECASE)
_GROUND = re.compile(r'<rect fill="(#[0-9a-f]{6})" x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"', re.IGNORECASE)
_TEXT = re.compile(r'<text class="terminal-(r\d+)" x="([\d.]+)" y="([\d.]+)" textLength="([\d.]+)"[^>]*>([^<]*)</text>')


def _light(colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    parts = (int(colour[at : at + 2], 16) / 255.0 for at in (1, 3, 5))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2)."""
    light, dark = sorted((_light(one), _light(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _in_use(svg: str) -> tuple[range, float, float]:
    """The rows and the reach across that can be used: with a sheet laid over the page, its own and its keys' line.

    What lies beneath is dimmed on purpose and out of use (WCAG 2.2, 1.4.3 leaves it out).
    """
    top = [(_row(y), float(x), float(x) + float(length)) for _, x, y, length, text in _TEXT.findall(svg) if "╭" in text]
    end = [_row(y) for _, _, y, _, text in _TEXT.findall(svg) if "╰" in text]
    if not top or not end:
        return range(1000), 0.0, 1e9
    return range(min(row for row, _, _ in top), max(end) + 2), min(x for _, x, _ in top), max(x for _, _, x in top)


def _row(y: str) -> int:
    return round((float(y) - 20.0) / _ROW)


def faint(svg: str) -> dict[str, float]:
    """The texts of a picture that are less legible than they should be, each with its contrast."""
    used, left, right = _in_use(svg)
    colours = dict(_STYLE.findall(svg))
    grounds: dict[int, list[tuple[float, float, str]]] = {}
    for colour, x, y, width in _GROUND.findall(svg):
        grounds.setdefault(round((float(y) - 1.5) / _ROW), []).append((float(x), float(x) + float(width), colour))
    found = {}
    for style, x, y, length, text in _TEXT.findall(svg):
        words = unescape(text).replace("\xa0", " ").strip()
        if not re.search(r"\w", words) or style not in colours:
            continue
        if _row(y) not in used or not left <= float(x) <= float(x) + float(length) <= right:
            continue
        middle = float(x) + float(length) / 2.0
        for low, high, colour in grounds.get(_row(y), []):
            if low <= middle <= high and (ratio := contrast(colours[style], colour)) < LEAST:
                found[words] = round(ratio, 2)
    return found


def test_contrast_is_reckoned_as_the_standard_says() -> None:
    # WCAG 2.2: black on white is 21 to 1; #767676 on white is the lightest grey that passes, 4.54 to 1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


def test_every_text_in_every_picture_is_legible() -> None:
    assert len(PICTURES) > 100
    found = {path.stem: bad for path in PICTURES if (bad := faint(path.read_text(encoding="utf-8")))}
    assert found == {}


def test_what_says_different_things_has_different_colours() -> None:
    for theme in (DARK, LIGHT):
        roles = [theme.accent, theme.warning, theme.error, theme.success, theme.foreground]
        assert len(set(roles)) == len(roles)
