"""A ring measured by a picture of it: the file's readings, as if they were typed, and what to say of them."""

from __future__ import annotations

from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import catalog
import models
from catalog import photo
from tui import fields
from tui.fields.field import FieldError

if TYPE_CHECKING:
    from catalog.photo.measure import Measured
    from catalog.quantity import Typed
    from tui.operations.operation import Values

UNTRIED: Final = "Measuring by a picture is not yet tried on a real photograph: check with a caliper."
NEEDS: Final = ("cv2", "numpy")
LEAST_OVAL_MM: Final = 0.25
"""Less is within what a picture tells."""


class ByPicture(NamedTuple):
    """The fields' values with the picture's readings among them, and the sentences that go with the answer."""

    values: dict[str, Any]
    said: str


def measured(values: Values) -> ByPicture:
    """The readings of the picture that `photo` names, on a sheet whose bar is `bar` long. Raises `FieldError`."""
    for reading in ("id", "od", "width", "around", "cut_length"):
        if values[reading]:
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
        found = _found(name, values)
    except photo.refusal.PhotoError as refused:
        raise FieldError(f"{Path(name).name[:60]}: {refused}", "--photo") from refused
    taken = {
        "id": _typed(found.id_mm, found.id_plus_minus_mm),
        "width": _typed(found.width_mm, found.width_plus_minus_mm),
    }
    return ByPicture({**values, **taken}, words(name, found))


def _found(name: str, values: Values) -> Measured:
    length, plus_minus = fields.quantities.in_mm(values["bar"])
    bar = photo.measure.Bar(length, photo.measure.BAR_PLUS_MINUS_MM if plus_minus is None else plus_minus)
    photo.measure.checked(bar)  # before the picture is read
    try:
        with models.outside.at_hand(name) as file:
            if file.stat().st_size > photo.file.MOST_BYTES:
                raise photo.refusal.PhotoError(
                    f"the file is larger than {photo.file.MOST_BYTES // 1_000_000} MB; no telephone's JPEG is"
                )
            data = file.read_bytes()
    except models.errors.InvalidInputError as problem:
        raise FieldError(str(problem), "--photo") from problem
    except OSError as problem:
        raise FieldError("that file can't be read; see that you may read it", "--photo") from problem
    opened = photo.file.opened(data)
    return photo.measure.measure(opened.picture, bar, opened.focal_as_film)


def words(name: str, found: Measured) -> str:
    """What was measured by the picture, and what is to be known of it."""
    oval = (
        f" It is out of round: its ID differs by {found.oval_mm:.1f} mm from one way to another; the mean is taken."
        if found.oval_mm >= LEAST_OVAL_MM
        else ""
    )
    hidden = f" {found.missing_marks} of 12 marks were not seen." if found.missing_marks else ""
    return (
        f"By the picture {Path(name).name[:60]}: ID {found.id_mm:.2f} ± {found.id_plus_minus_mm:.2f} mm, "
        f"width {found.width_mm:.2f} ± {found.width_plus_minus_mm:.2f} mm.{oval}{hidden} {UNTRIED}"
    )


def _typed(value: float, plus_minus: float) -> tuple[Typed, ...]:
    value_mm, limit_mm = (Fraction(f"{one:.3f}") for one in (value, plus_minus))
    return (catalog.quantity.Typed(value_mm, "mm", limit_mm, catalog.quantity.Kind.LENGTH),)
