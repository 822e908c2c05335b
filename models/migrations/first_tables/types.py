"""Column types that differ from database to database."""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import TSVECTOR

PLAIN_ORDER: Final = sa.String(200).with_variant(sa.String(200, collation="C"), "postgresql")
"""Text in the order of its characters' numbers, whatever the server's language."""
WORDS: Final = sa.Text().with_variant(TSVECTOR(), "postgresql")
"""Words that a search looks in."""
