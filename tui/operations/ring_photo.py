"""A ring measured by a picture of it: the file's readings, as if they were typed, and what to say of them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import catalog
import models
import tui
from catalog import photo
from tui import answers, fields
from tui.fields.field import FieldError

if TYPE_CHECKING:
    from catalog.photo.reading import Measured
    from catalog.quantity import Typed
    from tui.answers.ring import Reading
    from tui.answers.ring_photo import RingPhoto
    from tui.operations.operation import Values

NEEDS: Final = ("cv2", "numpy")
Watch = Callable[[str], None]


class ByPicture(NamedTuple):
    """The fields' values with the picture's readings among them, and what is to be said of them."""

    values: dict[str, Any]
    answer: RingPhoto


def measured(values: Values, watch: Watch = lambda _: None) -> ByPicture:
    """The readings of the picture that `photo` names, on a sheet whose bar is `bar` long. Raises `FieldError`.

    `watch` is told what is being done; what it raises ends it.
    """
    for reading in ("id", "od", "width", "around", "cut_length"):
        if values.get(reading):
            raise FieldError(
                "the picture says what the ring measures; leave this reading out, or leave out --photo",
                f"--{reading.replace('_', '-')}",
            )
    if values["bar"] is None:
        raise FieldError(
            "needs --bar: measure the sheet's bar as it was printed, by caliper, and say how long it is, "
            "as --bar 99.6mm (the sheet comes from: kitwright sheet photo)",
            "--photo",
        )
    if any(find_spec(one) is None for one in NEEDS):
        raise FieldError(
            "a picture is measured with OpenCV, which is not installed: install the extra “photo”", "--photo"
        )
    name: str = values["photo"]
    try:
        found = _found(name, values, watch)
    except photo.refusal.PhotoError as refused:
        raise FieldError(f"{Path(name).name[:60]}: {refused}", "--photo") from refused
    told = answers.ring_photo.ring_photo(name, found)
    return ByPicture({**values, **{one.what: (_typed(one),) for one in told.readings}}, told)


def _found(name: str, values: Values, watch: Watch) -> Measured:
    length, plus_minus = fields.quantities.in_mm(values["bar"])
    bar = photo.reading.Bar(length, photo.reading.BAR_PLUS_MINUS_MM if plus_minus is None else plus_minus)
    try:
        photo.reading.checked(bar)  # before the picture is read
    except photo.refusal.PhotoError as refused:
        raise FieldError(str(refused), "--bar") from refused
    try:
        with models.outside.at_hand(name) as file:
            return tui.by_picture.measured(file, bar, watch)
    except models.errors.InvalidInputError as problem:
        raise FieldError(str(problem), "--photo") from problem
    except OSError as problem:
        raise FieldError("that file can't be read; see that you may read it", "--photo") from problem


def _typed(one: Reading) -> Typed:
    """A reading as if it were typed."""
    value_mm, limit_mm = (Fraction(f"{mm:.3f}") for mm in (one.value_mm, one.plus_minus_mm))
    return catalog.quantity.Typed(value_mm, "mm", limit_mm, catalog.quantity.Kind.LENGTH)
