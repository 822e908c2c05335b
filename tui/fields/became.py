"""What became of what a job took: used, back in its bin, or scrapped; as planned where nothing else is told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from models import kitting
from tui import answers
from tui.fields.amounts import Amount
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count
from tui.fields.rows import look_of
from tui.fields.words import shown

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kitting.closing import Became as Told
    from models.kitting.closing import Closing, Out


class WhatBecame(NamedTuple):
    """What is asked as a job closes, what was told by line, and whether all else goes as planned."""

    closing: Closing
    lines: Mapping[int, Told]
    as_planned: bool = False

    @property
    def told(self) -> tuple[tuple[Out, Told], ...]:
        """Each line and what becomes of it."""
        return tuple((one, self.lines.get(one.line_id, one.planned)) for one in self.closing.lines)

    @property
    def unsaid(self) -> str:
        """The sentence for a fluid of which other than what was picked was poured, and nobody said where that is."""
        for books in self.closing.books:
            mine = [one for one in self.closing.lines if one.need_id == books.need_id]
            if books.picked_ul <= books.poured_ul or self.as_planned or any(one.line_id in self.lines for one in mine):
                continue
            picked, poured = answers.kits.in_words(books.picked_ul, "ul"), answers.kits.in_words(books.poured_ul, "ul")
            lines = ", ".join(f"{one.line_id} ({one.bin_code})" for one in mine)
            return (
                f"{books.title}: picked {picked}, poured {poured}; say --as-planned to put the rest back, or what "
                f"became of it, as --scrapped N=AMOUNT of line {lines}"
            )
        return ""


@dataclass(frozen=True)
class Became(Field[WhatBecame]):
    """What became of each picked line of the job that was read before."""

    LOOKS: ClassVar[bool] = True

    must: bool = False

    def options(self) -> tuple[Option, ...]:
        """All as planned, or so much of a line each way."""
        return (
            Option(
                "as_planned",
                "--as-planned",
                "",
                "put back what was picked and not poured, and every spare",
                takes="none",
            ),
            Option("back", "--back", "N=AMOUNT", "so much of line N is back in its bin", takes="many"),
            Option("scrapped", "--scrapped", "N=AMOUNT", "so much of line N is thrown away", takes="many"),
        )

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> WhatBecame:
        """What was told, by line. Raises `FieldError`."""
        job: JobRow = asked.values["job"]
        found = look_of(asked)(lambda session: kitting.closing.look(session, job.job_id))
        lines: dict[int, Told] = {}
        for way in ("back", "scrapped"):
            for text in (words.get(way) or "").split("\n"):
                if text.strip():
                    try:
                        _tell(found, lines, way, text, asked)
                    except FieldError as problem:
                        raise FieldError(str(problem), f"--{way}") from problem
        return WhatBecame(found, lines, bool(words.get("as_planned")))

    def arguments(self, value: WhatBecame) -> dict[str, Any]:
        """The rule takes what was told, by line."""
        return {"became": value.lines}


def _tell(found: Closing, lines: dict[int, Told], way: str, text: str, asked: Asked) -> None:
    """Add what one option tells. Of a line that is told of, all the rest was used."""
    number, sign, much = (part.strip() for part in text.partition("="))
    if not sign:
        raise FieldError(f"{shown(text)} names no line; type it as 12=1, the line's number and how much")
    wanted = Count("line", "Line").from_text(number, asked)
    line = next((one for one in found.lines if one.line_id == wanted), None)
    if line is None:
        there = ", ".join(f"{one.line_id} ({one.item_name})" for one in found.lines) or "nothing"
        raise FieldError(f"line {wanted} is not out for this job; out are: {there}")
    amount = Amount("amount", "How much", least=0).from_text(much, Asked(asked.units, {"stock": line}))
    before = lines.get(wanted, kitting.closing.Became(line.out))
    after = before._replace(used=before.used - amount, **{way: getattr(before, way) + amount})
    if after.used < 0:
        raise FieldError(f"{shown(much)} is more than is out of line {wanted}")
    lines[wanted] = after
