"""Pictures of readings as lines of text: each on its tolerance band, and all in the plane of ID and width."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tui.widgets.canvas import Canvas
from tui.widgets.cells import fit

# A reading is drawn out to this many tolerance units either side of the size's own value.
REACH = 3.0


class Band(NamedTuple):
    """A reading: its name, and how far it lies from the size's value in tolerance units (±1 is the limit)."""

    name: str
    residual: float


class Spot(NamedTuple):
    """A candidate in the plane of ID and width: its mark, values and tolerances in mm."""

    mark: str
    id_mm: float
    id_tol_mm: float
    width_mm: float
    width_tol_mm: float


class Span(NamedTuple):
    """What the readings alone allow: ID and width with ± in mm; None where nothing was measured."""

    id_mm: float | None
    id_pm: float
    width_mm: float | None
    width_pm: float


def number(value_mm: float, unit: str) -> str:
    """A length in the session's unit, short: "24.99" or "0.984"."""
    return f"{value_mm / 25.4:.3f}" if unit == "in" else f"{value_mm:.2f}"


def band_line(band: Band, columns: int, *, plain: bool = False) -> str:
    """A reading on its tolerance band: the box is ±1 tolerance, the mark is the reading, the figure its distance."""
    # A word says within or not, so that neither colour nor position has to.
    inside = round(abs(band.residual), 1) <= 1.0
    figure = f"{band.residual:+.1f}" if abs(band.residual) < 100 else f"{'>' if band.residual > 0 else '<'}±99"
    word = "ok" if inside else "OFF"
    track = max(9, columns - 9 - 6 - 5)
    middle = track // 2
    unit = middle / REACH
    left, right = round(middle - unit), round(middle + unit)
    line, mark, before, after = ("-", "*", "<", ">") if plain else ("─", "◆", "◀", "▶")
    cells = [line] * track
    for i in range(left, right + 1):
        cells[i] = "=" if plain else "━"
    cells[left], cells[right], cells[middle] = "[", "]", ("|" if plain else "┿")
    if abs(band.residual) > REACH:
        cells[0 if band.residual < 0 else -1] = before if band.residual < 0 else after
    else:
        at = round(middle + band.residual * unit)
        # The mark never covers the edge it is judged by: within it stands inside the box, beyond it outside.
        at = min(max(at, left + 1), right - 1) if inside else at
        if not inside and left <= at <= right:
            at = left - 1 if band.residual < 0 else right + 1
        cells[min(track - 1, max(0, at))] = mark
    return fit(f"{band.name:<8} {''.join(cells)} {figure:>5} {word}", columns)


def plane_lines(
    spots: Sequence[Spot], span: Span, columns: int, rows: int, unit: str, *, plain: bool = False
) -> list[str]:
    """ID across, width up: each candidate's tolerance box with its rank, and dotted, what the readings allow."""
    canvas = Canvas(columns, rows, plain=plain)
    if not spots or rows < 4 or columns < 20:
        canvas.write(1, rows // 2, "Candidates appear here."[: max(0, columns - 1)])
        return canvas.lines()
    floor = rows - 1  # the last row is the ID axis
    lows, highs = [], []
    for spot in spots:
        lows.append((spot.id_mm - spot.id_tol_mm, spot.width_mm - spot.width_tol_mm))
        highs.append((spot.id_mm + spot.id_tol_mm, spot.width_mm + spot.width_tol_mm))
    if span.id_mm is not None:
        lows.append((span.id_mm - span.id_pm, lows[0][1]))
        highs.append((span.id_mm + span.id_pm, highs[0][1]))
    if span.width_mm is not None:
        lows.append((lows[0][0], span.width_mm - span.width_pm))
        highs.append((highs[0][0], span.width_mm + span.width_pm))
    x0, x1 = min(low[0] for low in lows), max(high[0] for high in highs)
    y0, y1 = min(low[1] for low in lows), max(high[1] for high in highs)
    pad_x, pad_y = max((x1 - x0) * 0.08, 0.02), max((y1 - y0) * 0.12, 0.02)
    x0, x1, y0, y1 = x0 - pad_x, x1 + pad_x, y0 - pad_y, y1 + pad_y

    def across(value: float) -> float:
        return (value - x0) / (x1 - x0) * (canvas.width - 1)

    def up(value: float) -> float:
        return (1 - (value - y0) / (y1 - y0)) * (floor * 4 - 1)

    left = across(span.id_mm - span.id_pm) if span.id_mm is not None else 0
    right = across(span.id_mm + span.id_pm) if span.id_mm is not None else canvas.width - 1
    top = up(span.width_mm + span.width_pm) if span.width_mm is not None else 0
    bottom = up(span.width_mm - span.width_pm) if span.width_mm is not None else floor * 4 - 1
    canvas.box(left, top, right, bottom, gap=3)
    for spot in reversed(spots):
        canvas.box(
            across(spot.id_mm - spot.id_tol_mm),
            up(spot.width_mm + spot.width_tol_mm),
            across(spot.id_mm + spot.id_tol_mm),
            up(spot.width_mm - spot.width_tol_mm),
        )
    for spot in reversed(spots):
        canvas.write(int(across(spot.id_mm)) // 2, min(floor - 1, int(up(spot.width_mm)) // 4), spot.mark)
    low, high = f"ID {number(x0, unit)}", f"{number(x1, unit)} {unit}"
    canvas.write(0, floor, low + "·" * max(0, columns - len(low) - len(high)) + high)
    canvas.write(0, 0, f"width {number(y1, unit)}")
    canvas.write(0, floor - 1, number(y0, unit))
    return canvas.lines()
