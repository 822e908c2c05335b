"""What a sheet says, in its reader's language: gettext catalogues that were written here, one a language.

A message is its English sentence; what changes in it is a named part, `Full mark at {full}.`, so that a translation may
put it elsewhere. No native speaker of the trade has looked the translations through. Figures, dates, and what the shop
itself wrote are the same in every language.
"""

from __future__ import annotations

import gettext
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Final

CATALOGUES: Final = Path(__file__).parent / "data"
NAMES: Final = {"en": "English", "de": "German", "fr": "French", "es": "Spanish"}
"""Every language by its code (ISO 639-1)."""
ENGLISH_CODE: Final = "en"
MARK: Final = "say"
"""What a tongue is called in code that has messages, so that a test finds them all."""


class Tongue:
    """One language. Called with a message and its parts it gives the sentence."""

    def __init__(self, code: str, translated: Callable[[str], str]) -> None:
        self.code = code
        self._translated = translated

    def __call__(self, message: str, /, **parts: object) -> str:
        """The message in this language, with its parts put in; the parts themselves are not looked into."""
        found = self._translated(message) if message else ""
        return found.format(**parts) if parts else found


ENGLISH: Final = Tongue(ENGLISH_CODE, str)


@cache
def tongue(code: str) -> Tongue:
    """The language with this code. Raises ValueError with the codes there are."""
    if code == ENGLISH_CODE:
        return ENGLISH
    if code not in NAMES:
        raise ValueError(f"There is no language {code[:20]!r} here; type one of: {', '.join(NAMES)}.")
    with (CATALOGUES / f"{code}.mo").open("rb") as compiled:
        return Tongue(code, gettext.GNUTranslations(compiled).gettext)
