"""The demo workshop: an invented orchard co-op, filled the same way every time, in a file of its own."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path

from sqlmodel import Session, col, select

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.prior import Built
from models import jobs, kits, machines, shelf
from models.acts import Clock, now
from models.database import Workshop, open_workshop
from models.demo import orders as demo_orders
from models.demo import suppliers as demo_suppliers
from models.demo.service import LAST_DAY, OPENED, TOLD, Story, add_needs, allocate, keep_stores, open_service, ring_name
from models.demo.stock import BINS, EXPIRED, INLET_GROOVE, LITRE, RETURN_HEAD, RINGS, THINGS
from models.errors import WorkshopOlderError, WorkshopUnavailableError
from models.fits import fit_records
from models.inventory import bins, items
from models.kits import NeedSpec
from models.kitting import sealing
from models.storage import locations
from models.tables import KitLine, Need
from models.words import Kind

__all__ = ["BUILT", "MACHINES", "OPENED", "fill", "open_demo"]

MACHINES = {
    "Orchard tractor 3": (
        ("pump inlet flange ring", Kind.RING),
        ("suction strainer cover ring", Kind.RING),
        ("return line element", Kind.FILTER),
        ("transmission sump", Kind.FLUID),
    ),
    "Row sprayer": (("pump outlet flange ring", Kind.RING), ("gearbox plug ring", Kind.RING)),
    "Bin tipper": (("cylinder gland ring", Kind.RING), ("tank return element", Kind.FILTER)),
    "Shop press": (("ram ring", Kind.RING), ("oil reservoir", Kind.FLUID)),
}

RESERVOIR_COVER = "reservoir cover sealant"

BUILT = {
    "Orchard tractor 3": Built.JAPAN,
    "Row sprayer": Built.EUROPE,
    "Bin tipper": Built.NORTH_AMERICA,
}


def open_demo(file: Path | None = None, *, fresh: bool = False, clock: Clock = now) -> Workshop:
    """Open the demo workshop, made and filled if it is not there yet; `fresh` starts it over.

    Never the workshop's own file. A demo from before the first release is made anew where it lies at the demo's own
    place; any other file stays. Raises as `open_workshop` does.
    """
    at_its_place = file is None
    if file is None:
        file = locations.demo_file()
        locations.make_folder(file.parent)
    if fresh:
        _take_away(file)
    try:
        workshop = open_workshop(file, clock=clock)
    except WorkshopOlderError:
        if not at_its_place:
            raise
        _take_away(file)
        workshop = open_workshop(file, clock=clock)
    with workshop.read() as session:
        filled = bool(machines.listed(session))
    if not filled:
        with workshop.write() as session:
            fill(session, clock())
    return workshop


def _take_away(file: Path) -> None:
    try:
        for ending in ("", "-wal", "-shm", "-journal"):
            file.with_name(file.name + ending).unlink(missing_ok=True)
    except OSError as fault:
        raise WorkshopUnavailableError(
            f"{file} can't be taken away ({fault.strerror or fault}).", "Close what has it open, then try again."
        ) from fault


def fill(session: Session, now: datetime = TOLD) -> None:
    """Fill an empty workshop with the demo as it stands at that moment; nothing happens where it is filled already."""
    if machines.listed(session):
        return
    story = Story(now)
    _stock(session, story)
    places = _machines(session, story)
    _remember(session, story, places)
    _jobs(session, story, places)
    keep_stores(session, story)
    open_service(session, story, places)
    demo_suppliers.fill(session, story.by)
    _this_week(session, story)


def _stock(session: Session, story: Story) -> None:
    bin_ids = {code: bins.add(session, story.by("Stores"), code=code, note=note).bin_id for code, note in BINS}
    rings = [
        items.NewItem(
            Kind.RING,
            ring_name(ring.size_key, ring.rubber, ring.hardness_shore_a),
            size_key=ring.size_key,
            rubber=ring.rubber,
            hardness_shore_a=ring.hardness_shore_a,
        )
        for ring in RINGS
    ]
    things = [
        items.NewItem(
            thing.kind,
            thing.name,
            spec_class=thing.spec_class,
            spec_grade=thing.spec_grade,
            cure_minutes=thing.cure_minutes,
            figures=thing.figures,
        )
        for thing in THINGS
    ]
    ids = [row.item_id for row in items.add_many(session, story.by("Stores"), [*rings, *things])]
    deliveries = [
        *(
            shelf.Delivery(item_id, bin_ids[ring.bin_code], ring.pieces)
            for item_id, ring in zip(ids, RINGS, strict=False)
        ),
        *(
            shelf.Delivery(
                item_id,
                bin_ids[thing.bin_code],
                thing.quantity,
                thing.lot_code,
                story.in_years(thing.expires_on) if thing.expires_on else None,
            )
            for item_id, thing in zip(ids[len(RINGS) :], THINGS, strict=True)
        ),
    ]
    size_key, pieces, lot, cured_on = EXPIRED
    at = next(at for at, ring in enumerate(RINGS) if ring.size_key == size_key)
    deliveries.append(
        shelf.Delivery(ids[at], bin_ids[RINGS[at].bin_code], pieces, lot, cured_on=story.in_years(cured_on))
    )
    shelf.receive_many(session, story.by("Stores"), deliveries, reason="first stock")


def _machines(session: Session, story: Story) -> dict[str, int]:
    """The machines with their positions; gives the ids of both by name, a position's as "machine/position"."""
    places: dict[str, int] = {}
    for name, positions in MACHINES.items():
        machine = machines.add(session, story.by("Stores"), name=name, built=BUILT.get(name, Built.ANYWHERE))
        places[name] = machine.machine_id
        for position, takes in positions:
            made = machines.add_position(
                session, story.by("Stores"), machine_id=machine.machine_id, name=position, takes=takes
            )
            places[f"{name}/{position}"] = made.position_id
    machines.set_housing(session, story.by("Bench 1"), places["Orchard tractor 3/return line element"], RETURN_HEAD)
    return places


def _evidence(condition: Condition, *readings: tuple[Dimension, float, float, Tool]) -> Evidence:
    return Evidence(tuple(Reading(*reading) for reading in readings), condition)


INLET = _evidence(Condition.USED, (Dimension.ID, 24.9, 0.1, Tool.CALIPER), (Dimension.WIDTH, 3.5, 0.05, Tool.CALIPER))
RAM = _evidence(
    Condition.FLATTENED, (Dimension.ID, 37.6, 0.2, Tool.CALIPER), (Dimension.WIDTH, 3.3, 0.05, Tool.CALIPER)
)
GLAND = _evidence(Condition.NEW, (Dimension.AROUND, 75.2, 0.5, Tool.TAPE), (Dimension.WIDTH, 3.5, 0.05, Tool.CALIPER))


def _remember(session: Session, story: Story, places: dict[str, int]) -> None:
    inlet = places["Orchard tractor 3/pump inlet flange ring"]
    guess = _evidence(Condition.FLATTENED, (Dimension.ID, 24.5, 0.5, Tool.RULE))
    fit_records.record(
        session, story.by("Bench 2"), inlet, "as568:213", evidence=guess, rubber="NBR", note="Seeped within a week."
    )
    fit_records.record(
        session, story.by("Bench 1"), inlet, "as568:214", evidence=INLET, rubber="HNBR", hardness_shore_a=70,
        groove=INLET_GROOVE,
    )  # fmt: skip
    fit_records.record(session, story.by("Bench 1"), places["Shop press/ram ring"], "as568:222", evidence=RAM)
    fit_records.record(session, story.by("Bench 2"), places["Row sprayer/gearbox plug ring"], "jis:P18", rubber="NBR")


def _job(session: Session, story: Story, machine_id: int, title: str, due_on: date, needs: Sequence[NeedSpec]) -> int:
    job = jobs.open_job(session, story.by("Stores"), title=title, machine_id=machine_id, due_on=due_on)
    if needs:
        add_needs(session, story.by("Stores"), job.job_id, needs)
    return job.job_id


def _jobs(session: Session, story: Story, places: dict[str, int]) -> None:
    tractor, sprayer = places["Orchard tractor 3"], places["Row sprayer"]
    tipper, press = places["Bin tipper"], places["Shop press"]

    serviced = _job(
        session, story, tractor, "Spring service", story.day(-3),
        [
            NeedSpec(Kind.FILTER, spec_class="spin-on 3/4-16 UNF, 20 µm", title="engine oil element"),
            NeedSpec(
                Kind.FLUID, spec_class="API CK-4", spec_grade="15W-40", low_ul=7 * LITRE, full_ul=8 * LITRE,
                title="engine oil",
            ),
        ],
    )  # fmt: skip
    _pick_all(session, story, serviced)
    jobs.close(session, story.by("Bench 1"), serviced)

    leak = _job(
        session, story, tractor, "Pump inlet leaks", story.day(1),
        [
            NeedSpec(
                Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=41_639_530, full_ul=45_424_941,
                title="transmission oil, 44 to 48 US quarts",
                position_id=places["Orchard tractor 3/transmission sump"],
            ),
            NeedSpec(
                Kind.FILTER, spec_class="spin-on 1-12 UNF, 10 µm", title="return line element",
                position_id=places["Orchard tractor 3/return line element"],
            ),
            NeedSpec(
                Kind.SEALANT, spec_class="oil-proof flange sealant", cure_minutes_at_most=24 * 60,
                title="housing sealant", asks=("oil",),
            ),
            NeedSpec(Kind.CONSUMABLE, 6, spec_class="rags", title="rags"),
        ],
    )  # fmt: skip
    inlet = NeedSpec(
        Kind.RING, 2, 1, "pump inlet flange ring", "as568:214", rubbers=("HNBR", "NBR"), probability=0.93,
        evidence=INLET, position_id=places["Orchard tractor 3/pump inlet flange ring"],
        why="ID and width both within their tolerance of AS568-214",
    )  # fmt: skip
    kits.accept_match(session, story.by("Bench 1"), leak, inlet)
    allocate(session, story.by("Stores"), leak)

    rebuild = _job(
        session, story, sprayer, "Pump rebuild", story.day(4),
        [
            NeedSpec(Kind.RING, 4, 2, "valve seat rings", "as568:116", rubbers=("FKM", "HNBR")),
            NeedSpec(Kind.RING, 2, 1, "plunger rings", "jis:P22", rubbers=("NBR",)),
            NeedSpec(Kind.RING, 1, 1, "cover ring", "jis:G40", rubbers=("NBR",)),
            NeedSpec(Kind.FASTENER, 4, 2, spec_class="M10 × 1.5 × 30", spec_grade="8.8", title="cover bolts"),
            NeedSpec(Kind.CONSUMABLE, 1, spec_class="parts cleaner", title="cleaner"),
        ],
    )  # fmt: skip
    allocate(session, story.by("Stores"), rebuild)

    weep = _job(session, story, tipper, "Cylinder weeps", story.day(6), [])
    gland = NeedSpec(
        Kind.RING, title="cylinder gland ring", size_key="as568:213", rubbers=("NBR",), probability=0.61,
        evidence=GLAND, position_id=places["Bin tipper/cylinder gland ring"],
        why="the inner circumference fits 213 best; 214 is close",
    )  # fmt: skip
    kits.add_need(session, story.by("Bench 2"), weep, gland)

    drip = _job(
        session, story, press, "Ram drips", story.day(-1),
        [
            NeedSpec(
                Kind.RING, 1, 0, "ram ring", "as568:222", rubbers=("HNBR", "NBR"),
                position_id=places["Shop press/ram ring"],
            ),
            NeedSpec(
                Kind.FLUID, spec_class="HM", spec_grade="ISO VG 46", low_ul=2 * LITRE, full_ul=3 * LITRE,
                title="ram oil", position_id=places["Shop press/oil reservoir"],
            ),
            NeedSpec(
                Kind.SEALANT, spec_class="oil-proof flange sealant", cure_minutes_at_most=24 * 60,
                title=RESERVOIR_COVER,
            ),
        ],
    )  # fmt: skip
    _pick_all(session, story, drip)


def _pick_all(session: Session, story: Story, job_id: int) -> None:
    allocate(session, story.by("Stores"), job_id)
    of_job = select(Need.id).where(Need.job_id == job_id)
    lines = session.exec(select(KitLine.id).where(col(KitLine.need_id).in_(of_job)).order_by(col(KitLine.id))).all()
    kits.pick(session, story.by("Bench 1"), [line_id for line_id in lines if line_id is not None])


def _this_week(session: Session, story: Story) -> None:
    """What happened since: bolts were ordered and half of them came; the press was sealed this morning and cures."""
    demo_orders.fill(session, story)
    cover = session.exec(select(Need.id).where(Need.title == RESERVOIR_COVER)).one()
    sealing.note(session, story.by("Bench 1", days_on=LAST_DAY), cover or 0)
