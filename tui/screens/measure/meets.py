"""What the ring meets at work, as it is typed on Measure: the fluid, and the hottest it gets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from tui import fields, operations
from tui.fields.field import Asked, FieldError
from tui.fields.words import in_a_form

if TYPE_CHECKING:
    from tui.answers.to_fit import Met

FLUID_FIRST: Final = "It goes with the fluid: type above which fluid gets so hot, such as UTTO."


class Meets(NamedTuple):
    """`met`: what was understood, None where nothing was said; `wrong`: by field, what is wrong with it."""

    met: Met | None = None
    echo: str = ""
    wrong: tuple[tuple[str, str], ...] = ()


NOT_ASKED: Final = Meets()


def read_meets(fluid: str, hottest: str, asked: Asked) -> Meets:
    """What both fields say, read as `ring --fluid --to` reads them; runs in any thread."""
    wrong, values = [], {}
    for field, text in ((operations.ring.MEETS, fluid), (fields.met.HOTTEST, hottest)):
        try:
            values[field.name] = field.from_text(text, asked)
        except FieldError as problem:
            wrong.append((field.label, in_a_form(str(problem))))
    if not wrong and values[operations.ring.MEETS.name] is None and values[fields.met.HOTTEST.name] is not None:
        wrong.append((fields.met.HOTTEST.label, FLUID_FIRST))
    if wrong:
        return Meets(wrong=tuple(wrong))
    met = operations.asked_ring.met_by(values)
    return (
        NOT_ASKED if met is None else Meets(met, f"{operations.ring.MEETS.echo(met.fluid, asked)}, {met.hottest_words}")
    )
