"""A kit in words and as JSON, and the need or line of it that somebody names."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Any

from tui.commands.amounts import folded, iso, named, number
from tui.commands.parsing import UsageError, shown

if TYPE_CHECKING:
    from models.kitting.finish import Finish
    from models.kitting.kit_offers import NeedOffers
    from models.kitting.kit_view import KitView, LineView, NeedView
    from models.words import LineState

SCHEMA = "kitwright.kit/1"


def kit_object(kit: KitView, finish: Finish | None) -> dict[str, Any]:
    """A kit as JSON; quantities in pieces or, for `counted_in` "ul", in microlitres."""
    return {
        "schema": SCHEMA,
        "job": kit.job_id,
        "title": kit.title,
        "machine": kit.machine_name or None,
        "due_on": iso(kit.due_on),
        "kit": kit.state.value,
        "made_from": kit.made_from or None,
        "finish": None if finish is None else finish_object(finish),
        "needs": [
            {
                "number": need.need_id,
                "need": need.title,
                "kind": need.kind.value,
                "position": need.position_name or None,
                "size": need.size_key,
                "as_fitted": need.as_fitted,
                "rubbers": list(need.rubbers),
                "class": need.spec_class or None,
                "grade": need.spec_grade or None,
                "counted_in": need.counted_in.value,
                "wanted": need.wanted,
                "short": need.missing,
                "why": need.why or None,
                "sealed": seal_object(need),
                "lines": [line_object(line) for line in need.lines],
            }
            for need in kit.needs
        ],
    }


def finish_object(finish: Finish) -> dict[str, Any]:
    """The earliest finish as JSON; `at` with its offset from UTC, null where nobody knows."""
    return {"at": None if finish.at is None else finish.at.isoformat(timespec="minutes"), "facts": list(finish.facts)}


def seal_object(need: NeedView) -> dict[str, Any] | None:
    """When a joint was sealed, who noted it, and from when it has cured, as JSON; moments with their offset from UTC.

    None where nobody noted it; `cured_at` is null where nobody says how long it cures.
    """
    from models.kitting.finish import cured_at
    from models.moments import WALL

    if need.sealed is None:
        return None
    cured = cured_at(need)
    return {
        "at": need.sealed.at.astimezone(WALL).isoformat(timespec="minutes"),
        "who": need.sealed.who,
        "cured_at": None if cured is None else cured.astimezone(WALL).isoformat(timespec="minutes"),
    }


def line_object(line: LineView) -> dict[str, Any]:
    """A line as JSON; one that is short has no number."""
    return {
        "line": line.line_id,
        "state": line.state.value,
        "quantity": line.quantity,
        "given_back": line.given_back,
        "item": line.item_name or None,
        "bin": line.bin_code or None,
        "lot": line.lot_code or None,
        "expires_on": iso(line.expires_on),
        "pinned": line.pinned,
        "reason": line.reason or None,
    }


def kit_lines(kit: KitView, finish: Finish | None) -> list[str]:
    """A kit as text, one need a block, and when it can be finished."""
    from models.moments import WALL
    from models.volume import in_words

    due = f"due {kit.due_on}" if kit.due_on else ""
    made = f"from {kit.made_from}" if kit.made_from else ""
    head = (f"Job {kit.job_id}: {kit.title}", kit.machine_name, due, made, f"kit {kit.state}")
    lines = [" · ".join(part for part in head if part)]
    for need in kit.needs:
        at = f" ({need.position_name})" if need.position_name and need.position_name != need.title else ""
        lines.append(f"need {need.need_id}: {in_words(need.wanted, need.counted_in)} × {need.title}{at}")
        lines += [f"    {line_words(line)}" for line in need.lines]
        if need.sealed is not None:
            lines.append(f"    sealed {need.sealed.at.astimezone(WALL):%Y-%m-%d %H:%M}, noted by {need.sealed.who}")
    if not kit.needs:
        lines.append("Nothing is needed yet.")
    if finish is not None:
        lines += finish_lines(finish)
    return lines


def line_words(line: LineView) -> str:
    """One line: its state, how much of what from where, the mark of a pin, and why."""
    from models.volume import in_words

    amount = in_words(line.quantity, line.counted_in)
    where = f" {line.item_name}, bin {line.bin_code}" if line.bin_code else ""
    lot = f", lot {line.lot_code}" if line.lot_code else ""
    back = f", {in_words(line.given_back, line.counted_in)} given back" if line.given_back else ""
    told = f" (line {line.line_id})" if line.line_id is not None else ""
    pin = " [pinned]" if line.pinned else ""
    why = f": {line.reason}" if line.reason else ""
    return f"{line.state} {amount}{where}{lot}{back}{told}{pin}{why}"


def finish_lines(finish: Finish) -> list[str]:
    """When the job can be finished, and what it waits for."""
    if not finish.facts:
        return ["Nothing has to arrive or to cure."]
    when = "not known" if finish.at is None else f"{finish.at:%A %Y-%m-%d %H:%M}"
    return [f"Earliest finish if work starts now: {when}", *(f"    {fact}" for fact in finish.facts)]


def need_of(kit: KitView, text: str) -> NeedView:
    """The need of the kit by its number or its title."""
    clean = text.strip()
    if clean.isascii() and clean.isdigit():
        for need in kit.needs:
            if need.need_id == number("NEED", clean):
                return need
    same = [need for need in kit.needs if folded(need.title) == folded(text)]
    if len(same) > 1:
        numbers = ", ".join(str(need.need_id) for need in same)
        raise UsageError(f"several needs are called {shown(text)}; say which by its number: {numbers}")
    known = [(need.title, need) for need in kit.needs]
    return named("NEED", text, known, "need", f"Job {kit.job_id} needs nothing yet; add it with: kitwright job need")


def lines_of(
    kit: KitView, need: str | None, line: str | None, states: Collection[LineState]
) -> list[tuple[NeedView, LineView]]:
    """The kit's lines in one of these states: all, those of a need, or the one of that number."""
    only = None if need is None else need_of(kit, need)
    found = [(one, row) for one in kit.needs if only is None or one is only for row in one.lines if row.line_id]
    if line is not None:
        wanted = number("--line", line)
        for one, row in found:
            if row.line_id == wanted:
                return [(one, row)]
        of = f"“{only.title}”" if only is not None else f"job {kit.job_id}"
        raise UsageError(f"--line: {of} has no line {wanted}; look with: kitwright kit {kit.job_id}")
    return [(one, row) for one, row in found if row.state in states]


def one_line(kit: KitView, need: str | None, line: str | None, states: Collection[LineState]) -> LineView:
    """The one line that was named; several are listed, never chosen from."""
    said = " or ".join(states)
    if need is None and line is None:
        raise UsageError(f"say which: a need by its name or number, or --line; look with: kitwright kit {kit.job_id}")
    found = lines_of(kit, need, line, states)
    if not found:
        raise UsageError(f"{shown(need or '')} has no line that is “{said}”; look with: kitwright kit {kit.job_id}")
    if len(found) > 1:
        numbers = ", ".join(f"{row.line_id} (bin {row.bin_code})" for _, row in found)
        raise UsageError(f"that need has several lines; say which with --line: {numbers}")
    return found[0][1]


def offers_object(found: NeedOffers) -> dict[str, Any]:
    """What could fill a need as JSON, the shelf first; prices are strings in whole currency units."""
    return {
        "schema": SCHEMA,
        "job": found.job_id,
        "need": found.title,
        "number": found.need_id,
        "counted_in": found.counted_in.value,
        "short": found.missing,
        "shelf": [
            {
                "stock": one.stock_id,
                "item": one.item_name,
                "bin": one.bin_code,
                "on_hand": one.on_hand,
                "free": one.free,
                "serves": not one.refused,
                "reason": one.refused or one.because or None,
            }
            for one in found.shelf
        ],
        "lists": [
            {
                "supplier": one.supplier,
                "number": one.number,
                "name": one.name,
                "pack": one.pack,
                "price": price_words(one.price_minor, one.currency).removesuffix(f" {one.currency}"),
                "price_per": one.price_per,
                "currency": one.currency,
                "lead_days": one.lead_days,
                "reason": one.because or None,
            }
            for one in found.lists
        ],
        "lists_tried": found.lists_tried or None,
    }


def price_words(minor: int, currency: str) -> str:
    """An amount with its currency."""
    from models.purchasing.money import written

    return written(minor, currency)


def offers_lines(found: NeedOffers) -> list[str]:
    """What could fill a need as text: the shelf, then the lists, then what does not serve and why."""
    from models.volume import in_words

    unit = found.counted_in
    lacks = f"{in_words(found.missing, unit)} short" if found.missing else "nothing short"
    lines = [f"need {found.need_id}: {found.title}, {lacks}", "On the shelf:"]
    for one in found.shelf:
        state = (
            f"no: {one.refused}" if one.refused else f"{in_words(one.free, unit)} free of {in_words(one.on_hand, unit)}"
        )
        why = f": {one.because}" if one.because and not one.refused else ""
        lines.append(f"    stock {one.stock_id}: {one.item_name}, bin {one.bin_code}, {state}{why}")
    if not found.shelf:
        lines.append(f"    {found.shelf_tried}")
    lines.append("On suppliers' lists:")
    for row in found.lists:
        per = f" for {row.price_per}" if row.price_per > 1 else ""
        pack = f", pack of {in_words(row.pack, unit)}" if row.pack > 1 else ""
        days = "" if row.lead_days is None else f", {row.lead_days} {'day' if row.lead_days == 1 else 'days'}"
        why = f": {row.because}" if row.because else ""
        price = price_words(row.price_minor, row.currency)
        lines.append(f"    {row.number} from {row.supplier}: {row.name}{pack}, {price}{per}{days}{why}")
    if not found.lists:
        lines.append("    No list offers it.")
    if found.lists_tried:
        lines.append(f"    Does not serve: {found.lists_tried}")
    return lines
