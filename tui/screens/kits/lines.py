"""A kit as lines for the list: each need as a heading, beneath it what is there and what is short."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import models
from tui import answers
from tui.keys import filled, plain
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kitting.finish import Finish
    from models.kitting.kit_view import KitView, LineView, NeedView

# A glyph beside each word, so that a state is seen without colour.
GLYPHS = {"have": "●", "picked": "✓", "short": "○", "free": "·"}
KIT_GLYPHS = {"draft": "·", "short": "○", "ready": "●", "picked": "✓", "done": "✓"}
JOB_KEYS = "Enter: kit · {pick} picks all · {kit} adds · {change}: due day · {end} closes it · {why}: when · 0: more"
NEED_KEYS = "{wanted}: what could fill it · {pick} picks its lines · {drop} removes it · {kit} adds a need"
LINE_KEYS = {
    "have": "{pick} pick · {change} another amount · {wanted} instead of it · {drop} release · {scrap} scrap",
    "picked": "{change}: what was used, the rest goes back · {back} puts it all back · {scrap} scrap",
    "free": "{fill} promises it from the shelf · {wanted}: what could fill it",
    "short": "{wanted}: what could fill it · {fill} looks on the shelf · 6 buys it",
}


class KitLine(NamedTuple):
    """A row of the kit list: a need (no line) or one of its lines."""

    need: NeedView
    line: LineView | None


def kit_lines(kit: KitView | None) -> list[KitLine]:
    """Needs and their lines in order."""
    if kit is None:
        return []
    return [row for need in kit.needs for row in (KitLine(need, None), *(KitLine(need, line) for line in need.lines))]


def key_of(entry: KitLine) -> tuple[object, ...]:
    """What makes a row the same one when the kit is read again."""
    need, line = entry
    if line is None or line.line_id is not None:
        return need.need_id, None if line is None else line.line_id
    return need.need_id, str(line.state), line.item_name, line.bin_code


def amount(quantity: int, unit: str) -> str:
    """Pieces or litres."""
    return models.volume.in_words(quantity, models.words.Unit(unit))


def row_of(entry: KitLine) -> Row:
    """State, quantity, bin, what. A line chosen by hand says so in place of *have*."""
    need, line = entry
    if line is None:
        named = need.position_name.casefold() in need.title.casefold()
        place = f", {need.position_name}" if need.position_name and not named else ""
        spare = f", {need.spares} spare" if need.spares else ""
        return Row(("need", amount(need.wanted, need.counted_in), "", f"{need.title}{place}{spare}"), "head")
    state = str(line.state)
    word = "SHORT" if state == "short" else "pinned" if line.pinned and state == "have" else state
    quantity = amount(line.quantity - line.given_back, line.counted_in)
    cells = f" {GLYPHS.get(state, '·')} {word}", quantity, line.bin_code
    if state == "short":
        return Row((*cells, line.reason), "bad")
    if state == "free":
        told = "" if need.looked_for else "not looked yet: "
        return Row((*cells, f"{told}{line.item_name}{f' ({line.reason})' if line.reason else ''}"), "")
    what = ", ".join(part for part in (line.item_name, answers.kits.line_of(line).lot_words) if part)
    return Row((*cells, f"{what}{f' ({line.reason})' if line.reason else ''}"), "good")


def job_row(job: JobRow) -> Row:
    """Title, due day, state; of a closed job the day it was closed."""
    state = str(job.state)
    day = job.due_on if job.closed_at is None else job.closed_at.astimezone(models.moments.WALL)
    due = f"{day:%d %b}" if day else ""
    return Row((job.title, due, f"{KIT_GLYPHS.get(state, '·')} {state}"))


def explain(entry: KitLine | None) -> list[str]:
    """The highlighted row in full."""
    if entry is None:
        return []
    need, line = entry
    return _need_words(need) if line is None else _line_words(need, line)


def _line_words(need: NeedView, line: LineView) -> list[str]:
    shown = answers.kits.line_of(line, need)
    told = f"{answers.kits.need_of(need).look_first(shown)}{shown.told}"
    here = shown.rubber_here
    # Why a line stands as it does says already that no rubber was asked for.
    rubber = answers.kits.rubber_open(need) if line.rubber and not line.reason else ""
    untold = f"! {rubber}" if rubber else ""
    return [told, *filter(None, (line.reason, here.words if here is not None else "", untold))]


def _need_words(need: NeedView) -> list[str]:
    words = [f"{need.title}: {amount(need.wanted, need.counted_in)} wanted, "
             f"{amount(need.short, need.counted_in)} short"]  # fmt: skip
    if untold := answers.kits.rubber_open(need):
        words.append(f"! {untold}")
    if filled := answers.kits.need_of(need).filled:
        words.append(filled)
    if need.probability is not None:
        sure = f", name {need.probability * 100:.0f} %" if need.readings else ""
        seals = f", seals {need.seals * 100:.0f} %" if need.readings and need.seals is not None else ""
        words.append(f"{need.why}{sure}{seals}")
    words += would_do_words(need)
    if need.sealed is not None:
        words.append(
            f"sealed {need.sealed.at.astimezone(models.moments.WALL):%a %d %b %H:%M}, noted by {need.sealed.who}"
        )
    if need.rubbers:
        words.append("rubber: " + ", ".join(need.rubbers))
    if need.equivalents:
        words.append("also fits: " + ", ".join(twin.partition(":")[2] for twin in need.equivalents))
    return words


def would_do_words(need: NeedView) -> list[str]:
    """The other rings that would do, each with its chance to seal; or that none may go in."""
    told = answers.kits.others_words(need.others.value, answers.kits.would_do_of(need))
    return [told] if told else []


def _plain(keys: str) -> str:
    """Keys in words, each by its plain key."""
    return filled(keys.replace("{", "{plain:"))


def job_keys() -> str:
    """The keys that do something with the highlighted job."""
    return _plain(JOB_KEYS)


def keys_for(entry: KitLine | None) -> str:
    """The keys that do something with the highlighted row."""
    if entry is None:
        return filled("{plain:kit} adds a need · {plain:end} closes it · 0: keep as template")
    need, line = entry
    if line is None:
        sealed = " · {record}: sealed when" if str(need.kind) == "sealant" else ""
        return _plain(NEED_KEYS + (" · {record}: log pours" if need.low_ul and need.full_ul else sealed))
    state = str(line.state)
    keys = _plain(LINE_KEYS.get(state, ""))
    if str(need.kind) == "sealant" and state == "picked":
        return f"{plain('record')}: sealed when · {keys}"
    return f"{keys} · 0: unpin" if line.pinned and state == "have" else keys


def whole_parts(keys: str, room: int) -> str:
    """As many of the keys as fit whole in `room` cells, first ones first: half a hint tells nobody what a key does."""
    parts = keys.split(" · ")
    while len(parts) > 1 and len(" · ".join(parts)) > room:
        parts.pop()
    return " · ".join(parts)


def finish_words(finish: Finish, kit: KitView, room: int) -> str:
    """The earliest finish in `room` letters; nothing for an empty or closed kit. `finish_facts` says all of it."""
    if not kit.needs or str(kit.state) == "done":
        return ""
    first = _first(finish)
    told = " ".join((first, *finish.facts))
    return told if len(told) <= room else f"{first} {plain('why')} says what it waits for."


def finish_facts(finish: Finish) -> str:
    """All it waits for, a line a fact."""
    return "\n".join((_first(finish), "", *finish.facts))


def _first(finish: Finish) -> str:
    if finish.at is None:
        return "Earliest finish not known."
    if not finish.facts:
        return "Earliest finish: today, nothing to wait for."
    return f"Earliest finish {finish.at:%a %d %b %H:%M}."
