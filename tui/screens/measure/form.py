"""What is typed and picked on Measure for one ring: the fields, what is in them, and putting another ring in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.containers import Horizontal, Vertical
from textual.events import DescendantFocus
from textual.widget import Widget
from textual.widgets import Input, Static

from catalog.orings.evidence import Condition
from tui.fields.field import Asked
from tui.keys import key
from tui.screens.area import Area
from tui.screens.measure.names import columns
from tui.screens.measure.picture import Drawing
from tui.screens.measure.result import CONDITIONS, JOINTS, SLOTS, TOOLS, Entry
from tui.screens.measure.typed import ByPicture, Typed
from tui.screens.position.measure_session import MeasureSession
from tui.widgets.answer_band import CUT_SHOWN_BY, AnswerBand
from tui.widgets.choice import Choice
from tui.widgets.meets_field import MeetsField
from tui.widgets.reading_field import ReadingField
from tui.widgets.rows import Rows

SHORT_LOOKS = ("?", "new", "used", "flat", "swollen", "shrunk")
MEETS_HINT = "it meets; the hottest it gets"
Asking = tuple[list[Entry], Condition, str, str, tuple[str, str]]
"""The readings, how the ring looks, the unit, where it sits, and the texts of what it meets."""


class RingForm(Area):
    """The fields of one ring. A subclass answers them: `match` is called where one of them changed."""

    def __init__(self) -> None:
        super().__init__()
        self._tools = [slot.tool for slot in SLOTS]
        self._field = 0
        self._session = MeasureSession()
        self._picture: ByPicture | None = None

    def match(self) -> None:
        """Something was typed or picked."""
        raise NotImplementedError

    def body(self) -> Iterable[Widget]:
        """The answer; what was measured at the left, its drawing and the names at the right; what to do next."""
        yield AnswerBand(cut=CUT_SHOWN_BY, id="answer")
        with Horizontal(id="desk"):
            with Vertical(id="readings"):
                yield Static(id="place")
                asked = Asked(self.kitwright.units)
                for i, slot in enumerate(SLOTS):
                    yield ReadingField(slot.name, slot.field.hint(asked), slot.tool.value, id=f"slot{i}")
                with Horizontal(classes="picked"):
                    yield Static(f" {key('looks')} Look", markup=False)
                    yield Choice([one.words for one in CONDITIONS], short=SHORT_LOOKS, by_letter=True, id="condition")
                with Horizontal(classes="picked"):
                    yield Static(f" {key('sits')} Sits", markup=False)
                    yield Choice(
                        [joint or "not given" for joint in JOINTS], short=("?", *JOINTS[1:]), by_letter=True, id="joint"
                    )
                yield MeetsField(MEETS_HINT, id="meets")
            with Vertical(id="result"):
                yield Drawing(id="drawing")
                yield Rows(
                    columns(self.kitwright.unit), empty="Sizes appear here as you type.", loads=False, id="matches"
                )
                yield Static(id="chosen")

    def _entries(self) -> list[Entry]:
        fields = self.query(ReadingField)
        return [
            Entry(slot, field.input.value, tool) for slot, field, tool in zip(SLOTS, fields, self._tools, strict=True)
        ]

    def _asked(self) -> Asking:
        """Everything the answer depends on that stands on this screen."""
        condition = CONDITIONS[self.query_one("#condition", Choice).index]
        joint = JOINTS[self.query_one("#joint", Choice).index]
        return self._entries(), condition, self.kitwright.unit, joint, self.query_one(MeetsField).texts

    def on_reading_field_edited(self) -> None:
        """Rank again."""
        self.match()

    def on_meets_field_edited(self) -> None:
        """Judge the rubbers again."""
        self.match()

    def on_choice_changed(self) -> None:
        """Follow the choice."""
        self.match()

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """Remember which field is in hand."""
        field = event.widget.parent
        if isinstance(field, ReadingField) and field.id:
            self._field = int(field.id.removeprefix("slot"))

    def field(self) -> Input:
        """The field last typed in."""
        return self.query_one(f"#slot{self._field}", ReadingField).input

    def action_tool(self) -> None:
        """The next tool, for the field in hand."""
        tools = self._tools
        tools[self._field] = TOOLS[(TOOLS.index(tools[self._field]) + 1) % len(TOOLS)]
        self.match()

    def action_condition(self) -> None:
        """The next look of the ring."""
        self.query_one("#condition", Choice).action_step(1)

    def action_joint(self) -> None:
        """The next place it may sit in."""
        self.query_one("#joint", Choice).action_step(1)

    def _typed(self) -> Typed:
        """All that is typed and picked for this ring."""
        condition, joint = (self.query_one(f"#{name}", Choice).index for name in ("condition", "joint"))
        texts = tuple(field.input.value for field in self.query(ReadingField))
        meets = self.query_one(MeetsField).texts
        hand, picture = self._session.rings.hand, self._by_picture(texts)
        return Typed(texts, tuple(self._tools), condition, joint, meets, self._session.draft, hand, picture)

    def _by_picture(self, texts: Sequence[str]) -> ByPicture | None:
        """What a picture gave, as long as some of it stands in the fields."""
        return self._picture if self._picture is not None and self._picture.counts(texts) else None

    def _put(self, typed: Typed) -> None:
        """Show another ring, or none; what was said and measured of the last one says nothing of it."""
        for field, text in zip(self.query(ReadingField), typed.texts, strict=True):
            field.input.value = text
        self._tools = list(typed.tools)
        self.query_one("#condition", Choice).index = typed.condition
        self.query_one("#joint", Choice).index = typed.joint
        self.query_one(MeetsField).fill(*typed.meets)
        self._picture = typed.picture
        self._session.new_ring(typed.draft, typed.hand)
        self.query_one("#slot0", ReadingField).input.focus()
        self.match()
