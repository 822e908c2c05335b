"""The demo workshop's suppliers: three invented ones with small lists, so that what is short can be bought."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

from sqlmodel import Session

from models import supplier_lists
from models.acts import Act
from models.demo.stock import LITRE
from models.inventory import items, reorder_rules


class Sold(NamedTuple):
    """An invented supplier: money in cents of euros, and its list as the lines of a file."""

    name: str
    freight_minor: int
    free_from_minor: int | None
    minimum_order_minor: int
    lead_days: int
    lines: tuple[str, ...]


HEADER: Final = "Part no,Description,Price,Price from 10,Pack"
SUPPLIERS: Final = (
    Sold(
        "First supplier (invented)", 690, 15_000, 0, 1,
        (
            "1-0116V,O-RING AS568-116 FKM 75,0.95,0.70,1",
            "1-0213N,O-RING AS568-213 NBR 70,0.32,0.22,1",
            "1-P022N,O-RING JIS P22 NBR 70,0.38,0.29,1",
            "1-G040N,O-RING JIS G40 NBR 70,0.85,0.60,1",
            "1-S300,Oil-proof flange sealant 300 ml,18.40,,1",
        ),
    ),
    Sold(
        "Second supplier (invented)", 450, 8_000, 2_000, 3,
        (
            "200-116-F,ORING AS568-116 FKM 75,0.88,,1",
            "200-116-F10,ORING AS568-116 FKM 75 bag of 10,5.90,,10",
            "200-P22,ORING JIS P22 NBR 70 bag of 10,2.10,,10",
            "200-G40,ORING JIS G40 NBR 70,0.74,,1",
            "200-BOLT,Hex bolt M10 x 1.5 x 30 8.8,0.35,0.28,1",
        ),
    ),
    Sold(
        "Third supplier (invented)", 2_500, 30_000, 0, 2,
        (
            "3-UTTO-20,Tractor fluid UTTO 10W-30,84.00,,20 L",
            "3-UTTO-208,Tractor fluid UTTO 10W-30 drum,690.00,,208 L",
            "3-CK4-20,Engine oil API CK-4 15W-40,76.00,,20 L",
            "3-HM46-20,Hydraulic oil HM ISO VG 46,58.00,,20 L",
            "3-RAGS,Lint-free rags box of 50,14.50,,50",
            "3-FE60,Filter element 60X120 open 30 one end,12.00,,1",
        ),
    ),
)  # fmt: skip

REORDER: Final = (("Hydraulic oil, jug", 20 * LITRE, 50 * LITRE), ("Rags, lint-free", 40, 80))
"""Reorder points that the demo's own jobs bring about."""


def fill(session: Session, next_act: Callable[[str], Act]) -> None:
    """Add the suppliers and take their lists over as a person would. `next_act` gives the story's next act."""
    with tempfile.TemporaryDirectory() as folder:
        for sold in SUPPLIERS:
            supplier = supplier_lists.suppliers.add(
                session,
                next_act("Stores"),
                name=sold.name,
                currency="EUR",
                freight_minor=sold.freight_minor,
                free_from_minor=sold.free_from_minor,
                minimum_order_minor=sold.minimum_order_minor,
                lead_days=sold.lead_days,
            )
            file = Path(folder) / f"{sold.name.partition(' ')[0].lower()}-list.csv"
            file.write_text("\n".join((HEADER, *sold.lines, "")), encoding="utf-8")
            source = supplier_lists.source.open_source(file)
            with supplier_lists.staging.stage(source, supplier_lists.proposal.propose(source).layout, "EUR") as staged:
                supplier_lists.loading.load(session, next_act("Stores"), supplier.supplier_id, staged)
    for name, order_at, up_to in REORDER:
        item = items.page(session, name).rows[0]
        reorder_rules.set_rule(session, next_act("Stores"), item.item_id, order_at=order_at, up_to=up_to, lead_days=3)
