"""What the keys do with jobs, needs and lines: operations, and the few that have a screen of their own."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING, Any, ClassVar

from textual import work

import models
from tui import answers, operations, screens
from tui.answers.job_cost import JobCost, PartCost
from tui.answers.jobs import JobOpened, TemplateKnown
from tui.keys import plain
from tui.kitting import Kitting
from tui.operations.registry import operation
from tui.screens.kits.lines import KitLine
from tui.screens.operating import Operating
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kitting.kit_view import KitView, LineView, NeedView
    from tui.fields.field import Field
    from tui.operations.operation import Operation

NO_JOB = f"There is no open job. {plain('new')} opens one."
DOES = {"release": "release it", "pick-amount": "pick an amount of it", "unpin": "unpin it", "scrap": "scrap it",
        "use": "say what was used of it", "put-back": "put it back"}  # fmt: skip


def _cost_words(one: PartCost) -> list[str]:
    amount = answers.kits.in_words(one.quantity, one.counted_in)
    return [f"{amount} {one.name}: {one.priced}", *([f"    {one.source}"] if one.source else [])]


class KitOperations(Operating):
    """The actions of Kits; the screen says which job, need and line are meant."""

    OPERATES: ClassVar[str] = "kit"

    _kit: KitView | None
    _job_id: int | None
    _seek: int | None = None
    """The need that the cursor goes to once the kit is read."""

    looks_back = False
    """Whether the closed jobs are listed: what is done with them is to look."""

    def turn(self, *, closed: bool) -> None:
        """List the closed jobs, or the open ones."""
        raise NotImplementedError

    @property
    def job(self) -> JobRow | None:
        """The highlighted job."""
        raise NotImplementedError

    @property
    def entry(self) -> KitLine | None:
        """The highlighted need or line."""
        raise NotImplementedError

    @property
    def kitting(self) -> Kitting:
        """The workshop's kits."""
        return Kitting(self.kitwright.workshop)

    def means(self, one: Operation) -> bool:
        """Change, drop and record are of the highlighted job, need or line."""
        entry = self.entry
        line = entry.line if entry is not None else None
        state = str(line.state) if line is not None else ""
        if one.key == "change":
            wanted = "due" if self.at_jobs else {"have": "pick-amount", "picked": "use"}.get(state, "change")
        elif one.key == "drop":
            wanted = "release" if line is not None else "strike"
        elif one.key == "record":
            wanted = "sealed" if self._seals() else "fill"
        else:
            return True
        return one.name == wanted

    def _seals(self) -> bool:
        """Whether what goes on record is when a joint was sealed: of a highlighted sealant, or where no fluid is."""
        needs = self._kit.needs if self._kit else ()
        if self.entry is not None and str(self.entry.need.kind) == "sealant":
            return True
        return not any(need.low_ul and need.full_ul for need in needs) and any(need.kind == "sealant" for need in needs)

    @property
    def at_jobs(self) -> bool:
        """Whether the keys stand in the list of jobs."""
        raise NotImplementedError

    def by_hand(self, one: Operation) -> Callable[[], Awaitable[None]] | None:
        """What is more than a form: the job's questions, what is offered, the tally; of a closed job only a look."""
        if self.looks_back and (one.area, one.name) not in screens.kits.closed.READ_ONLY:
            return self._refused
        if (one.area, one.name) == ("kit", "pick") and self.at_jobs:
            return self._pick_all
        return {
            ("job", "open"): self._new_job,
            ("job", "need"): self._new_need,
            ("job", "close"): self._close_job,
            ("job", "keep"): self._template,
            ("job", "cost"): self._cost,
            ("kit", "offers"): self._offers,
            ("kit", "fill"): self._tally,
            ("kit", "sealed"): self._sealed,
        }.get((one.area, one.name))

    def row(self, kind: str) -> object | None:
        """The highlighted job, need or line; all that is promised to a highlighted need."""
        entry = self.entry
        if kind == "job":
            return self.job
        if kind == "need":
            return entry.need if entry else None
        line = entry.line if entry else None
        if kind == "line":
            return line if line is not None and line.line_id is not None else None
        if entry is not None and line is None:
            return tuple(one for one in entry.need.lines if one.state == "have") or None
        return (line,) if line is not None and line.state == "have" else None

    def fits(self, one: Operation, field: Field[Any], row: object | None) -> bool:
        """A line must be in the state that the operation is for."""
        if field.ROW != "line" or row is None:
            return row is not None
        line: LineView = row  # type: ignore[assignment]
        return line.state == field.state and (line.pinned or not field.pinned)  # type: ignore[attr-defined]

    def missing(self, one: Operation, field: Field[Any]) -> str:
        """What to highlight first."""
        entry = self.entry
        if field.ROW == "job" or self.job is None:
            return NO_JOB
        if field.ROW == "need":
            return f"Highlight a need to {one.label.lower()} it."
        if field.ROW == "lines" and entry is not None and entry.line is None:
            return f"Nothing is promised to this need. {plain('wanted')} shows what could fill it."
        line = entry.line if entry else None
        if one.name == "unpin" and line is not None and line.state == "have":
            return f"This line was not pinned by hand. {plain('wanted')} shows what else could fill it."
        state = "have" if field.ROW == "lines" else field.state  # type: ignore[attr-defined]
        called = "“have” or “pinned”" if state == "have" else f"“{state}”"
        return f"Highlight a line that says {called} to {DOES.get(one.name, 'pick it')}."

    def title_of(self, one: Operation, values: dict[str, Any]) -> str:
        """What is done to what."""
        if "stock" in values:
            return f"{one.label} {values['stock'].item_name} for {values['need'].title}"
        return f"{one.label}: {values['line'].item_name}" if "line" in values else one.label

    async def _refused(self) -> None:
        """A closed job is only looked at."""
        self.say(screens.kits.closed.refused())

    async def _pick_all(self) -> None:
        """Pick all that is promised to the highlighted job."""
        if self.job is None:
            self.say(NO_JOB)
        else:
            await self.operate(operation("kit", "pick-all"), {"job": self.job})

    async def _new_job(self) -> None:
        """Open a job."""
        templates = await self.ask(self.kitting.templates)
        machines = await self.ask(self.kitting.machines)
        if templates is None or machines is None:
            return
        page = screens.kits.new_job
        values = await self.app.push_screen_wait(page.new_job(templates, machines))
        while values is not None:
            if name := values.pop(page.NEW_MACHINE, ""):
                values["machine"] = await self.ask(self.kitting.add_machine, name)
                if values["machine"] is not None:
                    machines = (*machines, values["machine"])
                    self.say(f"Added the machine {clean(name)}. F9 takes the job back first, then the machine.")
            if (name and values["machine"] is None) or not await self._hours_hold(values):
                answer = None
            else:
                answer = await self.ask(operation("job", "open").perform, self.kitwright.workshop, values)
            if isinstance(answer, JobOpened):
                self._job_id = answer.job
                self.workshop_changed()
                return
            again = page.new_job(templates, machines, page.as_typed(values), values["template"], values["machine"])
            values = await self.app.push_screen_wait(again)

    async def _hours_hold(self, values: dict[str, Any]) -> bool:
        """Whether the typed hours are no fewer than the machine's last ones, or its meter was changed."""
        machine, read = values["machine"], values["hours"]
        if machine is None or read is None:
            return True
        before = await self.ask(self.kitting.hours, machine.machine_id)
        if not models.hour_meter.is_less(read, before):
            return True
        values["yes"] = await self._meter_changed(read, machine.name, before.words if before else "")
        return bool(values["yes"])

    async def _meter_changed(self, read: int, machine: str, before: str) -> bool:
        """Ask whether fewer hours than the last ones mean another meter."""
        less = screens.asking.yes_or_no(
            "Was the hour meter changed?",
            f"{models.hours.in_words(read)} is fewer than the last hours of {clean(machine)}, {before}. "
            "Esc goes back to read it again.",
        )
        return await self.app.push_screen_wait(less) is True

    async def _new_need(self) -> None:
        """Say what the highlighted job takes besides rings."""
        job = self.job
        if job is None:
            self.say(NO_JOB)
            return
        found = await self.ask(self.kitting.known, job.machine_id)
        if found is None:
            return
        need_id = await self.app.push_screen_wait(screens.kits.new_need.NewNeed(self, job, found))
        if need_id is not None:
            self._seek = need_id
            self.say("On the kit. F9 takes it back.")
            self.workshop_changed()

    async def _close_job(self) -> None:
        """Close the highlighted job, once asked."""
        job = self.job
        if job is None:
            self.say("There is no open job to close.")
            return
        values = await self._how_it_closes(job)
        if values is not None:
            values |= {"sat": await screens.kits.where_sat.ask_where_they_sat(self, self.kitting, job, values)}
            close = operation("job", "close").perform
            if await self.ask(close, self.kitwright.workshop, values) is None:
                return
            self.workshop_changed()
            went = await screens.how_it_went.ask_how_they_went(self, self.kitting, job.job_id)
            fitted = await screens.kits.fitted.ask_what_fitted(self, self.kitting, job.job_id)
            self.say(f"Closed “{clean(job.title)}”. F9 takes it back.")
            if went:
                self.say(went)
            if fitted:
                self.say(fitted)

    async def _how_it_closes(self, job: JobRow) -> dict[str, Any] | None:
        """What became of what the job picked, and the machine's hours; None where it stays open."""
        curing = await self.ask(self.kitting.curing, job.job_id)
        closing = await self.ask(self.kitting.closing, job.job_id)
        if curing is None or closing is None:
            return None
        told = (*curing, "What is promised and not picked goes back to free. F9 undoes it.")
        words = " ".join(clean(one) for one in told)
        values: dict[str, Any] = {"job": job}
        page = screens.kits.close_job
        if not closing.lines and job.machine_id is None:
            left = page.left_words(closing)
            question = screens.asking.yes_or_no(f"Close “{clean(job.title)}”?", f"{left}\n{words}" if left else words)
            values["became"] = page.became(closing, ())
            return values if await self.app.push_screen_wait(question) is True else None
        parts, hours = page.parts_of(closing), None
        if job.machine_id is not None:
            hours = page.Hours(await self.ask(self.kitting.hours, job.machine_id))
        while True:
            closes = await self.app.push_screen_wait(page.close_job(job.title, words, closing, parts, hours))
            if closes is None:
                return None
            read = closes.meter_hundredths_h
            if read is None or hours is None or not models.hour_meter.is_less(read, hours.before):
                return values | {"became": closes.became, "hours": read}
            if await self._meter_changed(read, job.machine_name, hours.before.words if hours.before else ""):
                return values | {"became": closes.became, "hours": read, "yes": True}
            hours = hours._replace(typed=closes.typed)

    async def _cost(self) -> None:
        """What the highlighted job's parts cost, line by line."""
        if self.job is None:
            self.say(NO_JOB)
            return
        answer = await self.ask(operation("job", "cost").perform, self.kitwright.workshop, {"job": self.job})
        if isinstance(answer, JobCost):
            told = [*answer.summed, "", *(part for one in answer.lines for part in _cost_words(one))]
            self.app.push_screen(
                screens.asking.to_read(f"{clean(self.job.title)}: cost of parts", "\n".join(told), name="cost",
                                       closes="leave take cost")
            )  # fmt: skip

    @work(exclusive=True, group="change")
    async def action_sheet(self) -> None:
        """The highlighted job's sheet."""
        if self._kit is None:
            self.say(NO_JOB)
            return
        made = await self.ask(screens.kits.sheet.sheets_of, self.kitwright.workshop, self._kit)
        if made is not None:
            self.app.push_screen(screens.kits.sheet.sheet_to_read(self._kit.job_id, made))

    def _only(self, needs: list[NeedView]) -> NeedView | None:
        """The highlighted one of these needs, or the only one there is."""
        if self.entry and self.entry.need in needs:
            return self.entry.need
        return needs[0] if len(needs) == 1 else None

    async def _tally(self) -> None:
        """The tally of the highlighted fluid, or of the kit's only one."""
        fluids = [need for need in (self._kit.needs if self._kit else ()) if need.low_ul and need.full_ul]
        need = self._only(fluids)
        if need is None:
            self.say(
                "Highlight the fluid whose pours to log."
                if fluids
                else "This kit needs no fluid with marks, and no sealant."
            )
            return
        tally = await self.ask(self.kitting.tally, need.need_id)
        curing = await self.ask(self.kitting.curing, need.job_id)
        containers = await self.ask(self.kitting.containers, need.need_id)
        if tally is not None and curing is not None and containers is not None:
            plain = self.kitwright.plain_glyphs
            self.app.push_screen(
                screens.kits.tally.TallyScreen(
                    self.kitting, tally, self.kitwright.units, curing, containers, plain=plain
                )
            )

    async def _sealed(self) -> None:
        """Note when the joint of the highlighted sealant, or of the kit's only one, was sealed."""
        sealants = [need for need in (self._kit.needs if self._kit else ()) if need.kind == "sealant"]
        need = self._only(sealants)
        if need is None:
            self.say("Highlight the sealant that was used." if sealants else "This kit needs no sealant.")
        elif not any(line.state == "picked" for line in need.lines):
            self.say(f"{clean(need.title)} is not picked yet. {plain('pick')} on its line picks it.")
        else:
            told = await self.app.push_screen_wait(screens.kits.sealed.sealed_sheet(need, self.kitting.now))
            if told is None:
                return
            values = {"job": self.job, "need": need, **told}
            if not told["take_back"]:
                await self.operate(operation("kit", "sealed"), values)
                return
            answer = await self.ask(operation("kit", "sealed").perform, self.kitwright.workshop, values)
            if answer is not None:
                self.say(clean(answer.words()[0]))
                self.workshop_changed()

    async def _offers(self) -> None:
        """What could fill the highlighted need; what is chosen there is pinned."""
        entry = self.entry
        if entry is None:
            self.say("Highlight a need or a line to see what could fill it.")
            return
        found = await self.ask(self.kitting.offers, entry.need.need_id)
        if found is None:
            return
        chosen = await self.app.push_screen_wait(screens.kits.offers.offers_sheet(found))
        if chosen is None:
            return
        if chosen.stock_id is None:
            self.kitwright.action_area("buy")
        elif operations.kit.room_for(entry.need) < 1:
            self.say(f"All of it is picked or pinned already. {plain('drop')} on a pinned line releases it.")
        else:
            row = await self.ask(self.kitting.stock, chosen.stock_id)
            if row is not None:
                await self.operate(operation("kit", "pin"), {"job": self.job, "need": entry.need, "stock": row})

    async def _template(self) -> None:
        """Keep what the job takes as a template, or as the next version of one."""
        kit = self._kit
        if kit is None or not kit.needs:
            self.say("There is nothing on this kit to keep as a template.")
            return
        hint = "Its needs are kept; what is picked or measured is not. An existing name becomes its next version."
        name = await self.app.push_screen_wait(
            screens.asking.one_text("Keep this job as which template?", hint, kit.title)
        )
        if name is None:
            return
        templates = await self.ask(self.kitting.templates)
        same = next((one for one in templates or () if one.name.casefold() == name.casefold()), None)
        if same is not None:
            question = screens.asking.yes_or_no(
                f"Write version {same.number + 1} of “{clean(same.name)}”?",
                "Jobs made from earlier versions stay as they are.",
            )
            if not await self.app.push_screen_wait(question):
                return
        values = {"job": self.job, "as": name, "again": same is not None}
        kept = await self.ask(operation("job", "keep").perform, self.kitwright.workshop, values)
        if isinstance(kept, TemplateKnown):
            self.say(f"Kept “{clean(kept.name)}”, version {kept.version}. {plain('new')} opens a job from it.")
