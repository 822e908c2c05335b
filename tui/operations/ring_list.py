"""What can be done with a list of measured rings on its screen: fill it, and put rings of it on a kit together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import models
from tui import answers, operations
from tui.fields.kits import Job
from tui.fields.plain import Count, File, Lines
from tui.fields.rings import ChosenRings
from tui.operations.operation import Operation, Then
from tui.operations.ring import RING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from sqlmodel import Session

    from models.acts import Act
    from models.kitting.kit_view import NeedView
    from tui.answers.answer import Answer
    from tui.operations.operation import Bench, Values
    from tui.workshop import ChosenRing


def _listed(values: Values, bench: Bench) -> Answer:
    return operations.ring_batch.list_of_rings(values, bench)


def _together() -> Callable[..., Any]:

    def add(
        session: Session, act: Act, *, job_id: int, rings: Sequence[ChosenRing], count: int, spares: int
    ) -> tuple[NeedView, ...]:
        """The rings on the job's kit, looked for on the shelf, in one action."""
        return models.kits.accept_matches(session, act, job_id, [ring.spec(count, spares) for ring in rings])

    return add


def _added(then: Then) -> Answer:
    return answers.kits.RingsAdded(then.result[0].job_id, tuple(answers.kits.need_of(one) for one in then.result))


OF_ONE_RING = ("batch", "machine", "position", "photo", "bar")
LIST = Operation(
    area="ring",
    name="list",
    label="List of rings",
    help="a list of rings, pasted or from a CSV file: worked through one by one, put on a kit together",
    fields=(
        File("batch", "File", "the rings from a CSV file, its columns as with --batch", must=False),
        Lines("pasted", "Rows", "the rows themselves, the first of them the columns' names"),
        *(one for one in RING.fields if one.name not in OF_ONE_RING),
    ),
    answers=_listed,
    glances=True,
    command=False,
    examples=(),
    key="list",
)
PIECES = Count("count", "Pieces", "how many of each ring", must=False, empty=1)
SPARES = Count("spares", "Spares", "how many more of each, as spares", must=False, empty=0, least=0)
KIT = Operation(
    area="ring",
    name="kit",
    label="Put on a kit",
    help="put the marked rings of the list on a job's kit, all in one change",
    fields=(Job("job", "Job"), ChosenRings("rings", "Rings"), PIECES, SPARES),
    change=_together,
    answer=_added,
    command=False,
    examples=(),
    key="kit",
)

OPERATIONS = (LIST, KIT)
