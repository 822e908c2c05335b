"""What the keys do with jobs, needs and lines: each asks for what it must know, changes one thing, and says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import work

from tui.kitting import Kitting
from tui.screens.area import Area
from tui.screens.kits.lines import KitLine, amount
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kitting.kit_view import KitView, LineView, NeedView


class Deeds(Area):
    """The actions of Kits; the screen says which job, need and line are meant."""

    _kit: KitView | None
    _job_id: int | None
    _seek: int | None = None
    """The need that the cursor goes to once the kit is read."""

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

    @work(exclusive=True, group="change")
    async def action_new_job(self) -> None:
        """Open a job."""
        from tui.screens.kits.new_job import NewJob

        templates = await self.ask(self.kitting.templates)
        machines = await self.ask(self.kitting.machines)
        if templates is None or machines is None:
            return
        chosen = await self.app.push_screen_wait(NewJob(templates, machines))
        if chosen is not None:
            job = await self.ask(self.kitting.open_job, *chosen)
            if job is not None:
                self._job_id = job.job_id
                self.workshop_changed()

    @work(exclusive=True, group="change")
    async def action_new_need(self) -> None:
        """Say what the highlighted job takes besides rings."""
        from tui.needing import known
        from tui.screens.kits.new_need import NewNeed

        job = self.job
        if job is None:
            self.say("There is no open job. N opens one.")
            return
        found = await self.ask(known, self.kitwright.workshop, job.machine_id)
        if found is None:
            return
        need_id = await self.app.push_screen_wait(NewNeed(self, job, found))
        if need_id is not None:
            self._seek = need_id
            self.say("On the kit. F9 takes it back.")
            self.workshop_changed()

    @work(exclusive=True, group="change")
    async def action_close_job(self) -> None:
        """Close the highlighted job, once asked."""
        from tui.screens.ask_yes import AskYes
        from tui.screens.kits.fitted import ask_what_fitted

        job = self.job
        if job is None:
            self.say("There is no open job to close.")
            return
        curing = await self.ask(self.kitting.curing, job.job_id)
        if curing is None:
            return
        told = (*curing, "What is promised and not picked goes back to free. F9 undoes it.")
        question = AskYes(f"Close “{clean(job.title)}”?", " ".join(clean(one) for one in told))
        if await self.app.push_screen_wait(question):
            if await self.ask(self.kitwright.workshop.close_job, job.job_id) is None:
                return
            self.workshop_changed()
            fitted = await ask_what_fitted(self, self.kitting, job.job_id)
            self.say(f"Closed “{clean(job.title)}”. F9 takes it back.")
            if fitted:
                self.say(fitted)

    async def _change(self, said: str, call: Callable[..., object], *given: object) -> None:
        if await self.ask(call, *given) is not None:
            self.say(f"{said} F9 takes it back.")
            self.workshop_changed()

    @work(exclusive=True, group="change")
    async def action_look(self) -> None:
        """Promise free stock to what the job lacks."""
        job = self.job
        if job is None:
            self.say("There is no open job. N opens one.")
        else:
            await self._change("Looked on the shelf.", self.kitwright.workshop.look_on_shelf, job.job_id)

    @work(exclusive=True, group="change")
    async def action_look_afresh(self) -> None:
        """Let go of every promise nobody pinned, and look for all needs."""
        job = self.job
        if job is None:
            self.say("There is no open job. N opens one.")
        else:
            await self._change("Looked for everything afresh.", self.kitting.look_again, job.job_id)

    @work(exclusive=True, group="change")
    async def action_sheet(self) -> None:
        """The highlighted job's sheet."""
        from tui.screens.kits.sheet import SheetScreen, sheet_and_text

        if self._kit is None:
            self.say("There is no open job. N opens one.")
            return
        made = await self.ask(sheet_and_text, self._kit)
        if made is not None:
            self.app.push_screen(SheetScreen(self._kit.job_id, *made))

    @work(exclusive=True, group="change")
    async def action_tally(self) -> None:
        """The tally of the highlighted fluid, or of the kit's only one."""
        from tui.screens.kits.tally import TallyScreen

        fluids = [need for need in (self._kit.needs if self._kit else ()) if need.low_ul and need.full_ul]
        need = self.entry.need if self.entry and self.entry.need in fluids else None
        if need is None and len(fluids) == 1:
            need = fluids[0]
        if need is None:
            self.say("Highlight the fluid to tally." if fluids else "This kit needs no fluid with marks.")
            return
        tally = await self.ask(self.kitting.tally, need.need_id)
        curing = await self.ask(self.kitting.curing, need.job_id)
        if tally is not None and curing is not None:
            self.app.push_screen(
                TallyScreen(self.kitting, tally, self.kitwright.unit, curing, plain=self.kitwright.plain_glyphs)
            )

    @work(exclusive=True, group="change")
    async def action_sealed(self) -> None:
        """Note when the joint of the highlighted sealant, or of the kit's only one, was sealed."""
        from tui.screens.kits.sealed import SealedForm

        sealants = [need for need in (self._kit.needs if self._kit else ()) if str(need.kind) == "sealant"]
        need = self.entry.need if self.entry and self.entry.need in sealants else None
        if need is None and len(sealants) == 1:
            need = sealants[0]
        if need is None:
            self.say("Highlight the sealant that was used." if sealants else "This kit needs no sealant.")
        elif not any(str(line.state) == "picked" for line in need.lines):
            self.say(f"{clean(need.title)} is not picked yet. P on its line picks it.")
        else:
            given = await self.app.push_screen_wait(SealedForm(need, self.kitting.now))
            if given is None:
                return
            if given.take_back:
                if await self.ask(self.kitting.not_sealed, need.need_id) is not None:
                    self.say(f"The last note on {clean(need.title)} is taken back.")
                    self.workshop_changed()
            else:
                await self._change(
                    f"Noted: {clean(need.title)} is sealed.", self.kitting.sealed, need.need_id, given.at
                )

    @work(exclusive=True, group="change")
    async def action_offers(self) -> None:
        """What could fill the highlighted need; what is chosen there is pinned."""
        from tui.screens.kits.offers import OffersScreen

        entry = self.entry
        if entry is None:
            self.say("Highlight a need or a line to see what could fill it.")
            return
        found = await self.ask(self.kitting.offers, entry.need.need_id)
        if found is None:
            return
        chosen = await self.app.push_screen_wait(OffersScreen(found))
        if chosen is None:
            return
        if chosen.stock_id is None:
            self.kitwright.action_area("buy")
            return
        await self._pin(entry.need, chosen.stock_id, chosen.name, chosen.free)

    async def _pin(self, need: NeedView, stock_id: int, name: str, free: int) -> None:
        from tui.screens.amount_form import AmountForm

        fixed = sum(line.quantity for line in need.lines if line.pinned or str(line.state) == "picked")
        room = need.wanted - fixed
        if room < 1:
            self.say("All of it is picked or pinned already. F8 on a pinned line releases it.")
            return
        unit = need.counted_in
        value = amount(min(room, free) if free else room, unit)
        detail = f"{amount(free, unit)} free, room for {amount(room, unit)}. Lines nobody pinned make room."
        form = AmountForm(f"Pin {name} for {need.title}: how much?", detail, unit, value=value)
        typed = await self.app.push_screen_wait(form)
        if typed is not None:
            quantity = _exact(typed.quantity, value, min(room, free) if free else room, unit)
            await self._change(f"Pinned {clean(name)}.", self.kitting.pin, need.need_id, stock_id, quantity)

    def _line(self, state: str, deed: str) -> LineView | None:
        """The highlighted line where it is in that state; else a sentence."""
        entry = self.entry
        line = entry.line if entry else None
        if line is None or line.line_id is None or str(line.state) != state:
            called = "“have” or “pinned”" if state == "have" else f"“{state}”"
            self.say(f"Highlight a line that says {called} to {deed}.")
            return None
        return line

    @work(exclusive=True, group="change")
    async def action_release(self) -> None:
        """Give the highlighted promise back."""
        line = self._line("have", "release it")
        if line is not None:
            await self._change("Released.", self.kitwright.workshop.release, line.line_id)

    @work(exclusive=True, group="change")
    async def action_unpin(self) -> None:
        """Let the program choose again."""
        line = self._line("have", "unpin it")
        if line is None:
            return
        if not line.pinned:
            self.say("This line was not pinned by hand. O shows what else could fill it.")
        else:
            await self._change("Unpinned, and looked for afresh.", self.kitting.unpin, line.line_id)

    @work(exclusive=True, group="change")
    async def action_pick(self) -> None:
        """Take the highlighted line, or all that is promised to the highlighted need, off the shelf."""
        entry = self.entry
        if entry is not None and entry.line is None:
            ids = [line.line_id for line in entry.need.lines if str(line.state) == "have"]
            if not ids:
                self.say("Nothing is promised to this need. O shows what could fill it.")
            else:
                await self._change(f"Picked all for {clean(entry.need.title)}.", self.kitting.pick, ids)
            return
        line = self._line("have", "pick it")
        if line is not None:
            await self._change("Picked.", self.kitting.pick, [line.line_id])

    @work(exclusive=True, group="change")
    async def action_pick_amount(self) -> None:
        """Take another quantity than was promised."""
        from tui.screens.amount_form import AmountForm

        line = self._line("have", "pick an amount of it")
        if line is None:
            return
        value = amount(line.quantity, line.counted_in)
        detail = f"{value} promised in bin {line.bin_code}. Less leaves the rest promised; more is taken from free."
        form = AmountForm(f"Pick {line.item_name}: how much?", detail, line.counted_in, value=value)
        typed = await self.app.push_screen_wait(form)
        if typed is not None:
            taken = _exact(typed.quantity, value, line.quantity, line.counted_in)
            said = f"Picked {amount(taken, line.counted_in)}."
            await self._change(said, self.kitting.pick, [line.line_id], {line.line_id: taken})

    @work(exclusive=True, group="change")
    async def action_scrap(self) -> None:
        """Throw away what turned out bad of a promise."""
        from tui.screens.amount_form import AmountForm

        line = self._line("have", "scrap it")
        if line is None:
            return
        value = amount(line.quantity, line.counted_in)
        detail = f"{value} promised in bin {line.bin_code}. What is thrown away is looked for on the shelf again."
        form = AmountForm(f"Scrap {line.item_name}", detail, line.counted_in, value=value, reason="Why", must=True)
        typed = await self.app.push_screen_wait(form)
        if typed is not None:
            gone = _exact(typed.quantity, value, line.quantity, line.counted_in)
            said = f"Scrapped {amount(gone, line.counted_in)} {clean(line.item_name)}."
            await self._change(said, self.kitting.scrap, line.line_id, gone, typed.reason)

    @work(exclusive=True, group="change")
    async def action_used(self) -> None:
        """Say what the job used; the rest goes back."""
        from tui.screens.kits.used import UsedForm

        line = self._line("picked", "say what was used of it")
        if line is None:
            return
        if line.quantity == line.given_back:
            self.say("All of it went back already.")
            return
        back = await self.app.push_screen_wait(UsedForm(line))
        if back is not None:
            said = f"{amount(back, line.counted_in)} {clean(line.item_name)} is back in {clean(line.bin_code)}."
            await self._change(said, self.kitting.give_back, line.line_id, back)

    @work(exclusive=True, group="change")
    async def action_put_back(self) -> None:
        """Put the whole line back."""
        line = self._line("picked", "put it back")
        if line is not None:
            said = f"Put back into {clean(line.bin_code)}; its need is open again."
            await self._change(said, self.kitting.put_back, line.line_id)

    @work(exclusive=True, group="change")
    async def action_template(self) -> None:
        """Keep what the job takes as a template, or as the next version of one."""
        from tui.screens.ask_text import AskText
        from tui.screens.ask_yes import AskYes

        kit = self._kit
        if kit is None or not kit.needs:
            self.say("There is nothing on this kit to keep as a template.")
            return
        hint = "Its needs are kept; what is picked or measured is not. A name that is there gets its next version."
        name = await self.app.push_screen_wait(AskText("Keep this job as which template?", hint, kit.title))
        if name is None:
            return
        templates = await self.ask(self.kitting.templates)
        same = next((one for one in templates or () if one.name.casefold() == name.casefold()), None)
        if same is not None:
            question = AskYes(
                f"Write version {same.number + 1} of “{clean(same.name)}”?",
                "Jobs made from earlier versions stay as they are.",
            )
            if not await self.app.push_screen_wait(question):
                return
        kept = await self.ask(self.kitting.keep_as_template, kit.job_id, name, same.template_id if same else None)
        if kept is not None:
            self.say(f"Kept “{clean(kept.name)}”, version {kept.number}. N opens a job from it.")

    @work(exclusive=True, group="change")
    async def action_strike(self) -> None:
        """Strike the highlighted need."""
        entry = self.entry
        if entry is None:
            self.say("Highlight a need to strike it.")
        else:
            await self._change(
                f"Struck “{clean(entry.need.title)}”.", self.kitwright.workshop.strike, entry.need.need_id
            )


def _exact(typed: int, value: str, meant: int, unit: str) -> int:
    """What was typed; where the words that stood in the field were left, the quantity they were rounded from."""
    from tui.screens.shelf.amounts import read_amount

    return meant if read_amount(value, unit, least=1)[0] == typed else typed
