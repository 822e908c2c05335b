"""A kit as lines for the list: each need as a heading, beneath it what is there and what is short."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tui.widgets.rows import Row

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kit_view import KitView, LineView, NeedView

# A glyph beside each word, so that a state is seen without colour.
GLYPHS = {"have": "●", "picked": "✓", "short": "○"}
KIT_GLYPHS = {"draft": "·", "short": "○", "ready": "●", "picked": "✓", "done": "✓"}


class KitLine(NamedTuple):
    """A row of the kit list: a need (no line) or one of its lines."""

    need: NeedView
    line: LineView | None


def kit_lines(kit: KitView | None) -> list[KitLine]:
    """Needs and their lines in order."""
    if kit is None:
        return []
    return [row for need in kit.needs for row in (KitLine(need, None), *(KitLine(need, line) for line in need.lines))]


def amount(quantity: int, unit: str) -> str:
    """Pieces or litres."""
    from models.volume import in_words
    from models.words import Unit

    return in_words(quantity, Unit(unit))


def row_of(entry: KitLine) -> Row:
    """State, quantity, bin, what."""
    need, line = entry
    if line is None:
        place = f", {need.position_name}" if need.position_name else ""
        spare = f", {need.spares} spare" if need.spares else ""
        return Row(("need", amount(need.wanted, need.counted_in), "", f"{need.title}{place}{spare}"), "head")
    state = str(line.state)
    word = "SHORT" if state == "short" else state
    quantity = amount(line.quantity, line.counted_in)
    cells = f" {GLYPHS.get(state, '·')} {word}", quantity, line.bin_code
    if state == "short":
        return Row((*cells, line.reason), "bad")
    lot = f", lot {line.lot_code}" if line.lot_code else ""
    return Row((*cells, f"{line.item_name}{lot}"), "good")


def job_row(job: JobRow) -> Row:
    """Title, due day, state."""
    state = str(job.state)
    due = f"{job.due_on:%d %b}" if job.due_on else ""
    return Row((job.title, due, f"{KIT_GLYPHS.get(state, '·')} {state}"))


def explain(entry: KitLine | None) -> list[str]:
    """The highlighted row in full, and the key that has no place in the key line but works on this row."""
    if entry is None:
        return []
    need, line = entry
    if line is not None:
        words = [f"{line.state}: {amount(line.quantity, line.counted_in)} {line.item_name}".rstrip()]
        if line.bin_code:
            words[0] += f" in bin {line.bin_code}"
        if str(line.state) == "have":
            words[0] += " (F8 releases it)"
        if line.expires_on:
            words.append(f"expires {line.expires_on}")
        return [*words, line.reason] if line.reason else words
    words = [
        f"{need.title}: {amount(need.wanted, need.counted_in)} wanted, {amount(need.missing, need.counted_in)} short"
        " (Del strikes it)"
    ]
    if need.probability is not None:
        sure = f", {need.probability * 100:.0f} % sure" if need.readings else ""
        words.append(f"{need.why}{sure}")
    if need.rubbers:
        words.append("rubber: " + ", ".join(need.rubbers))
    if need.twins:
        words.append("also fits: " + ", ".join(twin.partition(":")[2] for twin in need.twins))
    return words
