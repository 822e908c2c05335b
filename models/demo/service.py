"""How the demo workshop keeps its stores and its services: templates, boxes, reorder points, a rest in a pail."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Final

from sqlmodel import Session

from models import kits, shelf, templates
from models.actions import claim
from models.acts import Act
from models.demo.stock import EMPTY_PLACES, FULL_BOX, GALLON, LITRE, PAIL, RINGS
from models.inventory import assortments, bar_codes, bins, items, reorder_rules
from models.inventory.ledger import Entries
from models.kits import NeedSpec
from models.kitting.needs import insert_need
from models.templates import TemplateNeedRow, as_fitted
from models.words import Kind

LAST_DAY: Final = 4
BEFORE: Final = timedelta(days=LAST_DAY, hours=3)
"""How long before it is made the demo's story begins: a week's work, with this morning's in it."""
TOLD: Final = datetime(2026, 3, 6, 10, 30, tzinfo=UTC)
"""When the demo is told where nobody says it: the same every time."""
OPENED: Final = TOLD - BEFORE
"""When that story begins."""

ENGINE_OIL = TemplateNeedRow(
    NeedSpec(
        Kind.FLUID, spec_class="API CJ-4", spec_grade="15W-40", low_ul=7 * LITRE, full_ul=8 * LITRE, title="engine oil"
    )
)
GEAR_OIL = TemplateNeedRow(
    NeedSpec(
        Kind.FLUID, spec_class="UTTO", spec_grade="10W-40", low_ul=2 * LITRE, full_ul=3 * LITRE, title="gearbox oil"
    )
)
HYDRAULIC_OIL = TemplateNeedRow(
    NeedSpec(
        Kind.FLUID, spec_class="HM", spec_grade="ISO VG 68", low_ul=4 * LITRE, full_ul=5 * LITRE, title="hydraulic oil"
    )
)
GTINS = (("Hydraulic oil, jug", "2000000000015"), ("Rags, lint-free", "2000000000022"))
"""Bar codes of the shop's own: GS1 keeps the numbers that begin with 2 for use inside one company."""
RAGS = TemplateNeedRow(NeedSpec(Kind.CONSUMABLE, 4, spec_class="rags", title="rags"))


class Story:
    """The demo's acts: numbered keys, a minute apart, up to the moment it is told."""

    def __init__(self, now: datetime = TOLD) -> None:
        self._now = now.replace(second=0, microsecond=0)
        self._told = 0

    def by(self, who: str, *, days_on: int = 0) -> Act:
        """The next act, so many days after the first ones."""
        self._told += 1
        at = self._now - BEFORE + timedelta(days=days_on, minutes=self._told)
        return Act(who, f"demo-{self._told:04}", at)

    def in_years(self, day: date) -> date:
        """A day printed on a lot, as many whole years on as this story is told after `TOLD`."""
        return day.replace(year=day.year + self._now.year - TOLD.year)

    def day(self, ahead: int) -> date:
        """The day so many days after the one it is told on."""
        return self._now.date() + timedelta(days=ahead)


def add_needs(session: Session, act: Act, job_id: int, needs: Sequence[NeedSpec]) -> None:
    """As `kits.add_needs`, without the view of each need that nobody looks at here."""
    made = claim(session, act, "kits.add_need", needs[0].title if len(needs) == 1 else f"{len(needs)} needs")
    for spec in needs:
        insert_need(session, made.action_id, job_id, spec)


def allocate(session: Session, act: Act, job_id: int) -> None:
    """As `kits.allocate`, without the view."""
    made = claim(session, act, "kits.allocate", subject_id=job_id)
    kits.look_for(session, act, Entries(session, made.action_id), job_id)


def keep_stores(session: Session, story: Story) -> None:
    """A pail with 2 gallons left, boxes with gaps, and when to order more."""
    pail = shelf.stock_rows(session, PAIL, limit=1).rows[0]
    shelf.use(session, story.by("Bench 2"), stock_id=pail.stock_id, quantity=3 * GALLON, reason="topped up the tipper")

    known = {row.name: row.item_id for row in items.page(session, limit=500).rows}
    gone = [key for keys in EMPTY_PLACES.values() for key in keys]
    fresh = [
        items.NewItem(Kind.RING, ring_name(key, "NBR", 70), size_key=key, rubber="NBR", hardness_shore_a=70)
        for key in gone
    ]
    known |= {row.name: row.item_id for row in items.add_many(session, story.by("Stores"), fresh)}
    models: defaultdict[str, dict[int, int]] = defaultdict(dict)
    for ring in RINGS:
        if ring.bin_code in FULL_BOX:
            models[ring.bin_code][known[ring_name(ring.size_key, ring.rubber, ring.hardness_shore_a)]] = FULL_BOX[
                ring.bin_code
            ]
    for code, keys in EMPTY_PLACES.items():
        models[code] |= {known[ring_name(key, "NBR", 70)]: FULL_BOX[code] for key in keys}
    codes = {row.code: row.bin_id for row in bins.page(session)}
    for code, model in models.items():
        assortments.set_model(session, story.by("Stores"), codes[code], model)
    for name, order_at, up_to, days in (
        ("Rags, lint-free", 30, 120, 4),
        ("UTTO, drum", 60 * LITRE, 208 * LITRE, 10),
        (ring_name("as568:213", "NBR", 70), 4, 20, 6),
    ):
        reorder_rules.set_rule(session, story.by("Stores"), known[name], order_at=order_at, up_to=up_to, lead_days=days)
    for name, gtin in GTINS:
        bar_codes.tie(session, story.by("Stores"), gtin, known[name])


def open_service(session: Session, story: Story, places: dict[str, int]) -> None:
    """Two templates, one of them in its second version, and a job made from each."""
    fifty = templates.add(session, story.by("Stores"), "Sprayer, 50 h", [GEAR_OIL, RAGS])
    first = templates.open_job(
        session, story.by("Stores"), fifty.template_id, machine_id=places["Row sprayer"], title="Gearbox oil",
        due_on=story.day(9),
    )  # fmt: skip
    allocate(session, story.by("Stores"), first.job_id)
    ring = as_fitted("gearbox plug ring", spares=1)
    templates.edit(session, story.by("Stores"), fifty.template_id, [GEAR_OIL, ring, RAGS], "with the plug's ring")

    service = templates.add(
        session, story.by("Stores"), "Tractor, 250 h",
        [ENGINE_OIL, HYDRAULIC_OIL, as_fitted("pump inlet flange ring", spares=1), RAGS],
    )  # fmt: skip
    second = templates.open_job(
        session, story.by("Stores"), service.template_id, machine_id=places["Orchard tractor 3"],
        due_on=story.day(14),
    )  # fmt: skip
    allocate(session, story.by("Stores"), second.job_id)


def ring_name(size_key: str, rubber: str, hardness: int) -> str:
    """What a ring is called on the shelf."""
    return f"O-ring {size_key.upper().replace(':', ' ')} {rubber} {hardness}"
