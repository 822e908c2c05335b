"""Jobs and their templates: one job as every answer tells it, what opening and closing left, a template's needs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from shlex import quote
from typing import TYPE_CHECKING, Any, ClassVar

import models
from catalog import orings
from models import qualify
from tui.answers.answer import Answer, said
from tui.answers.kits import Asked, CountedIn, KitState, in_words
from tui.commands.output import table

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kitting.closing import Became, Left, Out
    from models.templates import TemplateNeedRow, TemplateRow


def hours_of(meter_hundredths_h: int | None) -> float | None:
    """What an hour meter showed, in hours."""
    return None if meter_hundredths_h is None else meter_hundredths_h / models.hours.HUNDREDTHS


def hours_words(meter_h: float) -> str:
    """What an hour meter showed, in words: "1234.5 h"."""
    return models.hours.in_words(round(meter_h * models.hours.HUNDREDTHS))


@dataclass(frozen=True)
class Job:
    """A job and how its kit stands. A job on the bench names no machine.

    `meter_h`: what the machine's hour meter showed last with it, in hours; null where nobody noted it.
    """

    job: int
    title: str
    machine: str | None
    due_on: date | None
    closed: bool
    kit: KitState
    meter_h: float | None

    @property
    def named(self) -> str:
        """Title, machine, hours, day."""
        machine = f" on {self.machine}" if self.machine else ""
        hours = f" at {hours_words(self.meter_h)}" if self.meter_h is not None else ""
        return f"{self.title}{machine}{hours}" + (f", due {self.due_on}" if self.due_on else "")


def fields_of(job: JobRow) -> dict[str, Any]:
    """A job's own fields, as answers tell them."""
    return {
        "job": job.job_id,
        "title": job.title,
        "machine": job.machine_name or None,
        "due_on": job.due_on,
        "closed": job.closed_at is not None,
        "kit": job.state.value,
        "meter_h": hours_of(job.meter_hundredths_h),
    }


@dataclass(frozen=True)
class JobList(Answer):
    """The open jobs, most urgent first, or the closed ones, latest first. `nothing`: said where there is none."""

    SCHEMA: ClassVar[str] = "kitwright.jobs/2"

    jobs: tuple[Job, ...]
    nothing: str = said()

    def words(self) -> list[str]:
        """A table."""
        if not self.jobs:
            return [self.nothing]
        cells = [
            (str(one.job), one.kit, one.title, one.machine or "", "" if one.due_on is None else f"{one.due_on}")
            for one in self.jobs
        ]
        return table(("job", "kit", "title", "machine", "due"), cells, right=(0,))

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.jobs)


@dataclass(frozen=True)
class JobOpened(Job, Answer):
    """A job that was opened. `need_count`: how many needs it has from its template."""

    SCHEMA: ClassVar[str] = "kitwright.job-opened/2"

    need_count: int

    def words(self) -> list[str]:
        """Its number, what it is, how many needs it has."""
        has = f", {self.need_count} {'need' if self.need_count == 1 else 'needs'}" if self.need_count else ""
        return [f"Opened job {self.job}: {self.named}{has}."]


@dataclass(frozen=True)
class Mixed:
    """A position where several kinds of ring went in, so that it is not known which one fitted."""

    machine: str
    position: str


@dataclass(frozen=True)
class NotDone:
    """A need of which not all was picked or poured as the job closed: pieces or, for `counted_in` "ul", microlitres.

    `least`: of a fluid, its low mark; of anything else what was wanted.
    """

    need: int
    title: str
    counted_in: CountedIn
    least: int
    wanted: int
    picked: int
    poured: int

    def words(self) -> str:
        """Needed, picked, poured."""
        least, most = in_words(self.least, self.counted_in), in_words(self.wanted, self.counted_in)
        needed = most if self.least == self.wanted else f"{least} to {most}"
        poured = f", poured {in_words(self.poured, self.counted_in)}" if self.counted_in == "ul" else ""
        return f"{self.title}: needed {needed}, picked {in_words(self.picked, self.counted_in)}{poured}"


def not_done_of(left: Iterable[Left]) -> tuple[NotDone, ...]:
    """What was not done as answers tell it."""
    return tuple(
        NotDone(one.need_id, one.title, one.counted_in.value, one.least, one.wanted, one.picked, one.poured)
        for one in left
    )


@dataclass(frozen=True)
class NoPlace:
    """A ring that went in for a need which names no place, and nobody said where it sat."""

    need: int
    item: str


def mixed_ways(mixed: Iterable[Mixed]) -> list[tuple[str, str]]:
    """For each position where several kinds of ring went in, the command that notes one by hand."""
    return [
        (
            f"Several kinds of ring went in at {one.position}; note which fitted with",
            f"fits add {quote(one.machine)} {quote(one.position)} SIZE",
        )
        for one in mixed
    ]


@dataclass(frozen=True)
class Outcome:
    """What became of a line that a job picked: pieces or, for `counted_in` "ul", microlitres."""

    item: str
    bin: str
    counted_in: CountedIn
    used: int
    back: int
    scrapped: int

    def words(self) -> str:
        """How much was used, is back where, was thrown away."""
        told = (
            f"{in_words(self.used, self.counted_in)} used" if self.used else "",
            f"{in_words(self.back, self.counted_in)} back in {self.bin}" if self.back else "",
            f"{in_words(self.scrapped, self.counted_in)} scrapped" if self.scrapped else "",
        )
        return f"{self.item}: {', '.join(part for part in told if part)}"


def outcomes_of(told: Iterable[tuple[Out, Became]]) -> tuple[Outcome, ...]:
    """What became of each line as answers tell it."""
    return tuple(
        Outcome(one.item_name, one.bin_code, one.counted_in.value, said.used, said.back, said.scrapped)
        for one, said in told
    )


@dataclass(frozen=True)
class JobClosed(Job, Answer):
    """A job that was closed. `curing`: its joints that have not cured; `not_on_record`: rings it used that aren't.

    `no_place`: its rings of which nobody said where they sat, so that the next service does not find them.
    `to_tell`: where a ring was on record before it, and nobody said how that one went. `became`: what became of what
    it picked; `not_done`: its needs of which not all was picked or poured.
    """

    SCHEMA: ClassVar[str] = "kitwright.job-closed/2"

    curing: tuple[str, ...]
    not_on_record: int
    no_place: tuple[NoPlace, ...]
    mixed: tuple[Mixed, ...]
    to_tell: tuple[Mixed, ...]
    became: tuple[Outcome, ...]
    not_done: tuple[NotDone, ...]
    as_planned: bool = said(False)
    """Whether what it picked was counted as planned, without anybody saying so."""

    def words(self) -> list[str]:
        """That it is closed, what was not used, and what has not cured."""
        rest = [f"  {one.words()}" for one in self.became if one.back or one.scrapped]
        rest += [f"  not all picked: {one.words()}" for one in self.not_done]
        return [f"Closed job {self.job}: {self.named}.", *rest, *(f"! {one}" for one in self.curing)]

    def go_on(self) -> list[tuple[str, str]]:
        """How what fitted is put on record."""
        told = [
            (
                f"How did the old ring at {one.position} go? Say dry, wept or leaked",
                f"fits went {quote(one.machine)} {quote(one.position)} dry",
            )
            for one in self.to_tell
        ]
        machine = quote(self.machine or "")
        sat = [
            (
                f"{one.item} is not on record, as its place was not given; note it with",
                f"fits add {machine} POSITION SIZE",
            )
            for one in self.no_place
        ]
        planned = [
            (
                "What it picked counts as planned; where it was not so, take this back and say --back or --scrapped",
                "undo",
            )
        ]
        several = [*mixed_ways(self.mixed), *sat, *told, *(planned if self.as_planned else [])]
        if not self.not_on_record:
            return several
        rings = "1 ring it used is" if self.not_on_record == 1 else f"{self.not_on_record} rings it used are"
        return [(f"{rings} not on record; if they fitted", f"fits job {self.job}"), *several]


@dataclass(frozen=True)
class Template:
    """One version of a job template with its needs, numbered from 1."""

    template: int
    name: str
    version: int
    note: str | None
    retired: bool
    needs: tuple[Asked, ...]

    def lines(self) -> list[str]:
        """Its name and version, and each need."""
        off = ", off the list" if self.retired else ""
        note = f": {self.note}" if self.note else ""
        needs = [f"  {one.need}. {asked_words(one)}" for one in self.needs]
        return [f"{self.name}, version {self.version}{off}{note}", *needs]


def asked_words(one: Asked) -> str:
    """What a template needs: how much of what, what is allowed, and where."""
    if one.low_ul is not None and one.full_ul is not None:
        low, full = in_words(one.low_ul, "ul"), in_words(one.full_ul, "ul")
        much = full if low == full else f"{low} to {full}"
    else:
        much = f"{one.pieces}" + (f" and {one.spares} spare" if one.spares else "")
    cure = f"cures in {one.cure_minutes_at_most / 60:g} h" if one.cure_minutes_at_most is not None else ""
    asks = (
        orings.sizes.label_of(one.size) if one.size else "",
        " or ".join(one.rubbers),
        f"{one.hardness_shore_a} Shore A" if one.hardness_shore_a else "",
        f"{one.spec_class or ''} {one.spec_grade or ''}".strip(),
        *one.asks,
        cure,
        f"at: {one.position}" if one.position else "",
    )
    told = ", ".join(dict.fromkeys(part for part in asks if part and part != one.title))
    return f"{much} × {one.title}" + (f" ({told})" if told else "")


def template_fields(template: TemplateRow) -> dict[str, Any]:
    """One version of a template, as answers tell it."""
    return {
        "template": template.template_id,
        "name": template.name,
        "version": template.number,
        "note": template.note or None,
        "retired": template.retired,
        "needs": tuple(asked_of(at, need) for at, need in enumerate(template.needs, 1)),
    }


def asked_of(number: int, need: TemplateNeedRow) -> Asked:
    """A template's need as answers tell it; one without a title goes by its size, or its class and grade."""
    spec, fluid = need.spec, need.spec.low_ul is not None
    size = None if spec.size_key == qualify.wanted.AS_FITTED else spec.size_key
    return Asked(
        need=number,
        title=spec.title
        or (orings.sizes.label_of(size) if size else "")
        or f"{spec.spec_class} {spec.spec_grade}".strip(),
        kind=spec.kind.value,
        position=need.place or None,
        size=size,
        as_fitted=spec.size_key == qualify.wanted.AS_FITTED,
        rubbers=tuple(spec.rubbers),
        hardness_shore_a=spec.hardness_shore_a,
        spec_class=spec.spec_class or None,
        spec_grade=spec.spec_grade or None,
        asks=tuple(spec.asks),
        pieces=None if fluid else spec.pieces,
        spares=None if fluid else spec.spares,
        low_ul=spec.low_ul,
        full_ul=spec.full_ul,
        cure_minutes_at_most=spec.cure_minutes_at_most,
    )


@dataclass(frozen=True)
class TemplateList(Answer):
    """The job templates by name. `nothing`: said where there is none."""

    SCHEMA: ClassVar[str] = "kitwright.templates/2"

    templates: tuple[Template, ...]
    nothing: str = said()

    def words(self) -> list[str]:
        """A table."""
        if not self.templates:
            return [self.nothing]
        cells = [
            (str(one.template), one.name, str(one.version), str(len(one.needs)), _first_needs(one))
            for one in self.templates
        ]
        return table(("no", "template", "version", "needs", "what"), cells, right=(0, 2, 3))

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.templates)


def _first_needs(one: Template) -> str:
    names = [need.title for need in one.needs]
    return ", ".join(names[:4]) + (" …" if len(names) > 4 else "")


@dataclass(frozen=True)
class Version:
    """A version of a template: why it was written, how many needs it has."""

    version: int
    note: str | None
    need_count: int


@dataclass(frozen=True)
class TemplateKnown(Template, Answer):
    """One version of a template, and the versions there are, newest first. `done`: said first, where something was."""

    SCHEMA: ClassVar[str] = "kitwright.template/2"

    versions: tuple[Version, ...]
    done: str = said()

    def words(self) -> list[str]:
        """What was done, the version, the others."""
        others = [
            f"version {one.version}, {one.need_count} needs{f': {one.note}' if one.note else ''}"
            for one in self.versions
            if one.version != self.version and not self.done
        ]
        return [*([self.done] if self.done else []), *self.lines(), *others]


@dataclass(frozen=True)
class JobDue(Job, Answer):
    """A job whose due day was said anew."""

    SCHEMA: ClassVar[str] = "kitwright.job-due/2"

    def words(self) -> list[str]:
        """By when it must be done."""
        return [f"Job {self.job}: {self.named}" + (", no due day." if self.due_on is None else ".")]
