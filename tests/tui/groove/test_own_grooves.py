"""Groove's standard groove is the shop's own where it has one for the ring."""

from __future__ import annotations

from catalog.orings.groove import GrooveKind, Motion
from catalog.orings.groove_book import with_own
from catalog.orings.own_groove import OwnGrooves, own_grooves
from catalog.orings.sizes import by_key
from catalog.orings.span import between
from catalog.orings.standard_grooves import GrooveRow
from catalog.standing import Standing
from tui.screens.groove.draft import Draft
from tui.screens.groove.standard import fill

ROW = GrooveRow(
    "Press list", "radial", (Motion.STATIC,), "", "", 3.53, None, between(3.2, 3.3), between(4.8, 4.9), None, None,
    None, None, None, "", Standing.SHOP, "",
)  # fmt: skip


def test_the_standard_groove_is_the_shops_own_where_it_has_one() -> None:
    ring, other = by_key("as568:214"), by_key("as568:116")
    book = with_own(own_grooves([OwnGrooves("Press list", "list 7", (ROW,))]))
    for size, named in ((ring, "Press list"), (other, "AS568 handbook")):
        draft = Draft()
        draft.kind = GrooveKind.PISTON
        assert fill(draft, size, "mm", book).texts
        assert draft.standard is not None
        assert draft.standard.label.partition(",")[0] == named
