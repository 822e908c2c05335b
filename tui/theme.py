"""The colours, by what they say: plain text, titles, what is certain, what is in doubt, what fails.

A colour never says a thing alone: a word or a sign stands beside it, and what is in doubt or fails is bold as well, so
that it stands out without colour (NO_COLOR). Each is legible on every ground that text stands on: at least 4.5 to 1
(WCAG 2.2, 1.4.3), which `tests/tui/test_contrast.py` measures over all pictures.
"""

from __future__ import annotations

from typing import Final

from textual.theme import Theme

DARK: Final = Theme(
    name="kitwright-dark",
    primary="#0B63B0",
    secondary="#004578",
    accent="#7CC7D6",
    warning="#FFC266",
    error="#FF7A7A",
    success="#7FD8A4",
    foreground="#E4E4E4",
    dark=True,
    variables={
        "text-primary": "#6DB3EA",
        "text-accent": "#7CC7D6",
        "text-warning": "#FFC266",
        "text-error": "#FF8A8A",
        "text-success": "#7FD8A4",
        "footer-key-foreground": "#7CC7D6",
    },
)
LIGHT: Final = Theme(
    name="kitwright-light",
    primary="#00508C",
    secondary="#0178D4",
    accent="#00596B",
    warning="#7A4300",
    error="#A3001C",
    success="#0B5A2E",
    foreground="#1A1A1A",
    background="#E8E8E8",
    surface="#DEDEDE",
    panel="#D2D2D2",
    dark=False,
    variables={
        "text-accent": "#00596B",
        "text-warning": "#7A4300",
        "text-error": "#A3001C",
        "text-success": "#0B5A2E",
        "footer-key-foreground": "#00596B",
    },
)
