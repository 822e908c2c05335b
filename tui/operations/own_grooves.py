"""A shop's own tables of grooves: loaded, listed, shared, dropped. Part of the area `groove`."""

from __future__ import annotations

import models
from catalog import orings
from tui.answers.own_grooves import (
    GroovesDropped,
    GroovesExported,
    GroovesLoaded,
    corrected_by,
    grooves_loaded,
    own_tables,
)
from tui.operations.own_rows import OwnRows, drop_operation, load_operation, own_operation

OWN_ROWS = OwnRows(
    area="groove",
    many="grooves",
    like=("grooves.csv", "ISO 3601-2"),
    read=lambda text, **said: orings.own_groove_csv.read_own_grooves(text, **said),
    rules=lambda: models.own_grooves,
    refused=GroovesLoaded,
    loaded=grooves_loaded,
    corrected=corrected_by,
    listed=own_tables,
    dropped=GroovesDropped,
    exported=GroovesExported,
    means=("in-menu", "in-menu"),
    about_load="""\
Load a table of grooves that the shop owns: the priced standard, or what a
maker cuts, as CSV. From then on --standard takes the shop's groove, and the
ring to fit is judged in it too.

The first line names the columns: use (radial or face), section (the ring's
width), depth_min, depth_max, width_min and width_max in every table; where
the table has them motion (static unless it says reciprocating or pneumatic),
medium, sizes, section_tol, width_one_backup, width_two_backups,
clearance_max, squeeze_min, squeeze_max and note. Depth is to the mating
surface. A unit stands in a column's name (depth_min_mm, depth_min_in) or is
said by --unit. A groove is shallower than its ring and wider, a thicker ring
never has the smaller groove, and none may stand there twice: each row that
can't be right is told with its line, and then nothing is loaded.

A table named as one of ours is (JIS B 2401-2, ISO 3601-2) speaks of our
rows: one that says the same confirms it, one that differs corrects it, any
other is a new groove. Each correction is shown first, and the table is
loaded once you say --yes.
Take it back with: kitwright undo""",
    about_drop="""\
Drop a table that the shop has loaded: its grooves count no more, and what it
said of our rows no longer counts. It stays on record. Take it back with:
kitwright undo""",
)
OPERATIONS = (load_operation(OWN_ROWS), own_operation(OWN_ROWS, shares=True), drop_operation(OWN_ROWS))
