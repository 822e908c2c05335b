"""A job, a need of its kit, a line of it, a job template: named on the command line, highlighted on a screen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

import models
from models import kitting
from tui.fields.amounts import Amount
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count
from tui.fields.rows import Stock, look_of, one_named
from tui.fields.words import folded, shown

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kitting.fluid_tally import Container
    from models.kitting.kit_view import KitView, LineView, NeedView
    from models.templates import TemplateRow

NEED_HELP = "the need: its number or its title, as the kit shows it"


class Job(Field["JobRow"]):
    """A job by its number. On a screen it is the highlighted one."""

    METAVAR: ClassVar[str] = "JOB"
    ROW: ClassVar[str] = "job"
    LOOKS: ClassVar[bool] = True

    def options(self) -> tuple[Option, ...]:
        """Its place."""
        return (
            Option(self.name, self.name, self.METAVAR, self.help or "the job's number, as in kitwright jobs", True),
        )

    def read(self, text: str, asked: Asked) -> JobRow:
        """The job. Raises `FieldError`, `NotFoundError`."""
        if not (text.isascii() and text.isdigit() and len(text) <= 9):
            raise FieldError(f"{shown(text)} is not a job's number; list them with: kitwright jobs")
        job = look_of(asked)(lambda session: models.jobs.get(session, int(text)))
        look = look_of(asked)
        if job.closed_at is not None and look(lambda one: kitting.job_opening.taken_back(one, [job.job_id])):
            raise FieldError(f"opening job {text}, “{job.title}”, was undone; list the jobs with: kitwright jobs")
        return job

    def arguments(self, value: JobRow) -> dict[str, Any]:
        """The rule takes the job's number."""
        return {"job_id": value.job_id}


def kit_of(asked: Asked) -> KitView:
    """The kit of the job that was read before."""
    job: JobRow = asked.values["job"]
    return look_of(asked)(lambda session: models.kits.view(session, job.job_id))


def need_named(kit: KitView, text: str) -> NeedView:
    """The need of the kit by its number or its title. Raises `FieldError`."""
    if text.isascii() and text.isdigit() and len(text) <= 9:
        for need in kit.needs:
            if need.need_id == int(text):
                return need
    same = [need for need in kit.needs if folded(need.title) == folded(text)]
    if len(same) > 1:
        numbers = ", ".join(str(need.need_id) for need in same)
        raise FieldError(f"several needs are called {shown(text)}; say which by its number: {numbers}")
    none = f"Job {kit.job_id} needs nothing yet; add it with: kitwright job need"
    return one_named(text, [(need.title, need) for need in kit.needs], "need", none)


class Need(Field["NeedView"]):
    """A need of the job's kit, by its number or title. On a screen it is the highlighted one, or its line's."""

    METAVAR: ClassVar[str] = "NEED"
    ROW: ClassVar[str] = "need"
    LOOKS: ClassVar[bool] = True

    def options(self) -> tuple[Option, ...]:
        """Its place."""
        return (Option(self.name, self.name, self.METAVAR, self.help or NEED_HELP, True),)

    def read(self, text: str, asked: Asked) -> NeedView:
        """The need. Raises `FieldError`."""
        return need_named(kit_of(asked), text)

    def arguments(self, value: NeedView) -> dict[str, Any]:
        """The rule takes the need's number."""
        return {"need_id": value.need_id}


@dataclass(frozen=True)
class Lines(Field["tuple[LineView, ...]"]):
    """The kit's lines in a state: all of them, those of a need, or the one of that number.

    `state`: `have` or `picked`; `pinned`: only those pinned by hand.
    """

    ROW: ClassVar[str] = "lines"
    LOOKS: ClassVar[bool] = True

    state: str = "have"
    pinned: bool = False

    def options(self) -> tuple[Option, ...]:
        """The need in its place, or the line's number."""
        return (
            Option("need", "need", "NEED", NEED_HELP),
            Option("line", "--line", "N", "one line by its number, as the kit shows it"),
        )

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[LineView, ...]:
        """The lines. Raises `FieldError`."""
        kit = kit_of(asked)
        found = tuple(self._found(kit, words, asked))
        if not found:
            of = shown(words.get("need") or "") if words.get("need") else f"job {kit.job_id}"
            raise FieldError(
                f"{of} has no line that is “{self.state}”; look on the shelf with: kitwright kit promise {kit.job_id}",
                "-",
            )
        return found

    def _found(self, kit: KitView, words: Mapping[str, str | None], asked: Asked) -> Iterator[LineView]:
        need, number = words.get("need"), words.get("line")
        only = None if need is None else need_named(kit, need)
        lines = [row for one in kit.needs if only is None or one is only for row in one.lines if row.line_id]
        if number is not None:
            try:
                wanted = Count("line", "Line").from_text(number, asked)
            except FieldError as problem:
                raise FieldError(str(problem), "--line") from problem
            line = next((row for row in lines if row.line_id == wanted), None)
            if line is None:
                of = f"“{only.title}”" if only is not None else f"job {kit.job_id}"
                raise FieldError(f"{of} has no line {wanted}; look with: kitwright kit {kit.job_id}", "--line")
            yield line
            return
        yield from (row for row in lines if row.state == self.state and (row.pinned or not self.pinned))

    def arguments(self, value: tuple[LineView, ...]) -> dict[str, Any]:
        """The rule takes the lines."""
        return {"lines": value}


class Line(Lines):
    """One line of the kit. On a screen it is the highlighted one; several are listed, never chosen from."""

    ROW: ClassVar[str] = "line"

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> LineView:  # type: ignore[override]
        """The one line. Raises `FieldError`."""
        kit = kit_of(asked)
        if words.get("need") is None and words.get("line") is None and not self.pinned:
            raise FieldError(
                f"say which: a need by its name or number, or --line; look with: kitwright kit {kit.job_id}", "-"
            )
        found = list(self._found(kit, words, asked))
        if len(found) == 1:
            return found[0]
        if found:
            numbers = ", ".join(f"{row.line_id} (bin {row.bin_code})" for row in found)
            raise FieldError(f"there are several such lines; say which with --line: {numbers}", "-")
        what = "pinned by hand" if self.pinned else f"“{self.state}”"
        of = shown(words.get("need") or "") if words.get("need") else f"job {kit.job_id}"
        raise FieldError(f"{of} has no line that is {what}; look with: kitwright kit {kit.job_id}", "-")

    def arguments(self, value: LineView) -> dict[str, Any]:  # type: ignore[override]
        """The rule takes the line's number, or where its own name for it is `line` all of it."""
        return {"line": value} if self.parameter == "line" else {"line_id": value.line_id}


@dataclass(frozen=True)
class OfLine(Amount):
    """How much of the line that was read before; an empty one, where it may stay so, means all of it."""

    of: str = "line"
    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type for this line."""
        line = asked.values.get(self.of)
        usual = "" if self.must or line is None else f"all of it; or {'' if self._pieces(asked) else 'so much, '}"
        return f"{usual}{super().hint(asked)}"

    def _pieces(self, asked: Asked) -> bool:
        return self.counted_in(asked) == "each"


@dataclass(frozen=True)
class OfLines(Amount):
    """How much was really taken, where one line is meant."""

    of: str = "lines"
    must: bool = False

    def counted_in(self, asked: Asked) -> str:
        """`each` or `ul`."""
        lines: tuple[LineView, ...] = asked.values.get(self.of) or ()
        return str(lines[0].counted_in) if lines else "each"

    def read(self, text: str, asked: Asked) -> int:
        """The quantity of the one line. Raises `FieldError`."""
        lines: tuple[LineView, ...] = asked.values.get(self.of) or ()
        if len(lines) > 1:
            numbers = ", ".join(f"{row.line_id} (bin {row.bin_code})" for row in lines)
            raise FieldError(f"there are several such lines; say which with --line: {numbers}", "-")
        return super().read(text, asked)


class PinStock(Stock):
    """The stock to pin: by its number as the offers show it, or by item, bin and lot."""

    def options(self) -> tuple[Option, ...]:
        """Its number, or where it lies."""
        return (
            Option("stock", "--stock", "N", "the stock's number, as kit offers shows it"),
            Option("item", "--item", "NAME", "or the item, with --bin where it lies in several"),
            Option("bin", "--bin", "CODE", "the bin it lies in"),
            Option("lot", "--lot", "CODE", "the lot, where the bin holds several"),
        )

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Any:
        """The stock. Raises `FieldError`, `NotFoundError`."""
        number = words.get("stock")
        if number is not None:
            try:
                stock_id = Count("stock", "Stock").from_text(number, asked)
            except FieldError as problem:
                raise FieldError(str(problem), "--stock") from problem
            return look_of(asked)(lambda session: models.shelf.stock_row(session, stock_id))
        if words.get("item") is None:
            raise FieldError("say what to pin: --stock N as kit offers shows it, or --item NAME with --bin CODE", "-")
        return super().from_words(words, asked)


class PouredFrom(Field["Container | None"]):
    """The container that a fluid was poured from, by its bin, or by the number of its stock where a bin has several."""

    METAVAR: ClassVar[str] = "BIN"
    LOOKS: ClassVar[bool] = True

    def read(self, text: str, asked: Asked) -> Container | None:
        """The container. Raises `FieldError`."""
        need: NeedView = asked.values["need"]
        today = models.acts.now().date()
        known = look_of(asked)(lambda session: kitting.fluid_tally.containers(session, need.need_id, today))
        same = [one for one in known if folded(one.bin_code) == folded(text) or str(one.stock_id) == text]
        if len(same) > 1:
            several = ", ".join(f"{one.stock_id} ({one.item_name})" for one in same)
            raise FieldError(f"{shown(text)} has several containers; say which by its number: {several}")
        none = f"Nothing on the shelf may go in as {need.title}; leave --from out"
        return one_named(
            same[0].bin_code if same else text, [(one.bin_code, one) for one in same or known], "container", none
        )


@dataclass(frozen=True)
class Template(Field["TemplateRow | None"]):
    """A job template by its name or number. `off`: also, or with `--back` only, those that are off the list."""

    METAVAR: ClassVar[str] = "TEMPLATE"
    LOOKS: ClassVar[bool] = True

    off: bool = False

    def read(self, text: str, asked: Asked) -> TemplateRow:
        """The template, its newest version. Raises `FieldError`."""
        back = bool(asked.values.get("back"))
        here = () if back else look_of(asked)(models.templates.listed)
        gone = (
            look_of(asked)(lambda session: models.templates.listed(session, retired=True)) if self.off or back else ()
        )
        known = [(row.name, row) for row in (*here, *gone)]
        for _, row in known:
            if text == str(row.template_id):
                return row
        off = " off the list" if back else ""
        return one_named(text, known, f"job template{off}", f"There is no job template{off} yet")

    def arguments(self, value: TemplateRow | None) -> dict[str, Any]:
        """The rule takes the template."""
        return {"template": value}
