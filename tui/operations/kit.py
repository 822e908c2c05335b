"""What can be done with a job's kit: see it, promise, pin, pick, use, give back, tally a fluid, note a sealing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import models
from models import kitting, undoing
from tui import fields
from tui.answers.kits import Kit, Offers, Tally, in_words, kit_of, offers_of, tally_of
from tui.fields.amounts import Amount
from tui.fields.fills import TALLIED
from tui.fields.kits import Job, Line, Lines, Need, OfLine, OfLines, PinStock, PouredFrom
from tui.fields.plain import Count, Flag, Text
from tui.operations.operation import Operation, Then, Values

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from datetime import date

    from sqlmodel import Session

    from models.acts import Act
    from models.jobs import JobRow
    from models.kitting.fluid_tally import Container, FluidTally
    from models.kitting.kit_offers import NeedOffers
    from models.kitting.kit_view import KitView, LineView
    from models.kitting.picking import Picked as PickedAll
    from tui.fields.fills import Volume

HELP = "a job's kit: have it, where, or short; promise, pick, give back, pin"
DESCRIPTION = """\
Show a job's kit: what it needs, for each need which bin has it or how much is
short, and the earliest finish. Or work on it: promise stock to it, pick, use,
give back, pin by hand. A need is named by its number or its title, as shown.

examples:
  kitwright kit 3 --demo
  kitwright kit 3 --json --demo
  kitwright kit offers 3 "cover ring" --demo
  kitwright kit promise 4 --demo
  kitwright kit pick 3 "cover bolts" --quantity 4 --demo
  kitwright kit pin 3 "valve seat rings" --item "O-ring AS568 116 NBR 70" --demo
"""
EPILOG = "exit codes: 0 nothing is short, 1 something is, 2 no such job or wrong options.\n"
NUMBER_MEANS = "show"
JOB = Job("job", "Job")
NEED = Need("need", "Need")
PROMISED = Line("line", "Line", state="have")
PICKED = Line("line", "Line", state="picked")
ENTRIES = ("held", "drained", "poured", "reused", "let_out")
MOST_NAMED: Final = 3
"""Of what a kit lacks after a pick, so many needs are named."""


def _reason(label: str, option: str) -> Text:
    return Text("reason", label, option, must=False)


def _line_words(line: LineView, quantity: int) -> str:
    return f"{in_words(quantity, line.counted_in)} {line.item_name}"


def _now(then: Then, job_id: int, done: str) -> Kit:
    kit: KitView = models.kits.view(then.session, job_id, on=then.today)
    return kit_of(kit, kitting.kit_offers.finish(then.session, kit, then.now) if kit.state != "done" else None, done)


def _kit(done: Callable[[Then], str]) -> Callable[[Then], Kit]:
    """The kit after a change, what was done first."""

    def answer(then: Then) -> Kit:
        return _now(then, then.values["job"].job_id, done(then))

    return answer


def _show() -> Callable[..., Any]:
    def nothing(session: Session, *, job_id: int) -> None:
        """The answer looks."""

    return nothing


def _offers() -> Callable[..., Any]:

    def look(session: Session, *, job_id: int, need_id: int, on: Any) -> NeedOffers:
        """What could fill the need."""
        return kitting.kit_offers.look(session, need_id, on)

    return look


def _told_offers(then: Then) -> Offers:
    return offers_of(then.result)


def _promise() -> Callable[..., Any]:

    def promise(session: Session, act: Act, *, job_id: int, afresh: bool) -> KitView:
        """Promise what is free; afresh, let go of every promise not pinned first."""
        return (models.kits.look_again if afresh else models.kits.allocate)(session, act, job_id)

    return promise


def _release() -> Callable[..., Any]:

    def release(session: Session, act: Act, *, job_id: int, line_id: int, reason: str = "") -> KitView:
        """Give the promise back."""
        return models.kits.release(session, act, line_id, reason)

    return release


def _released(then: Then) -> str:
    line: LineView = then.values["line"]
    return f"Released {_line_words(line, line.quantity)}: it is free again."


def _pick() -> Callable[..., Any]:

    def pick(
        session: Session, act: Act, *, job_id: int, lines: tuple[LineView, ...], quantity: int | None = None
    ) -> KitView | PickedAll:
        """Take the lines off the shelf, or another quantity of the one."""
        ids = [line.line_id or 0 for line in lines]
        if len(ids) > 1 and quantity is None:
            return kitting.picking.pick_all(session, act, job_id, ids)
        return models.kits.pick(session, act, ids, taken={} if quantity is None else {ids[0]: quantity})

    return pick


def _picked(then: Then) -> str:
    lines: tuple[LineView, ...] = then.values["lines"]
    if len(lines) == 1:
        return f"Picked {_line_words(lines[0], then.values['quantity'] or lines[0].quantity)}."
    return _picked_all(then)


def _picked_all(then: Then) -> str:
    """How many, what was left and why, and which needs lack something still."""
    done: PickedAll = then.result
    words = f"Picked {done.lines} line{'s' * (done.lines != 1)}."
    if done.left:
        words += " Left: " + "; ".join(f"{one.item_name} in {one.bin_code}, {one.why}" for one in done.left) + "."
    lacking = [need.title for need in done.kit.needs if need.missing and not need.between]
    if lacking:
        more = f" and {len(lacking) - MOST_NAMED} more" if len(lacking) > MOST_NAMED else ""
        words += f" Not all there: {', '.join(lacking[:MOST_NAMED])}{more}."
    return words


def _pick_amount() -> Callable[..., Any]:

    def pick(session: Session, act: Act, *, job_id: int, line_id: int, quantity: int | None = None) -> KitView:
        """Take so much of the line."""
        return models.kits.pick(session, act, [line_id], taken={} if quantity is None else {line_id: quantity})

    return pick


def _picked_amount(then: Then) -> str:
    line: LineView = then.values["line"]
    return f"Picked {_line_words(line, then.values['quantity'] or line.quantity)}."


def _promised(more: str) -> Callable[[Values], str]:
    def told(values: Values) -> str:
        line: LineView = values["line"]
        return f"{in_words(line.quantity, line.counted_in)} promised in bin {line.bin_code}. {more}"

    return told


def _out(line: LineView) -> int:
    return line.quantity - line.given_back


def _used() -> Callable[..., Any]:

    def use(
        session: Session,
        act: Act,
        *,
        job_id: int,
        line: LineView,
        quantity: int | None = None,
        back: int | None = None,
        reason: str = "",
    ) -> tuple[int, int]:
        """Book what was used, told by itself or by what goes back; the rest goes back."""
        out = _out(line)
        there = in_words(out, line.counted_in)
        if (quantity is None) == (back is None):
            raise models.errors.InvalidInputError("Say one of the two.", "Type what the job used, or what goes back.")
        rest = out - quantity if quantity is not None else back or 0
        if quantity == 0:
            raise models.errors.InvalidInputError("Nothing of it was used.", "Put the whole line back instead.")
        if not 0 <= rest <= out:
            raise models.errors.InvalidInputError(f"Only {there} is out.", "Type that or less.")
        if rest == 0:
            raise models.errors.InvalidInputError(
                f"{there} of it is out, so no rest goes back.", "Type less than that, or leave it as it is."
            )
        models.kits.give_back(session, act, line.line_id or 0, rest, reason)
        return out - rest, rest

    return use


def _told_used(then: Then) -> str:
    line: LineView = then.values["line"]
    used, rest = then.result
    return f"Used {in_words(used, line.counted_in)}; {_line_words(line, rest)} is back in bin {line.bin_code}."


def _out_words(values: Values) -> str:
    line: LineView = values["line"]
    rest = f"{in_words(_out(line), line.counted_in)} is out. The rest goes back into {line.bin_code}."
    return f"{rest} The line stays picked."


def _give_back() -> Callable[..., Any]:

    def give_back(session: Session, act: Act, *, job_id: int, line_id: int, quantity: int, reason: str = "") -> KitView:
        """Put the rest back."""
        return models.kits.give_back(session, act, line_id, quantity, reason)

    return give_back


def _given(then: Then) -> str:
    line: LineView = then.values["line"]
    return f"Gave back {_line_words(line, then.values['quantity'])} into bin {line.bin_code}."


def _put_back() -> Callable[..., Any]:

    def put_back(session: Session, act: Act, *, job_id: int, line_id: int, reason: str = "") -> KitView:
        """Put all of it back."""
        return models.kits.put_back(session, act, line_id, reason)

    return put_back


def _put(then: Then) -> str:
    line: LineView = then.values["line"]
    return f"Put back {_line_words(line, _out(line))} into bin {line.bin_code}; its need is open again."


def _pin() -> Callable[..., Any]:

    def pin(
        session: Session,
        act: Act,
        *,
        job_id: int,
        need_id: int,
        stock_id: int,
        quantity: int | None = None,
        reason: str = "",
    ) -> KitView:
        """Choose by hand."""
        return models.kits.pin(session, act, need_id, stock_id, quantity, reason)

    return pin


def _pinned(then: Then) -> str:
    return f"Pinned {then.values['stock'].item_name} for {then.values['need'].title}."


def room_for(need: Any) -> int:
    """How much of a need no line holds that was picked, or pinned by hand."""
    fixed = sum(line.quantity for line in need.lines if line.pinned or line.state == "picked")
    return int(need.wanted - fixed)


def _room(values: Values) -> str:
    need, row = values["need"], values["stock"]
    free, room = in_words(row.free, row.counted_in), in_words(room_for(need), need.counted_in)
    return f"{free} free, room for {room}. Lines not pinned make room."


def _unpin() -> Callable[..., Any]:

    def unpin(session: Session, act: Act, *, job_id: int, line_id: int) -> KitView:
        """Let go of it."""
        return models.kits.unpin(session, act, line_id)

    return unpin


def _unpinned(then: Then) -> str:
    line: LineView = then.values["line"]
    return f"Unpinned {_line_words(line, line.quantity)}, and filled from the shelf again."


def _scrap() -> Callable[..., Any]:

    def scrap(
        session: Session, act: Act, *, job_id: int, line: LineView, reason: str, quantity: int | None = None
    ) -> KitView:
        """Throw away so much of the line, or all of it."""
        much = line.quantity if quantity is None else quantity
        return models.kits.scrap(session, act, line.line_id or 0, much, reason)

    return scrap


def _scrapped(then: Then) -> str:
    line: LineView = then.values["line"]
    return f"Scrapped {_line_words(line, then.values['quantity'] or line.quantity)}; looked for another."


def _strike() -> Callable[..., Any]:

    def strike(session: Session, act: Act, *, job_id: int, need_id: int, reason: str = "") -> KitView:
        """Strike the need."""
        return models.kits.withdraw_need(session, act, need_id, reason)

    return strike


def _struck(then: Then) -> str:
    return f"Removed “{then.values['need'].title}”; what was promised for it is free again."


def _change() -> Callable[..., Any]:

    def change(session: Session, act: Act, *, job_id: int, need_id: int, rubbers: str = "", **said: int) -> None:
        """Change the need; `any` allows every rubber."""
        names = None if not rubbers else [] if rubbers.casefold() == "any" else rubbers.split(",")
        kitting.changing.change_need(session, act, need_id, rubbers=names, **said)

    return change


def _changed(then: Then) -> str:
    return f"Changed “{then.values['need'].title}”."


def _nothing_changed(values: Values) -> str:
    told = ("count", "spares", "rubber")
    if not all(name in values for name in told) or any(values[name] not in (None, "") for name in told):
        return ""
    return "say what to change: --count, --spares or --rubber"


def _as_asked(session: Session, today: date, values: Values) -> Mapping[str, str]:
    need = values["need"]
    return {"count": str(need.pieces or ""), "spares": str(need.spares), "rubber": ", ".join(need.rubbers)}


def _fill() -> Callable[..., Any]:

    def fill(
        session: Session,
        act: Act,
        *,
        job_id: int,
        need_id: int,
        take_back: bool,
        container: Container | None = None,
        **entries: tuple[Volume, ...],
    ) -> FluidTally:
        """Note each entry, so that undo takes them back one by one; or take the last back."""
        if take_back:
            return kitting.fluid_tally.take_back(session, act, need_id)
        return entries_noted(session, act, need_id, entries, container)

    return fill


def entries_noted(
    session: Session,
    act: Act,
    need_id: int,
    entries: Mapping[str, Sequence[Volume]],
    container: Container | None = None,
) -> FluidTally:
    """The tally with these entries noted, each an action of its own. `container`: what was poured from."""
    noted = [(what, one) for what in ENTRIES for one in entries.get(what, ())]
    for at, (what, one) in enumerate(noted):
        own = act._replace(key=f"{act.key}/{at}") if at else act
        stock = container.stock_id if container is not None and what == "poured" else None
        filled = kitting.fluid_tally.Filled(what)
        kitting.fluid_tally.note(session, own, need_id, filled, one.microlitres, one.understood, stock_id=stock)
    return kitting.fluid_tally.of_need(session, need_id)


def _tally() -> Callable[..., Any]:

    def look(session: Session, *, need_id: int, **_nothing: Any) -> FluidTally:
        """The tally as it stands."""
        return kitting.fluid_tally.of_need(session, need_id)

    return look


def _fills(values: Values) -> bool:
    return values["take_back"] or any(values[what] for what in ENTRIES)


def _alone(values: Values) -> str:
    if values.get("take_back") and any(values.get(what) for what in ENTRIES):
        return "--take-back stands alone: take the last entry back, then note the right one"
    return ""


def _told_tally(then: Then) -> Tally:
    tally: FluidTally = then.result
    curing = kitting.finish.still_curing(models.kits.view(then.session, tally.job_id), then.now)
    return tally_of(tally, curing, fields.units.kept().volume)


def _sealed() -> Callable[..., Any]:

    def seal(session: Session, act: Act, *, job_id: int, need_id: int, take_back: bool, at: str = "") -> None:
        """Note the moment, or take back the note that stands."""
        if take_back:
            undoing.undo.undo(session, act, kitting.sealing.last_key(session, need_id))
            return
        now = act.at.astimezone(models.moments.WALL)
        moment = models.moments.read(at or "now", now)
        kitting.sealing.note(session, act, need_id, None if moment == now else moment)

    return seal


def _seal_alone(values: Values) -> str:
    if values.get("take_back") and values.get("at"):
        return "--take-back stands alone: take the note back, then note the right time"
    return ""


def _told_sealed(then: Then) -> Kit:
    job: JobRow = then.values["job"]
    need_id, title = then.values["need"].need_id, then.values["need"].title
    if then.values["take_back"]:
        return _now(then, job.job_id, f"The last note on {title} is taken back.")

    seal = kitting.sealing.of_needs(then.session, [need_id])[need_id]
    return _now(
        then,
        job.job_id,
        f"Noted: {title} is sealed {models.moments.when(seal.at.astimezone(models.moments.WALL), then.now)}.",
    )


SHOW = Operation(
    area="kit",
    name="show",
    label="Show a kit",
    help="how the kit stands (a bare number does the same)",
    about="Show a kit: needs, lines with why and what is pinned, and the earliest finish.",
    fields=(JOB,),
    question=_show,
    answer=_kit(lambda _: ""),
    examples=("kit show 3",),
)
PROMISE = Operation(
    area="kit",
    name="promise",
    label="Fill from shelf",
    help="promise free stock to what the kit lacks",
    about="Look on the shelf for what the kit lacks and promise it to the job. What is\n"
    "promised to one job no other can take.",
    fields=(JOB, Flag("afresh", "Afresh", "release every promise not pinned, and look again")),
    change=_promise,
    answer=_kit(
        lambda then: "Refilled everything from the shelf." if then.values["afresh"] else "Looked on the shelf."
    ),
    examples=("kit promise 4", "kit promise 3 --afresh"),
    key="fill",
    quick=True,
)
AFRESH = Operation(
    area="kit",
    name="afresh",
    label="Refill all",
    help="release every promise not pinned by hand, then fill all needs from the shelf",
    fields=(JOB,),
    change=lambda: models.kits.look_again,
    answer=_kit(lambda _: "Refilled everything from the shelf."),
    examples=(),
    key="in-menu",
    command=False,
)
OFFERS = Operation(
    area="kit",
    name="offers",
    label="Options",
    help="what could fill a need, and why or why not",
    about="Show what could fill a need: what lies on the shelf, then what suppliers' lists\n"
    "offer, each with why it serves or does not. What has expired is said. Take one by\n"
    "hand with: kitwright kit pin",
    fields=(JOB, NEED),
    question=_offers,
    answer=_told_offers,
    examples=('kit offers 3 "cover ring"', 'kit offers 3 "valve seat rings" --json'),
    key="wanted",
    dated=True,
)
RELEASE = Operation(
    area="kit",
    name="release",
    label="Release",
    help="give a promise back to free stock",
    about="Give a promise back to free stock.",
    fields=(JOB, PROMISED, _reason("Why (optional)", "why")),
    change=_release,
    answer=_kit(_released),
    examples=('kit release 3 "cleaner" --reason "found an open can"',),
    key="drop",
    quick=True,
)
PICK = Operation(
    area="kit",
    name="pick",
    label="Pick",
    help="take what is promised off the shelf",
    about="Take what is promised off the shelf: everything, what is promised to one need, or\n"
    "another quantity of one line. Picking books the stock as used by the job. Of several,\n"
    "a lot whose last day has passed stays and is told, unless you pinned it.",
    fields=(
        JOB,
        Lines("lines", "Lines"),
        OfLines("quantity", "How much", "what was really taken of one line; less leaves the rest promised"),
    ),
    change=_pick,
    answer=_kit(_picked),
    examples=("kit pick 2", 'kit pick 3 "cover bolts" --quantity 4'),
    key="pick",
    quick=True,
)
PICK_ALL = Operation(
    area="kit",
    name="pick-all",
    label="Pick all",
    help="take all that is promised to the job off the shelf",
    fields=(JOB,),
    change=lambda: kitting.picking.pick_all,
    answer=_kit(_picked_all),
    examples=(),
    key="all",
    command=False,
)
PICK_AMOUNT = Operation(
    area="kit",
    name="pick-amount",
    label="Pick an amount",
    help="pick another amount of the highlighted line than was promised",
    fields=(JOB, PROMISED, OfLine("quantity", "How much")),
    change=_pick_amount,
    answer=_kit(_picked_amount),
    told=_promised("Less leaves the rest promised; more is taken from free."),
    examples=(),
    key="change",
    command=False,
)
USE = Operation(
    area="kit",
    name="use",
    label="What was used",
    help="say what a picked line really took",
    about="Say how much of a picked line the job really took. The rest goes back to its bin:\n"
    "a rest in the pail is stock again.",
    fields=(
        JOB,
        Line("line", "Line", state="picked", parameter="line"),
        Amount("quantity", "The job used", "how much the job used; the rest goes back", of="line", must=False, least=0),
        Amount("back", "Or: so much goes back", "or how much goes back; the rest was used", of="line", must=False),
        _reason("Why (optional)", "why"),
    ),
    change=_used,
    answer=_kit(_told_used),
    told=_out_words,
    examples=('kit use 5 "ram oil" --quantity "2.6 L"',),
    key="change",
)
FILL = Operation(
    area="kit",
    name="fill",
    label="Log pours",
    help="a fluid's tally as it goes in",
    about="Keep a fluid need's tally with the job: what the system held, what was drained, what is\n"
    "poured in; how much more to the marks. What is poured is taken off the shelf, unless it was\n"
    "picked before. Without an entry the tally is shown. A bare number is in the bench's unit of\n"
    "volume, see: kitwright units",
    fields=(
        JOB,
        NEED,
        *(TALLIED[what] for what in ENTRIES),
        PouredFrom(
            "container",
            "From",
            "the bin of the container that was poured from; without it the one poured from last, then an opened one",
            must=False,
            option="from",
        ),
        Flag("take_back", "Take back", "take the last entry back"),
    ),
    change=_fill,
    question=_tally,
    changes=_fills,
    answer=_told_tally,
    refuse=_alone,
    examples=(
        'kit fill 2 "transmission oil, 44 to 48 US quarts" --drained "40 qt" --poured "5 gal"',
        'kit fill 5 "ram oil"',
    ),
    key="record",
)
SEALED = Operation(
    area="kit",
    name="sealed",
    label="Sealed",
    help="note when a joint was sealed",
    about="Note that a joint was sealed, now or at a stated time. The earliest finish\n"
    "counts its cure from there. Sealed again, note it again: the last note counts.\n"
    "Pick the sealant first.",
    fields=(
        JOB,
        NEED,
        Text("at", "When", "when it was sealed, as 14:30 or 2026-11-25 14:30; now without", must=False),
        Flag("take_back", "Take back", "take the note that stands back"),
    ),
    change=_sealed,
    answer=_told_sealed,
    refuse=_seal_alone,
    before=('kit pick 2 "housing sealant"',),
    examples=('kit sealed 2 "housing sealant"', 'kit sealed 2 "housing sealant" --take-back'),
    key="record",
)
GIVE_BACK = Operation(
    area="kit",
    name="give-back",
    label="Give back",
    help="put a rest back on the shelf",
    about="Put what the job did not use of a picked line back on the shelf. The job has what it\n"
    "needs; the line stays picked.",
    fields=(
        JOB,
        PICKED,
        OfLine("quantity", "How much", "how much comes back", must=True),
        _reason("Why (optional)", "why"),
    ),
    change=_give_back,
    answer=_kit(_given),
    told=_out_words,
    examples=('kit give-back 5 "ram oil" --quantity "0.4 L"',),
)
PUT_BACK = Operation(
    area="kit",
    name="put-back",
    label="Put back",
    help="put a whole picked line back",
    about="Put a whole picked line back: it was the wrong one, and its need is open again.",
    fields=(JOB, PICKED, _reason("Why (optional)", "why")),
    change=_put_back,
    answer=_kit(_put),
    examples=('kit put-back 5 "ram ring" --reason "too hard"',),
    key="back",
    quick=True,
)
PIN = Operation(
    area="kit",
    name="pin",
    label="Pin",
    help="choose by hand what serves a need",
    about="Choose by hand what serves a need. You have the last word: what speaks against it\n"
    "stands on the line, and the line is marked as pinned.",
    fields=(
        JOB,
        NEED,
        PinStock("stock", "Stock"),
        Amount("quantity", "How much (all there is room for)", "how much of it (all the need wants, unless you say)",
               of="need", must=False),
        _reason("Why this one (optional)", "why this one"),
    ),
    change=_pin,
    answer=_kit(_pinned),
    told=_room,
    examples=(
        'kit pin 3 "valve seat rings" --item "O-ring AS568 116 NBR 70"',
        'kit pin 3 "cover bolts" --item "Hex bolt M10 × 1.5 × 30" --quantity 4',
    ),
)  # fmt: skip
UNPIN = Operation(
    area="kit",
    name="unpin",
    label="Unpin",
    help="let the program choose again",
    about="Let go of a line pinned by hand; its need is looked for on the shelf as any other.",
    fields=(JOB, Line("line", "Line", state="have", pinned=True)),
    change=_unpin,
    answer=_kit(_unpinned),
    before=('kit pin 3 "cover bolts" --item "Hex bolt M10 × 1.5 × 30"',),
    examples=('kit unpin 3 "cover bolts"',),
    key="in-menu",
)
SCRAP = Operation(
    area="kit",
    name="scrap",
    label="Scrap",
    help="throw away what turned out bad",
    about="Throw away what turned out bad among what is promised, before it is picked. The rest\n"
    "stays promised, and what lacks is looked for on the shelf.",
    fields=(
        JOB,
        Line("line", "Line", state="have", parameter="line"),
        OfLine("quantity", "How much", "how much of the line (all of it, unless you say)"),
        Text("reason", "Why", "what is wrong with it", what="a reason: it stays in the ledger"),
    ),
    change=_scrap,
    answer=_kit(_scrapped),
    told=_promised("What is thrown away is looked for on the shelf again."),
    examples=('kit scrap 2 "rags" --quantity 2 --reason "soaked in solvent"',),
    key="scrap",
)
STRIKE = Operation(
    area="kit",
    name="strike",
    label="Remove",
    help="remove a need from the kit",
    about="Remove a need from the kit; what was promised for it is free again.",
    fields=(JOB, NEED, _reason("Why (optional)", "why")),
    change=_strike,
    answer=_kit(_struck),
    examples=('kit strike 3 "cleaner"',),
    key="drop",
    quick=True,
)

CHANGE = Operation(
    area="kit",
    name="change",
    label="Change the need",
    help="ask for another number, or in another rubber",
    about="Ask for another number of pieces or spares, or in other rubbers. What it lacks then is\n"
    "looked for on the shelf at once.",
    fields=(
        JOB,
        NEED,
        Count("count", "Pieces", "how many pieces", must=False, parameter="pieces"),
        Count("spares", "Spares", "how many more, as spares", must=False, least=0),
        Text("rubber", "Rubbers", "the rubbers allowed, best first, as HNBR, NBR; any: every one", must=False,
             what="as HNBR, NBR, the best first; any: every one", metavar="RUBBERS", parameter="rubbers"),
    ),
    change=_change,
    answer=_kit(_changed),
    refuse=_nothing_changed,
    start=_as_asked,
    examples=('kit change 3 "cover bolts" --spares 2',),
    key="change",
)  # fmt: skip

OPERATIONS = (
    SHOW, PROMISE, AFRESH, OFFERS, RELEASE, PICK, PICK_ALL, PICK_AMOUNT, USE, FILL, SEALED, GIVE_BACK, PUT_BACK, PIN,
    UNPIN, SCRAP, STRIKE, CHANGE,
)  # fmt: skip
