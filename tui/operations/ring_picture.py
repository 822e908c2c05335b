"""A ring measured by a picture in the app: what `ring --photo` reads of it, for Measure's fields."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tui import answers, operations
from tui.operations.operation import Operation
from tui.operations.ring import RING

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.operations.operation import Bench, Values


def _measured(values: Values, bench: Bench) -> Answer:
    def told(step: str) -> None:
        bench.tell(answers.ring_photo.RingPhotoStep(step))

    return operations.ring_photo.measured(values, told).answer


PHOTO = Operation(
    area="ring",
    name="photo",
    label="From a picture",
    help="measure the ring by a picture of it on the sheet that “sheet photo” prints",
    fields=tuple(replace(one, must=True) for one in RING.fields if one.name in ("photo", "bar")),
    answers=_measured,
    command=False,
    examples=(),
    key="fill",
)

OPERATIONS = (PHOTO,)
