"""How many keys a task takes, beyond the text of readings and names: each played in the app, from Measure, 80 × 24.

Run: python -m tests.bench.keys_per_task
What a person types of the thing itself (a reading, a name, a count, a bin's code) and a paste's text are not counted;
every other key is. The keys that open the area and its list are counted apart: who stands there needs them no more. A
task that does not do what it is for is an error.
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from collections.abc import Awaitable, Callable
from datetime import date
from pathlib import Path
from typing import Any, Final, NamedTuple

from textual import events
from textual.pilot import Pilot

from catalog.orings.sizes import all_sizes
from models import jobs, kits, shelf
from models.database import open_workshop
from models.inventory import bins, items
from models.kits import NeedSpec
from models.words import Kind, KitState
from tests.models.shop import ring, ring_spec
from tests.tui.buy.opened import short_shop
from tests.tui.counter import Shown, keys, settle, shown, toasts
from tests.tui.seed import NOON, act
from tui.buying import Buying

SIZE: Final = (80, 24)
FIVE: Final = tuple(one.key for one in all_sizes() if one.key.startswith("as568:"))[20:25]
THIRTY: Final = "\n".join(f"{one.label} NBR 70; 12" for one in all_sizes() if one.key.startswith("as568:"))
LITRE: Final = 1_000_000


class Hands:
    """Presses keys and counts them; what is text of the thing itself is typed and not counted."""

    def __init__(self, pilot: Pilot[Any]) -> None:
        self.pilot = pilot
        self.counted = 0
        self.opening = 0

    @property
    def app(self) -> Shown:
        """The app under the hands."""
        assert isinstance(self.pilot.app, Shown)
        return self.pilot.app

    async def press(self, *pressed: str) -> None:
        """Keys that count."""
        self.counted += len(pressed)
        await keys(self.pilot, *pressed)

    async def open(self, *pressed: str) -> None:
        """Keys that lead to the area and the list; they count apart, too."""
        self.opening += len(pressed)
        await keys(self.pilot, *pressed)

    async def type(self, text: str) -> None:
        """Text of the thing itself, letter by letter."""
        await self.pilot.press(*(_KEYS.get(letter, letter) for letter in text))
        await settle(self.pilot)

    async def paste(self, text: str) -> None:
        """A paste, one key however long it is."""
        self.counted += 1
        self.app.screen.post_message(events.Paste(text))
        await settle(self.pilot)


_KEYS: Final = {" ": "space", ".": "full_stop", "-": "minus", ",": "comma"}


class Task(NamedTuple):
    """A task by its name: the goal, where there is one, what is made ready, and how it is played and proven."""

    name: str
    goal: int | None
    play: Callable[[Hands], Awaitable[None]]


def kit_sizes(hands: Hands) -> int:
    """How many needs all kits have."""
    workshop = hands.app.workshop
    return sum(len(workshop.kit(job.job_id).needs) for job in workshop.jobs())


async def measured_ring(hands: Hands) -> None:
    """ID and width, then onto the kit of the job that lacks something."""
    before = kit_sizes(hands)
    await hands.type("24.9")
    await hands.press("tab", "tab")
    await hands.type("3.5")
    await hands.press("enter", "enter")
    assert kit_sizes(hands) == before + 1


async def new_ring(hands: Hands) -> None:
    """A ring that is looked for first and not found, with its rubber, into a bin."""
    await hands.open("f5")
    await hands.type("25 x 3.5")
    await hands.press("ctrl+r")
    await hands.type("O-ring 25 x 3.5 FKM 75")
    await hands.press("enter")
    await hands.type("C1")
    await hands.press("enter")
    await hands.type("10")
    await hands.press("enter")
    rows = hands.app.workshop.stock("fkm 75").rows
    assert [(row.rubber, row.on_hand) for row in rows] == [("FKM", 10)]


async def box(hands: Hands) -> None:
    """Thirty sizes of a list."""
    await hands.open("f5")
    await hands.press("ctrl+l")
    await hands.type("Box 9")
    await hands.press("enter")
    await hands.paste("\n".join(THIRTY.splitlines()[:30]))
    await hands.press("enter")
    assert len(hands.app.workshop.stock("box 9").rows) == 30


async def pick_five(hands: Hands) -> None:
    """All that is promised to the job."""
    await hands.open("f4")
    await hands.press("p")
    assert hands.app.workshop.jobs()[0].state is KitState.PICKED


async def receipt(hands: Hands) -> None:
    """An order that came as ordered, into one bin."""
    await hands.open("ctrl+y", "t", "t")
    await hands.press("enter")
    await hands.type("Box 7")
    await hands.press("enter")
    assert hands.app.workshop.stock("box 7").rows


async def count(hands: Hands) -> None:
    """What a bin holds, put right."""
    await hands.open("f5")
    await hands.type("214")
    await hands.press("enter")
    await hands.type("12")
    await hands.press("enter")
    assert hands.app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 12


async def new_job(hands: Hands) -> None:
    """A job on the machine that is there."""
    await hands.open("f4")
    await hands.press("n")
    await hands.type("Hose drips")
    await hands.press("tab", "down", "enter")
    assert hands.app.workshop.jobs()[-1].machine_name


async def fluid_need(hands: Hands) -> None:
    """A fluid with both its marks onto the kit."""
    before = kit_sizes(hands)
    await hands.open("f4")
    await hands.press("i")
    await hands.type("UTTO")
    await hands.press("tab", "tab")
    await hands.type("5 L")
    await hands.press("tab")
    await hands.type("6 L")
    await hands.press("enter")
    assert kit_sizes(hands) == before + 1


async def pour(hands: Hands) -> None:
    """A pour noted at the job's fluid."""
    await hands.open("f4")
    await hands.press("r")
    await hands.type("2 L")
    await hands.press("enter", "escape")
    job = hands.app.workshop.jobs()[0].job_id
    assert any(need.poured == 2 * LITRE for need in hands.app.workshop.kit(job).needs)


async def close(hands: Hands) -> None:
    """A job whose rings were picked, all used as planned."""
    open_now = len(hands.app.workshop.jobs())
    await hands.open("f4")
    await hands.press("p", "x", "enter")
    assert len(hands.app.workshop.jobs()) == open_now - 1


async def order(hands: Hands) -> None:
    """What is short planned and kept as orders; each row that was only read was looked at."""
    await hands.open("ctrl+y")
    await hands.press("o", "enter", "enter")
    assert Buying(hands.app.workshop).orders()


async def where(hands: Hands) -> None:
    """Which bin an item lies in."""
    await hands.open("f5")
    await hands.type("rags")
    assert "C1" in shown(hands.pilot)


TASKS: Final = (
    Task("measured ring onto the kit", 4, measured_ring),
    Task("new ring with its rubber into a bin", 12, new_ring),
    Task("box of 30 sizes on record, by one paste", None, box),
    Task("pick five needs of a job", 2, pick_five),
    Task("receipt of an order", 2, receipt),
    Task("count of a bin", None, count),
    Task("new job on a machine", None, new_job),
    Task("fluid with its marks onto a kit", None, fluid_need),
    Task("pour noted", None, pour),
    Task("job picked and closed as planned", None, close),
    Task("plan worked out and kept as orders", None, order),
    Task("which bin something lies in", None, where),
)


def ready(folder: Path) -> Path:
    """The seeded workshop with two suppliers; first among its jobs one of five rings and a fluid, all promised."""
    file = short_shop(folder)
    workshop = open_workshop(file, clock=lambda: NOON)
    with workshop.write() as session:
        for key in FIVE:
            ring(session, 9, size_key=key, bin_code="A1")
        pail = items.add(session, act(), kind=Kind.FLUID, name="UTTO, pail", spec_class="UTTO", spec_grade="10W-30")
        place = bins.add(session, act(), code="Rack").bin_id
        shelf.receive(session, act(), item_id=pail.item_id, bin_id=place, quantity=10 * LITRE)
        job = jobs.open_job(session, act(), title="Five rings", due_on=date(2026, 11, 26)).job_id
        specs = [ring_spec(key, pieces=1, title=key) for key in FIVE]
        oil = NeedSpec(Kind.FLUID, title="oil", spec_class="UTTO", spec_grade="10W-30", low_ul=LITRE, full_ul=3 * LITRE)
        kits.add_needs(session, act(), job, [*specs, oil])
        kits.allocate(session, act(), job)
    workshop.close()
    return file


async def played(task: Task) -> tuple[int, int]:
    """How many keys opened the area and its list, and how many the task took there."""
    with tempfile.TemporaryDirectory() as folder:
        app = Shown(data=str(ready(Path(folder))))
        async with app.run_test(size=SIZE, notifications=True) as pilot:
            await settle(pilot)
            app.workshop.open().clock = lambda: NOON
            if task.play is receipt:
                buying = Buying(app.workshop)
                kept = buying.accept(buying.work_out(buying.gather()), looked_at=True)
                buying.place([one.order_id for one in kept])
            hands = Hands(pilot)
            try:
                await task.play(hands)
            except AssertionError:
                sys.stderr.write(f"{task.name} was not done:\n{shown(pilot)}\n{toasts(pilot)}\n")
                raise
            return hands.opening, hands.counted


def main() -> None:
    """Play each, or those whose names hold the words given, and print the table."""
    sys.stdout.write("| task | keys | and to open its list | goal |\n| --- | --- | --- | --- |\n")
    for task in (one for one in TASKS if all(word in one.name for word in sys.argv[1:])):
        opening, took = asyncio.run(played(task))
        goal = "" if task.goal is None else str(task.goal) if took <= task.goal else f"{task.goal}, missed"
        sys.stdout.write(f"| {task.name} | {took} | {opening or ''} | {goal} |\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
