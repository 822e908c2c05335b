"""Fluid: may what the drum claims be used where the machine asks for something else, and do its figures fit?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from textual import work
from textual.widget import Widget

from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.step_path import Step, StepPath

if TYPE_CHECKING:
    from catalog.because import Because
    from catalog.fluids.by_figures import Figured
    from catalog.fluids.rules import Rule
    from catalog.fluids.shop_rules import ShopBook, ShopClass
    from catalog.fluids.stand_in import Answer
    from tui.host import Host
    from tui.needing import Needed
    from tui.screens.area import Area
    from tui.screens.judge.reading import Reader
    from tui.workshop import Workshop

MOST_CLASSES = 12


class FluidPanel(Panel):
    """Claims and requirements in; yes, with care or no out, with the path."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("have", "You have", "what the label claims: UTTO, 10W-30", heading="The drum", wide=True),
        Ask("want", "Asked for", "what the manual asks: API GL-4, 80W", heading="The machine", wide=True),
        Ask("figures", "Measured", "dry=232C wet=157C, urea=32.5, v40=52", heading="Its figures", wide=True),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {"have": "STOU, 10W-30", "want": "UTTO"}
    CAUTION = "This is advice: the machine's manual has the last word."
    HEADING = "Class"
    EMPTY = "Type what the label claims and what the machine asks for, several parted by commas. Or what was measured."

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        # What the shop says itself; read from its database once the panel stands.
        self._book: ShopBook | None = None

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        super().on_mount()
        self.read_own()

    @work(exclusive=True, group="own")
    async def read_own(self) -> None:
        """Read what the shop says itself, and judge by it."""
        found = await cast("Area", self.screen).ask(own_book, cast("Host", self.app).workshop, quiet=True)
        if found is not None and found != self._book:
            self._book = found
            self._judge_again()

    def drawing(self) -> Widget:
        """The path."""
        return StepPath(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Every requirement against the claims."""
        from catalog.fluids.by_figures import worst
        from catalog.fluids.classes import key
        from catalog.fluids.stand_in import LAST_WORD, meets
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        book = self._book
        named = {} if book is None else {key(one.code): one for one in book.classes}
        have, want = _classes(reader, "have", named), _classes(reader, "want", named)
        figured = _figured(reader, want)
        if figured is not None and not have:
            return _by_figures(figured, reader)
        if not have or not want:
            return nothing(self.EMPTY, reader.notes)
        verdict, answers = meets(have, want, own_rules=() if book is None else book.rules)
        lines = [line for answer in answers for line in _lines(answer)]
        if figured is not None:
            verdict = worst((verdict, figured.verdict))
            lines += _figure_lines(figured)
        lines.sort(key=lambda line: -list(Mark).index(line.mark))
        lines += [
            line for word, parts in (("you have", have), ("asked for", want)) for line in _known(word, parts, named)
        ]
        says = [_bare(answer) for answer in answers]
        if figured is not None:
            says.append(figured.reason)
        return Ruling(
            _mark(verdict), verdict, tuple(says), tuple(lines), tuple(_step(answer) for answer in answers),
            reader.notes, LAST_WORD,
        )  # fmt: skip

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """What the machine asks for, as a fluid; the shop's drum plays no part."""
        from catalog.fluids.classes import get, key
        from tui.needing import Needed
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        named = {} if self._book is None else {key(one.code): one for one in self._book.classes}
        want = _classes(reader, "want", named)
        if not want:
            return reader.notes["want"].error if reader.wrong else "Type what the machine asks for first."
        tables = {part: get(part) for part in want}
        grades = [part for part, found in tables.items() if found and found.family.startswith("viscosity grade")]
        asked = next((part for part in want if part not in grades), want[0])
        grade = next((part for part in grades if part != asked), "")
        further = tuple(part for part in dict.fromkeys(want) if part not in (asked, grade))
        found = tables[asked]
        code = found.code if found is not None and asked not in grades else asked
        return Needed("fluid", spec_class=code, spec_grade=grade, asks=further, why="asked for in Judge")


def own_book(workshop: Workshop) -> ShopBook:
    """What the shop says itself; called in a thread."""
    from models.fluid_rules import book

    return workshop.read(book)


def _classes(reader: Reader, key: str, named: Mapping[str, ShopClass]) -> list[str]:
    """The classes typed, each said back as the catalog knows it; unknown ones are named with the nearest known."""
    from catalog.fluids.ambiguous import which
    from catalog.fluids.classes import find, get
    from catalog.fluids.classes import key as plain

    parts = [part.strip() for part in reader.text(key).replace(";", ",").split(",") if part.strip()]
    if len(parts) > MOST_CLASSES:
        reader.refuse(key, f"That is {len(parts)} classes; type {MOST_CLASSES} at most.")
        return []
    said = []
    for part in parts:
        known = get(part)
        if known is not None:
            said.append(known.code)
            continue
        several = None if plain(part) in named else which(part)
        if several is not None:
            reader.refuse(key, several.question)
            return []
        if plain(part) in named:
            said.append(f"{named[plain(part)].code}: this shop's own")
            continue
        near = ", ".join(one.code for one in find(part)[:3])
        said.append(f"{part}: not in the tables" + (f"; near: {near}" if near else "; taken as the shop's own"))
    if said:
        reader.echo(key, "; ".join(said))
    return parts


def _figured(reader: Reader, want: Sequence[str]) -> Figured | None:
    """What the typed figures say, against whichever of the requirements they speak of."""
    from catalog.fluids.by_figures import judge_needs

    text = reader.text("figures")
    if not text:
        return None
    try:
        found = judge_needs(text, want, bare_temperature=reader.units.temperature)
    except ValueError as problem:
        reader.refuse("figures", problem)
        return None
    reader.echo("figures", "; ".join(f"{one.words} {one.plain}" for one in found.measured))
    return found


def _by_figures(found: Figured, reader: Reader) -> Ruling:
    """The judgement where nothing but figures is known."""
    from catalog.fluids.stand_in import LAST_WORD

    ends = (found.subject, found.required or "its limits")
    picture = (Step(ends, (_mark(found.verdict),)),)
    return Ruling(
        _mark(found.verdict),
        found.verdict,
        (found.reason,),
        tuple(_figure_lines(found)),
        picture,
        reader.notes,
        LAST_WORD,
    )


def _figure_lines(found: Figured) -> list[Line]:
    """Each figure, the worst first, the conditions, the limits with their source."""
    marks = {True: (Mark.GOOD, "yes"), False: (Mark.BAD, "no"), None: (Mark.NOTE, "measured")}
    lines = [Line(*marks[one.holds], one.words, f"{one.figure}.") for one in found.measured]
    lines.sort(key=lambda line: -list(Mark).index(line.mark))
    lines += [Line(Mark.CARE, "condition", found.required or found.subject, f"{one}.") for one in found.conditions]
    return lines + _why(found.because, found.required or found.subject)


def _why(because: Sequence[Because], name: str) -> list[Line]:
    return [Line(Mark.NOTE, "why", name, f"{one.rule}.", _source(one.source, one.standing.words)) for one in because]


def _bare(answer: Answer) -> str:
    """The reason without the verdict that the answer already begins with."""
    reason = answer.reason.removeprefix(f"{str(answer.verdict).capitalize()}: ")
    return reason[:1].upper() + reason[1:]


def _known(word: str, parts: Sequence[str], named: Mapping[str, ShopClass]) -> list[Line]:
    """What the tables, or the shop itself, say of each class."""
    from catalog.fluids.classes import get, key

    found = []
    for part in parts:
        fluid = get(part)
        if fluid is not None:
            limits = f" ({fluid.limits})" if fluid.limits else ""
            status = "" if fluid.status == "active" else f" Status: {fluid.status}."
            sentence = f"{fluid.family}: {fluid.description}{limits}.{status}"
            found.append(Line(Mark.NOTE, word, fluid.code, sentence, _source(fluid.source, fluid.standing.words)))
        elif key(part) in named:
            own = named[key(part)]
            found.append(Line(Mark.NOTE, word, own.code, f"{own.description}.", "this shop's own class"))
    return found


def _mark(verdict: str) -> Mark:
    return {"yes": Mark.GOOD, "with care": Mark.CARE}.get(str(verdict), Mark.BAD)


def _lines(answer: Answer) -> list[Line]:
    source = _source(answer.source, answer.standing.words if answer.standing else "")
    name = answer.required
    found = [Line(_mark(answer.verdict), str(answer.verdict), f"{name} asked", _bare(answer), source)]
    for rule in answer.steps:
        mark, word = _rule_mark(rule)
        sentence = f"{rule.offered} where {rule.required} is asked: {rule.condition or 'no condition'}."
        found.append(
            Line(mark, word, f"{rule.offered} for {rule.required}", sentence, _source(rule.source, rule.standing.words))
        )
    stated = {rule.condition for rule in answer.steps}
    found += [
        Line(Mark.CARE, "condition", name, condition, source)
        for condition in answer.conditions
        if condition not in stated
    ]
    if not answer.steps and answer.source != "same class":
        found += _why(answer.because, name)
    others = [one for one in answer.per_claim if one.offered != answer.offered]
    found += [Line(Mark.NOTE, str(one.verdict), f"by {one.offered}", one.reason, _source(one.source)) for one in others]
    return found


def _source(source: str, standing: str = "") -> str:
    return ", ".join(part for part in (source, standing) if part and part != source.strip(".")) or standing


def _rule_mark(rule: Rule) -> tuple[Mark, str]:
    from catalog.fluids.rules import BLOCKING, RuleKind

    if rule.kind in BLOCKING:
        return Mark.BAD, "never"
    if rule.kind is RuleKind.DOWNGRADE:
        return Mark.BAD, "no"
    if rule.kind in (RuleKind.CAUTION, RuleKind.PARTIAL):
        return Mark.CARE, "with care"
    return Mark.GOOD, "yes"


def _step(answer: Answer) -> Step:
    if not answer.steps:
        return Step((answer.offered, answer.required), (_mark(answer.verdict),))
    classes = (answer.steps[0].offered, *(rule.required for rule in answer.steps))
    return Step(classes, tuple(_rule_mark(rule)[0] for rule in answer.steps))
