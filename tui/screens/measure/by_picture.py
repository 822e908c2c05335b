"""A ring measured by a picture: choose its file, say how long the sheet's bar is; ID and width go to Measure."""

from __future__ import annotations

import asyncio
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, ClassVar, cast

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Input, Label, Static
from textual.worker import get_current_worker

from tui.answers.ring_photo import RingPhoto
from tui.bound import bind
from tui.fields.field import Asked, FieldError
from tui.fields.file_names import named
from tui.operations.registry import operation
from tui.screens.closing import Sheet
from tui.screens.measure.pictures_of import Folder, pictures_of, usual_folders, where_newest
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.host import Host
    from tui.screens.position.measure_session import MeasureSession

LOOK = 0.1
"""Seconds between two looks at how far it is."""
LONGEST_PATH = 50
FILE_HINT = "or type the name of a picture, or of its folder"
BAR_HINT = "measured by caliper between its outer ends, as 99.6 mm"
BAR_MISSING = "How long is the sheet's bar, measured by caliper? Without it nothing has a scale."
HOW = "The ring lies on the sheet of “kitwright sheet photo”, seen from above, all marks in the picture."
ABOUT = "Not yet tried on a real photograph: check with a caliper."


class Stopped(Exception):  # noqa: N818 - no error: somebody asked for it
    """Nobody waits for the picture any more."""


class Measuring:
    """A picture that is being measured: what is done just now, since when, and whether to stop."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.step = "starting"
        self.since = monotonic()
        self.stopped = False


class PictureScreen(Sheet[RingPhoto | None]):
    """Asks for picture and bar, measures beside the screen, hands back what was measured. Esc stops it; then it closes.

    `replaces`: the readings that stand on Measure and would make room, in words.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "Measure", id="photo.take",
             tooltip="Measure the ring in the picture that is highlighted or named"),
        bind("leave", "leave", "Close", id="photo.leave", tooltip="Stop measuring; else close and change nothing"),
    ]  # fmt: skip

    def __init__(self, session: MeasureSession, replaces: str = "") -> None:
        super().__init__()
        self._session = session
        self._replaces = replaces
        self._folder = Folder(Path.cwd())
        self._measuring: Measuring | None = None

    def compose(self) -> ComposeResult:
        """The pictures, a file's name, the bar, what comes of it."""
        with Vertical(classes="sheet long"):
            yield Static("Measure the ring by a picture of it", classes="title", markup=False)
            rows = Rows(
                [Column("Picture", 24, grow=True), Column("Written", 16, yields=1), Column("MB", 6, right=True)],
                empty="No JPEG or PNG picture lies in this folder.",
                id="pictures",
            )
            rows.add_class("room-some")
            yield rows
            yield Static("", id="photo-folder", classes="quiet", markup=False)
            yield FilterInput(placeholder=FILE_HINT, max_length=4096, id="photo-file")
            yield Label("The sheet's bar, as it was printed", markup=False)
            yield FilterInput(self._session.bar, placeholder=BAR_HINT, max_length=60, id="photo-bar")
            yield Static("", id="photo-told", classes="said", markup=False)
        yield Static("", id="photo-keys", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """List the pictures."""
        self._say(" ".join(part for part in (HOW, ABOUT, self._replaces) if part))
        self.set_interval(LOOK, self._tell_how_far)
        self._list(None)

    @property
    def rows(self) -> Rows:
        """The list of pictures."""
        return self.query_one("#pictures", Rows)

    def _text(self, name: str) -> str:
        return self.query_one(f"#photo-{name}", Input).value.strip()

    # Which picture

    @work(exclusive=True, group="pictures")
    async def _list(self, folder: Path | None) -> None:
        """Show a folder's pictures; of none named, where the newest picture is."""
        at = folder or self._session.pictures
        if at is None:
            found = await asyncio.to_thread(where_newest, usual_folders())
        else:
            found = await asyncio.to_thread(pictures_of, at)
        if found.wrong and folder is not None:
            self._say(found.wrong, wrong=True)
            return
        self._folder, self._session.pictures = found, found.path
        self.query_one("#photo-file", Input).value = ""
        self.rows.show(len(found.pictures), self._row)
        more = f", the newest {len(found.pictures)} of {found.all_of}" if found.all_of > len(found.pictures) else ""
        unread = (
            f"; {found.unread} HEIC or AVIF left out: set the telephone to JPEG, or save them so"
            if found.unread
            else ""
        )
        self.query_one("#photo-folder", Static).update(clean(f"in {self.shown_folder(found.path)}{more}{unread}"))
        (self.rows if found.pictures else self.query_one("#photo-file", Input)).focus()
        self._say_keys()

    @staticmethod
    def shown_folder(path: Path) -> str:
        """A folder as it is said: its end, where it is long."""
        said = str(path)
        return said if len(said) <= LONGEST_PATH else f"…{said[1 - LONGEST_PATH :]}"

    def _row(self, index: int) -> Row:
        one = self._folder.pictures[index]
        return Row((clean(one.file.name), one.day, f"{one.size / 1e6:.1f}"))

    def _meant(self) -> Path | None:
        """The picture that Enter means: the highlighted one in the list, elsewhere the one that is named."""
        typed, at = self._text("file"), self.rows.cursor
        if typed and not self.rows.has_focus:
            return named(typed)
        return self._folder.pictures[at].file if self._folder.pictures else None

    def action_move(self, step: int) -> None:
        """Move in the list without leaving the field."""
        self.rows.action_move(step)

    def action_page(self, step: int) -> None:
        """Move by a page without leaving the field."""
        self.rows.action_page(step)

    def on_rows_chosen(self) -> None:
        """A tap on the highlighted picture."""
        self.action_accept()

    def on_rows_highlighted(self) -> None:
        """Say what Enter does now."""
        self._say_keys()

    def on_descendant_focus(self) -> None:
        """Say what Enter does now."""
        self._say_keys()

    def on_input_changed(self) -> None:
        """Say what Enter does now."""
        self._say_keys()

    def _say_keys(self) -> None:
        meant, field = self._meant(), self.query_one("#photo-file")
        if self._measuring is not None:
            keys = "Esc stops"
        elif meant is None:
            keys = "Enter reads what is typed · Esc closes"
        else:
            does = "reads" if field.has_focus and self._text("file") else "measures by"
            keys = f"Enter {does} {clean(meant.name or str(meant), 34)} · Tab: next field · Esc closes"
        self.query_one("#photo-keys", Static).update(keys)

    # Measuring

    def action_accept(self) -> None:
        """Measure; or list a folder that is named; or ask for what is missing."""
        if self._measuring is not None:
            return
        meant = self._meant()
        if meant is None:
            self._say("No picture is chosen. Type the name of one, or of the folder it lies in.", wrong=True)
            self.query_one("#photo-file", Input).focus()
        else:
            self._measure(meant)

    @work(exclusive=True, group="photo")
    async def _measure(self, file: Path) -> None:
        if await asyncio.to_thread(_is_folder, file):
            self._list(file)
            return
        if not self._text("bar"):
            self._say(BAR_MISSING, wrong=True)
            self.query_one("#photo-bar", Input).focus()
            return
        one, units = operation("ring", "photo"), cast("Host", self.app).units
        words, workshop = {"photo": str(file), "bar": self._text("bar")}, cast("Host", self.app).workshop
        now, worker = Measuring(file.name), get_current_worker()

        def tell(answer: Answer) -> None:
            # Asked to stop, or the page was closed meanwhile.
            if now.stopped or worker.is_cancelled:
                raise Stopped
            now.step = answer.words()[0]

        def measure() -> Answer:
            return one.perform(workshop, one.read(words, Asked(units)), tell, units)

        self._measuring = now
        self._tell_how_far()
        self._say_keys()
        try:
            found = await asyncio.to_thread(measure)
        except FieldError as refused:
            self._over()
            self._say(str(refused), wrong=True)
            if refused.option == "--bar":
                self.query_one("#photo-bar", Input).focus()
            return
        except Stopped:
            self._over()
            self._say("Stopped. Nothing was measured.")
            return
        finally:
            now.stopped = True  # whatever ended the wait, the thread's work is for nobody
        self._over()
        self._session.bar = words["bar"]
        assert isinstance(found, RingPhoto)
        self.dismiss(found)

    def _over(self) -> None:
        self._measuring = None
        self._say_keys()

    def _tell_how_far(self) -> None:
        if (now := self._measuring) is not None:
            stopping = "stopping" if now.stopped else now.step
            self._say(f"Measuring {clean(now.name, 40)}: {stopping}, {monotonic() - now.since:.0f} s")

    def _say(self, text: str, *, wrong: bool = False) -> None:
        told = self.query_one("#photo-told", Static)
        told.set_class(wrong, "error")
        told.update(f"! {clean(text)}" if wrong else clean(text))

    def action_leave(self) -> None:
        """Stop measuring; where nothing is measured, close."""
        if self._measuring is not None:
            self._measuring.stopped = True
        else:
            self.dismiss(None)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False
