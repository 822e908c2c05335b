"""Back-up rings: how wide a groove must be for one or two of them, as the groove tables print it."""

from __future__ import annotations

from typing import NamedTuple

from catalog.compare import at_least, under
from catalog.orings.groove import Groove, GrooveKind
from catalog.orings.sizes import RingSize
from catalog.orings.standard_grooves import GrooveRow, rows_for
from catalog.standing import Standing


class BackUps(NamedTuple):
    """Groove widths in mm with one and with two back-up rings, and how many this groove has room for.

    `room`: 0, 1 or 2 at the groove's narrowest; `doubt`: at its widest there would be room for one more.
    """

    table: str
    width_one_mm: float
    width_two_mm: float
    room: int
    doubt: bool
    source: str
    standing: Standing

    @property
    def words(self) -> str:
        """The widths, and whether this groove has room, in a sentence without its full stop."""
        needs = f"{self.width_one_mm:.2f} mm wide with one back-up ring and {self.width_two_mm:.2f} mm with two"
        room = ("this one has no room for any", "this one has room for one", "this one has room for two")[self.room]
        if self.doubt:
            more = "one" if self.room == 0 else "two"
            room += f", or just for {more}: measure its width closer"
        return f"the groove must be {needs} ({self.table}); {room}"


def back_ups(ring: RingSize, groove: Groove) -> BackUps | None:
    """What the tables print for this ring's width in a piston or rod groove; None where no table has it."""
    if groove.kind not in (GrooveKind.PISTON, GrooveKind.ROD) or groove.width is None:
        return None
    row = next((one for one in rows_for(ring, groove.kind, groove.motion) if _printed(one)), None)
    if row is None or row.width_one_backup_mm is None or row.width_two_backups_mm is None:
        return None
    needs = (row.width_one_backup_mm, row.width_two_backups_mm)
    room = sum(at_least(groove.width.minimum, need) for need in needs)
    doubt = room < 2 and not under(groove.width.maximum, needs[room])
    return BackUps(row.table, *needs, room, doubt, row.source, row.standing)


def _printed(row: GrooveRow) -> bool:
    return row.width_one_backup_mm is not None and row.width_two_backups_mm is not None
