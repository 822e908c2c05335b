"""What the job commands read and say: numbers, days, names, and a need in words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from tui.commands.parsing import UsageError, did_you_mean, shown

if TYPE_CHECKING:
    from datetime import date

    from sqlmodel import Session

    from models.kit_view import NeedView


def job_number(text: str) -> int:
    """A job's number."""
    number = text.strip()
    if not (number.isascii() and number.isdigit() and len(number) <= 9):
        raise UsageError(f"{shown(text)} is not a job's number; list them with: kitwright jobs")
    return int(number)


def day(text: str | None) -> date | None:
    """A day written as ISO 8601 does."""
    from datetime import date

    if text is None:
        return None
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError:
        pass
    raise UsageError(f"--due: {shown(text)} is not a day; type year, month, day, as 2026-12-04")


def machine_named(session: Session, name: str | None) -> int | None:
    """The machine of this name, case and spaces apart."""
    from models import machines

    if name is None:
        return None
    known = {row.name: row.machine_id for row in machines.listed(session)}
    return _named("--machine", name, known, "machine", "There is no machine yet; add one in the app")


def template_named(session: Session, name: str) -> int:
    """The job template of this name or number."""
    from models import templates

    known = {row.name: row.template_id for row in templates.listed(session)}
    if name.strip().isascii() and name.strip().isdigit() and int(name.strip()[:9]) in known.values():
        return int(name.strip()[:9])
    return _named("--template", name, known, "job template", "There is no job template yet")


def _named(option: str, name: str, known: Mapping[str, int], what: str, none: str) -> int:
    folded = {_folded(one): number for one, number in known.items()}
    if _folded(name) in folded:
        return folded[_folded(name)]
    near = did_you_mean(_folded(name), folded)
    names = {_folded(one): one for one in known}
    for low, right in names.items():
        near = near.replace(low, shown(right)) if near else near
    said = near or (f"; there are: {', '.join(map(shown, list(known)[:10]))}" if known else f". {none}")
    raise UsageError(f"{option}: there is no {what} {shown(name)}{said}")


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def need_lines(need: NeedView) -> list[str]:
    """A need with its lines: what is there and where, what is short and what was tried."""
    from models.volume import in_words

    at = f" ({need.position_name})" if need.position_name else ""
    lines = [f"{in_words(need.wanted, need.counted_in)} × {need.title}{at}"]
    for line in need.lines:
        where = f" {line.item_name}, bin {line.bin_code}" if line.bin_code else ""
        why = f": {line.reason}" if line.reason else ""
        lines.append(f"    {line.state} {in_words(line.quantity, line.counted_in)}{where}{why}")
    return lines


def need_object(need: NeedView) -> dict[str, Any]:
    """A need as JSON; quantities in pieces or, for `counted_in` "ul", in microlitres."""
    return {
        "title": need.title,
        "kind": need.kind.value,
        "position": need.position_name or None,
        "size": need.size_key,
        "rubbers": list(need.rubbers),
        "counted_in": need.counted_in.value,
        "wanted": need.wanted,
        "short": need.missing,
        "lines": [
            {
                "state": line.state.value,
                "quantity": line.quantity,
                "item": line.item_name or None,
                "bin": line.bin_code or None,
                "reason": line.reason or None,
            }
            for line in need.lines
        ],
    }
