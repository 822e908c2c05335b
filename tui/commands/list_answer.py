"""What `kitwright list` prints: guesses about columns, changes row by row, what a list did."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table

if TYPE_CHECKING:
    from models.supplier_lists.changes import Change
    from models.supplier_lists.entries import Entry
    from models.supplier_lists.loading import Loaded
    from models.supplier_lists.proposal import Proposal

CHANGE_SCHEMA = "kitwright.list.change/1"


def say_guesses(proposal: Proposal, to: Callable[[str], None]) -> None:
    """The columns as a table, with how sure each guess is and why."""
    cells = [
        (
            str(guess.at + 1),
            plain(guess.header[:24]),
            guess.field.value + (f" {guess.from_packs}" if guess.from_packs else ""),
            f"{guess.confidence:.0%}" if guess.confidence else "",
            plain(guess.why),
            plain(" / ".join(example[:20] for example in guess.examples[:2])),
        )
        for guess in proposal.guesses
    ]
    for line in table(("no", "header", "holds", "sure", "why", "such as"), cells, right=(0, 3)):
        to(line)
    mark = "point" if proposal.mark == "." else "comma"
    to(f"Decimals follow a {mark} ({proposal.mark_confidence:.0%} sure).")


def say_change(change: Change, *, as_json: bool) -> None:
    """One change, at once: a million of them are never held together."""
    readings = [] if change.reading is None else change.reading.readings
    if as_json:
        say_json(
            {
                "schema": CHANGE_SCHEMA,
                "does": change.does.value,
                "line": change.line or None,
                "number": change.number or None,
                "before": _entry_object(change.before),
                "after": _entry_object(change.after),
                "what": list(change.what),
                "reason": change.reason or None,
                "readings": [one._asdict() for one in readings],
            }
        )
        return
    where = f"line {change.line}" if change.line else "not in the file"
    said = change.reason or _difference(change)
    read = "".join(f"; {one.about} read as {one.text}, {one.confidence:.0%} sure" for one in readings)
    say(f"{change.does.value:9}  {where:15}  {plain(change.number)}  {plain(said)}{plain(read)}")


def plain(text: str) -> str:
    """Text from a file, without what could steer a terminal."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def _difference(change: Change) -> str:
    if change.before is None or change.after is None:
        entry = change.after or change.before
        return "" if entry is None else f"{entry.name}  {_money(entry)}"
    before, after = change.before._asdict(), change.after._asdict()
    said: list[str] = []
    for name in change.what:
        both = f"{name.replace('_', ' ')} {before[name] or 'none'} → {after[name] or 'none'}"
        if name.startswith("price"):
            both = f"{_money(change.before)} → {_money(change.after)}"
        if both not in said:
            said.append(both)
    return ", ".join(said)


def _money(entry: Entry) -> str:
    from tui.answers.money import price_of

    return price_of(entry.price_minor, entry.price_per, entry.currency) or "no price"


def _entry_object(entry: Entry | None) -> dict[str, Any] | None:
    return None if entry is None else entry._asdict()


def loaded_lines(done: Loaded, refused: Sequence[dict[str, Any]]) -> list[str]:
    """What a list did, in words, and the first lines that were refused."""
    said = f"{done.added} added, {done.changed} changed, {done.withdrawn} withdrawn, {done.unchanged} as before"
    lines = [f"{'' if done.list_id else 'Nothing new: '}{said}, {done.refused} refused."]
    lines += [f"  line {one['line']}: {plain(str(one['reason']))}" for one in refused]
    if done.refused > len(refused):
        lines.append(f"  and {done.refused - len(refused)} more; --dry-run shows all of them.")
    return lines
