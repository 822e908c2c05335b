"""A time line: today, the day something arrives, and the days that jobs are due, with lateness marked."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final, NamedTuple

from tui.widgets.cells import fit

SHORTEST: Final = 7
"""Days that a line spans at least."""


class Due(NamedTuple):
    """A job and the day it is due."""

    name: str
    on: date


class Times(NamedTuple):
    """What is drawn. `arrives` None: not ordered, or nobody knows."""

    today: date
    arrives: date | None = None
    dues: tuple[Due, ...] = ()

    @property
    def tightest(self) -> Due | None:
        """The job that is due first."""
        return min(self.dues, key=lambda one: one.on, default=None)

    @property
    def overdue(self) -> bool:
        """Whether it should be here by now."""
        return self.arrives is not None and self.arrives < self.today

    @property
    def here(self) -> date:
        """The first day it can be here: today where it is not on its way, or should have come already."""
        return max(self.arrives or self.today, self.today)

    def late_by(self, due: Due) -> int:
        """How many days after it is due the thing is there, at the earliest."""
        return (self.here - due.on).days

    @property
    def late(self) -> bool:
        """Whether it comes too late for a job."""
        return any(self.late_by(one) > 0 for one in self.dues)


class Glyphs(NamedTuple):
    """The signs of a line."""

    today: str
    arrives: str
    due: str
    spare: str
    late: str
    empty: str


GLYPHS: Final = Glyphs("┃", "●", "▲", "─", "▒", "·")
PLAIN: Final = Glyphs("|", "O", "^", "-", "/", ".")


def day(on: date, today: date) -> str:
    """A day in few letters; its year where that is another one."""
    return f"{on:%d %b}" if on.year == today.year else f"{on:%d %b %Y}"


def track(times: Times, due: Due | None, cells: int, *, plain: bool = False) -> str:
    """Today, the arrival and one due day on a line of so many cells; filled between the last two.

    Every job's line has the same scale. Where two signs fall on one cell, the due day stands, then the arrival.
    """
    if cells < 3:
        return ""
    signs = PLAIN if plain else GLYPHS
    days = [times.today, *(one.on for one in times.dues), *([times.arrives] if times.arrives else [])]
    first = min(days)
    last = max(max(days), first + timedelta(days=SHORTEST))

    def at(on: date) -> int:
        return round((on - first).days / (last - first).days * (cells - 1))

    line = [signs.empty] * cells
    if due is not None:
        there = at(times.here)
        for cell in range(min(there, at(due.on)), max(there, at(due.on)) + 1):
            if times.late_by(due) > 0 or times.arrives is not None:
                line[cell] = signs.late if times.late_by(due) > 0 else signs.spare
    line[at(times.today)] = signs.today
    if times.arrives is not None:
        line[at(times.arrives)] = signs.arrives
    if due is not None:
        line[at(due.on)] = signs.due
    return "".join(line)


def how_late(times: Times, due: Due) -> str:
    """The due day and what comes of it, in words."""
    by = times.late_by(due)
    days = "1 day" if abs(by) == 1 else f"{abs(by)} days"
    if by > 0:
        told = f"{days} LATE"
    elif times.arrives is not None and not times.overdue:
        told = f"{days} to spare" if by else "on that day"
    else:
        told = f"in {days}" if by else "today"
    return f"due {day(due.on, times.today)}, {told}"


def comes(times: Times) -> str:
    """The day it comes, in words; "" where it is not on its way."""
    if times.arrives is None:
        return ""
    return f"{'should be here since' if times.overdue else 'here'} {day(times.arrives, times.today)}"


def time_line(times: Times, cells: int, *, plain: bool = False) -> str:
    """All in one line: the job that is due first."""
    due = times.tightest
    if due is None and times.arrives is None:
        return ""
    arrives = comes(times)
    told = ", ".join(part for part in (arrives, how_late(times, due) if due else "") if part)
    return f"{track(times, due, cells, plain=plain)} {told}"


def time_lines(times: Times, columns: int, rows: int, *, plain: bool = False) -> list[str]:
    """A line a job under its words, the first due first; then what the signs say."""
    if columns < 20 or rows < 3 or (not times.dues and times.arrives is None):
        return []
    signs = PLAIN if plain else GLYPHS
    legend = f"{signs.today} today"
    if times.arrives is not None:
        legend += f"  {signs.arrives} {comes(times)}"
    legend += f"  {signs.due} due" if times.dues else ""
    lines: list[str] = [] if times.dues else [track(times, None, columns - 1, plain=plain)]
    ranked = sorted(times.dues, key=lambda one: (one.on, one.name))
    room = max(1, (rows - 1) // 2)
    kept = ranked if len(ranked) <= room else ranked[: max(1, room - 1)]
    for one in kept:
        told = how_late(times, one)
        whole = f"{one.name}: {told}"
        # The track shows the day: where there is no room for its date too, the words say how it stands.
        lines += [
            whole if len(whole) <= columns else f"{one.name}: {told.partition(', ')[2]}",
            track(times, one, columns - 1, plain=plain),
        ]
    if len(kept) < len(ranked):
        lines.append(f"and {len(ranked) - len(kept)} jobs more")
    return [fit(line, columns) for line in [*lines, legend][:rows]]
