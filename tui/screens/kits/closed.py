"""A closed job in Kits, to look at: what it took and what was fitted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tui import answers
from tui.keys import plain
from tui.ring_words import ring_words

if TYPE_CHECKING:
    from models.job_history import Done

READ_ONLY: Final = frozenset({("job", "cost"), ("job", "keep")})
"""The operations that only look at a job."""
MOST: Final = 6


def refused() -> str:
    """What is said where a key would change a closed job."""
    return f"A closed job is only looked at. {plain('undo')} undoes a closing, {plain('turn')} lists the open jobs."


def keys_words() -> str:
    """The keys that do something with a closed job."""
    return f"Enter: kit · {plain('cost')} cost · {plain('paper')} sheet · {plain('turn')}: open jobs"


def told_of(done: Done) -> str:
    """What was fitted and what was used, in sentences; of a long list the first of each."""
    fitted = [f"{ring_words(one)} at {one.position_name}" for one in done.fitted]
    used = [f"{answers.kits.in_words(one.quantity, one.counted_in.value)} {one.item_name}" for one in done.used]
    lines = [_listed("Fitted", fitted), _listed("Used", used)]
    return " ".join(filter(None, lines)) or "It used nothing."


def _listed(word: str, what: list[str]) -> str:
    if not what:
        return ""
    more = f" and {len(what) - MOST} more" if len(what) > MOST else ""
    return f"{word}: {'; '.join(what[:MOST])}{more}."
