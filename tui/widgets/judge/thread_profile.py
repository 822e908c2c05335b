"""A thread's profile to scale: what was measured, beside the thread it most likely is."""

from __future__ import annotations

from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.widgets.canvas import Canvas
from tui.widgets.cells import fit


class Profile(NamedTuple):
    """A thread to draw: diameter over the crests and pitch in mm, flank angle in degrees, and its label."""

    diameter_mm: float
    pitch_mm: float
    label: str
    tapered: bool = False


def profile_lines(profile: Profile | None, columns: int, rows: int, *, plain: bool) -> list[str]:
    """The bolt from the side, crest to crest to scale, with a rule of 10 mm beneath."""
    canvas = Canvas(columns, rows, plain=plain)
    if profile is None or columns < 16 or rows < 4:
        canvas.write(0, 0, "Type a diameter to see the thread."[:columns])
        return canvas.lines()
    depth = 0.61 * profile.pitch_mm  # the visible depth of a 60° thread; a drawing, no limit
    tall = (rows - 2) * 4 - 2
    scale = min(tall / profile.diameter_mm, (canvas.width - 4) / 12.0)
    length_mm = min((canvas.width - 4) / scale, profile.diameter_mm * 4)
    middle = tall / 2 + 1
    for side in (-1, 1):
        crest, root = profile.diameter_mm / 2, profile.diameter_mm / 2 - depth
        shift = 0.0 if side < 0 else profile.pitch_mm / 2
        x = -shift
        while x < length_mm:
            for x0, y0, x1, y1 in (
                (x, root, x + profile.pitch_mm / 2, crest),
                (x + profile.pitch_mm / 2, crest, x + profile.pitch_mm, root),
            ):
                if x1 > length_mm or x0 < 0:
                    continue
                taper = (1 / 32) if profile.tapered else 0.0
                canvas.line(
                    2 + x0 * scale,
                    middle + side * (y0 - taper * (length_mm - x0)) * scale,
                    2 + x1 * scale,
                    middle + side * (y1 - taper * (length_mm - x1)) * scale,
                )
            x += profile.pitch_mm
    canvas.line(2, middle - profile.diameter_mm / 2 * scale, 2, middle + profile.diameter_mm / 2 * scale, gap=2)
    rule = min(10.0, length_mm)
    y = (rows - 2) * 4 + 2
    canvas.line(2, y, 2 + rule * scale, y)
    canvas.line(2, y - 2, 2, y + 2)
    canvas.line(2 + rule * scale, y - 2, 2 + rule * scale, y + 2)
    canvas.write(int(2 + rule * scale) // 2 + 2, rows - 2, f"{rule:.0f} mm")
    canvas.write(0, rows - 1, profile.label[:columns])
    return canvas.lines()


class ThreadProfile(Widget):
    """The drawing. Takes a `Profile` by `show`."""

    DEFAULT_CSS = "ThreadProfile { text-wrap: nowrap; }"
    _profile: Profile | None = None

    def __init__(self, *, classes: str | None = None, plain: bool = False) -> None:
        super().__init__(classes=classes)
        self._plain = plain

    def show(self, picture: object) -> None:
        """Draw another thread."""
        self._profile = picture if isinstance(picture, Profile) else None
        self.refresh()

    def render(self) -> Content:
        """Title, then the drawing."""
        width, height = self.size
        title = Content.styled(fit("The thread, to scale", width), "bold $text-accent")
        lines = profile_lines(self._profile, width, height - 1, plain=self._plain) if height > 1 else []
        return Content("\n").join([title, *(Content(line) for line in lines)])
