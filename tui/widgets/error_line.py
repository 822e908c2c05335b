"""What is wrong with a field of a sheet, under that field."""

from __future__ import annotations

from textual.widget import Widget
from textual.widgets import Static

from tui.widgets.cells import clean


class ErrorLine(Static):
    """One sentence, on the line beneath the field that it is about; it takes no room while nothing is wrong."""

    DEFAULT_CSS = "ErrorLine { height: auto; max-height: 4; display: none; color: $text-error; text-style: bold; }"

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__("", id=id, classes="error", markup=False)

    def say(self, text: str, field: Widget | None = None) -> None:
        """Say it under the field, or under the line of fields that it stands in; "" takes it away."""
        line, form = field, self.parent
        while line is not None and line.parent is not form:
            line = line.parent if isinstance(line.parent, Widget) else None
        if text and line is not None and isinstance(form, Widget):
            form.move_child(self, after=line)
        self.update(clean(text))
        self.display = bool(text)
