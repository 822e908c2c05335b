"""What stands under a judgement: the cautions that belong to it, and who has the last word."""

from __future__ import annotations

import catalog

ADVICE = "Advice to a competent person: the machine's manual, local codes and licensed practice come first."


def cautions(*keys: str) -> list[str]:
    """Cautions of the catalog by their keys, worded as on the job sheet."""
    texts = {one.key: one.text for one in catalog.cautions.all_cautions()}
    return [texts[key] for key in keys]
