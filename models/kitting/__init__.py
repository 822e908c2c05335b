"""What stands behind a kit: needs, what could serve them, promises and picks, the finish, the fluid's tally."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.kitting import allocate as allocate
    from models.kitting import candidates as candidates
    from models.kitting import changing as changing
    from models.kitting import closing as closing
    from models.kitting import fill_entries as fill_entries
    from models.kitting import finish as finish
    from models.kitting import fluid_tally as fluid_tally
    from models.kitting import job_opening as job_opening
    from models.kitting import kit_offers as kit_offers
    from models.kitting import kit_view as kit_view
    from models.kitting import locks as locks
    from models.kitting import lying as lying
    from models.kitting import needs as needs
    from models.kitting import picking as picking
    from models.kitting import pinning as pinning
    from models.kitting import poured as poured
    from models.kitting import progress as progress
    from models.kitting import promises as promises
    from models.kitting import sat as sat
    from models.kitting import sealing as sealing
    from models.kitting import standing as standing
    from models.kitting import twice as twice
else:
    from catalog.door import door

    __getattr__ = door(__name__)
