"""The bands between the areas' names and what is next: the answer, then one list and one drawing."""

from __future__ import annotations

from collections.abc import Sequence

from textual.containers import Container, Vertical
from textual.widget import Widget

from tui.widgets.answer_band import AnswerBand, Told
from tui.widgets.sketch import Sketch

ANSWER = "answer"
DRAWING = "drawing"


def bands(*above: Widget, rows: Widget, about: str = "", drawings: Sequence[Widget] = ()) -> tuple[Widget, ...]:
    """The answer; `above`, what is typed or picked; the list with its drawing and what more there is of the row.

    `about`: the id of those words, none where the answer says all. `drawings`: others that an area has beside its
    sketch. Beside the list there is room for the drawing in a wide window; in a narrow one the words stand beneath it,
    and the answer has what the drawing says in a line (`styles/app.tcss`).
    """
    words = [Told(id=about, classes="about")] if about else []
    side = Vertical(Sketch(id=DRAWING), *drawings, *words, classes="side")
    return (AnswerBand(id=ANSWER), *above, Container(rows, side, classes="desk"))
