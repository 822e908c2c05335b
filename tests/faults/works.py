"""Every kind of work that programs are killed in."""

from __future__ import annotations

from tests.faults.booking import Booking
from tests.faults.importing import Importing
from tests.faults.lives import Work
from tests.faults.opening import Opening, Upgrading
from tests.faults.receiving import Receiving

WORKS: tuple[type[Work], ...] = (Booking, Receiving, Importing, Upgrading, Opening)

ON_SHARES: tuple[type[Work], ...] = (Booking, Receiving, Opening)
"""What is also looked at with the older journal: the rest differs in nothing there."""
