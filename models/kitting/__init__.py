"""What stands behind a kit: needs, what could serve them, promises and picks, the finish, the fluid's tally."""
