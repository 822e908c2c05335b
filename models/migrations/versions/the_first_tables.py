"""Every table, what the search stands on and what keeps tables append-only, as they are at the first release."""

from models.migrations.first_tables import (
    actions,
    append_only,
    fits,
    kits,
    ledger,
    orders,
    own_grooves,
    own_ports,
    own_words,
    pictures,
    search,
    shelf,
    suppliers,
    templates,
)

revision = "first_992f58eb"
down_revision = None
branch_labels = None
depends_on = None

# Each refers only to those before it.
IN_ORDER = (
    actions,
    shelf,
    own_words,
    own_ports,
    own_grooves,
    fits,
    pictures,
    templates,
    kits,
    ledger,
    suppliers,
    orders,
    search,
    append_only,
)


def upgrade() -> None:
    for part in IN_ORDER:
        part.create()


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
