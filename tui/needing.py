"""A need told by fields: the same fields in a form, in a judgement's question, and as options of a command."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Final, NamedTuple

import models
from catalog import orings
from models import kitting, supplier_lists
from tui import answers
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count, Text
from tui.fields.quantities import EXAMPLES, typed
from tui.fields.rings import MEASURED
from tui.fields.rows import look_of, one_named
from tui.fields.trade import Minutes, RingSize
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.filters.housing import Housing
    from models.jobs import JobRow
    from models.kitting.needs import NeedSpec
    from models.templates import TemplateNeedRow

MOST: Final = 1_000_000
MOST_MICROLITRES: Final = 10**12
MOST_ASKS: Final = 12
FITTED: Final = "fit:record"
"""The size of a ring that its position's fit record says; `models.qualify.wanted.AS_FITTED`, held equal by a test."""


class Needed(NamedTuple):
    """What a job takes, as `models.kitting.needs.NeedSpec` has it; made without loading the database.

    `place`: the position's name, where a template tells it for machines to come.
    """

    kind: str
    pieces: int = 1
    spares: int = 0
    title: str = ""
    spec_class: str = ""
    spec_grade: str = ""
    low_ul: int | None = None
    full_ul: int | None = None
    cure_minutes_at_most: int | None = None
    position_id: int | None = None
    why: str = ""
    asks: tuple[str, ...] = ()
    housing: Housing | None = None
    size_key: str | None = None
    rubbers: tuple[str, ...] = ()
    hardness_shore_a: int | None = None
    place: str = ""

    @property
    def as_fitted(self) -> bool:
        """Whether it is the ring that the fit record says when it is looked for."""
        return self.size_key == FITTED

    def spec(self) -> NeedSpec:
        """The same for the models."""
        told = {name: value for name, value in self._asdict().items() if name != "place"}
        return kitting.needs.NeedSpec(**{**told, "kind": models.words.Kind(self.kind)})


@dataclass(frozen=True)
class Mark(Field["int | None"]):
    """What a system holds at a mark, in whole microlitres."""

    METAVAR: ClassVar[str] = "VOLUME"

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """An example in the unit that a bare number has."""
        unit = asked.units.volume
        return f"as {EXAMPLES[unit]} {unit}"

    def read(self, text: str, asked: Asked) -> int | None:
        """Microlitres. Raises `FieldError`."""
        found = round(typed(text, "volume", asked).to("µL"))
        if not 0 < found <= MOST_MICROLITRES:
            raise FieldError("A mark must be above zero; type for example 11 qt or 10.4 L.")
        return found

    def echo(self, value: int | None, asked: Asked) -> str:
        """Both families of units."""
        return "" if value is None else answers.levels.volume(value, asked.units.volume)


@dataclass(frozen=True)
class Parts(Field[tuple[str, ...]]):
    """Several words, separated by commas; as an option it may be given again instead."""

    must: bool = False
    empty: tuple[str, ...] = ()
    metavar: str = "CLASS"
    what: str = "separated by commas"

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.metavar, self.help or self.label.lower(), takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> tuple[str, ...]:
        """The words. Raises `FieldError`."""
        parts = tuple(part.strip() for part in text.replace(";", ",").split(",") if part.strip())
        if len(parts) > MOST_ASKS:
            raise FieldError(f"That is {len(parts)} words separated by commas; type {MOST_ASKS} at most.")
        return parts

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[str, ...]:
        """Every word, whether separated by commas or given again. Raises `FieldError`."""
        return self.from_text((words.get(self.name) or "").replace("\n", ","), asked)


@dataclass(frozen=True)
class Rubbers(Parts):
    """Rubber families, best first; `any` alone asks for none in particular."""

    metavar: str = "FAMILY"

    def read(self, text: str, asked: Asked) -> tuple[str, ...]:
        """The families. Raises `FieldError`."""
        found = tuple(one.upper() for one in super().read(text, asked))
        return () if found == ("ANY",) else found


CLASS = Text("class", "Class", "its class as on the shelf", what="its class as on the shelf")
GRADE = Text("grade", "Grade", "the grade, like 10W-30 or 8.8", must=False)
LOW = Mark("low", "Low mark", "what the system holds at the low mark")
FULL = Mark("full", "Full mark", "what it holds at the full mark; one mark alone is both")
ASKS = Parts("asks", "Also required", "a further class a fluid must meet, or what a sealant must resist")
CURE = Minutes("cure", "Cure at most", "the longest a sealant may cure, as 24 h or 90 min", must=False)
COUNT = Count("count", "Pieces", "how many pieces (1 unless you say)", must=False, empty=1, most=MOST)
SPARES = Count(
    "spares", "Spares", "how many more, as spares (0 unless you say)", must=False, empty=0, least=0, most=MOST
)
TITLE = Text("title", "Called", "what to call it on the kit", must=False)
RUBBER = Rubbers("rubber", "Rubber", "a rubber allowed, best first; any: every one")
HARDNESS = Count("hardness", "Hardness", "the ring's hardness, Shore A", must=False, least=10, most=99)
SIZE = RingSize("ring", "Size", "a standard ring size, like AS568-214 or P22A")

ALL: Final[tuple[Field[Any], ...]] = (
    RUBBER, HARDNESS, GRADE, LOW, FULL, ASKS, CURE, COUNT, SPARES, TITLE,
)  # fmt: skip
"""Everything that may be said of a need beside what it is."""
FIELDS: Final[Mapping[str, tuple[Field[Any], ...]]] = {
    "fluid": (CLASS, GRADE, LOW, FULL, ASKS, TITLE),
    "filter": (CLASS, GRADE, COUNT, SPARES, TITLE),
    "sealant": (CLASS, GRADE, ASKS, CURE, COUNT, SPARES, TITLE),
    "fastener": (CLASS, GRADE, COUNT, SPARES, TITLE),
    "consumable": (CLASS, GRADE, COUNT, SPARES, TITLE),
    "ring": (RUBBER, HARDNESS, COUNT, SPARES, TITLE),
}
"""The fields of each kind, in their order. A ring's size is measured, picked in the Catalog, or named."""
KINDS: Final = ("fluid", "filter", "sealant", "fastener", "consumable")
"""What a form asks for."""
PLACES: Final = {
    "class": "spec_class", "grade": "spec_grade", "low": "low_ul", "full": "full_ul", "asks": "asks",
    "cure": "cure_minutes_at_most", "count": "pieces", "spares": "spares", "title": "title", "rubber": "rubbers",
    "hardness": "hardness_shore_a",
}  # fmt: skip
"""Where each field stands in `Needed`."""
MOST_TITLE: Final = 200


def read(kind: str, texts: Mapping[str, str], asked: Asked) -> tuple[Needed, dict[str, str]]:
    """The need that the fields tell, and by field the sentence that says what is wrong; right where there is none."""
    said: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    for field in FIELDS[kind]:
        try:
            said[field.name] = field.from_text(texts.get(field.name, ""), asked)
        except FieldError as problem:
            wrong[field.name] = f"{field.label}: {str(problem).rstrip('.')}."
    if kind == "fluid" and not wrong.keys() & {"low", "full"}:
        try:
            said["low"], said["full"] = both_marks(said["low"], said["full"])
        except FieldError as problem:
            wrong["low"] = f"Low mark: {problem}"
    if kind == "fluid" and "class" not in wrong:
        named, grade = supplier_lists.read_fluid.class_and_grade(said["class"])
        # Of two grades that differ neither is dropped: what was typed stays as it is.
        if not (grade and said.get("grade")):
            said["class"], said["grade"] = named, said.get("grade") or grade
    told = {PLACES[name]: value for name, value in said.items() if value is not None}
    return Needed(kind, **told), {field.name: wrong[field.name] for field in FIELDS[kind] if field.name in wrong}


def both_marks(low: int | None, full: int | None) -> tuple[int, int]:
    """Both marks, where one alone is both. Raises `FieldError`."""
    first, last = (low if low is not None else full), (full if full is not None else low)
    if first is None or last is None:
        raise FieldError("Say what the system holds, as 11 qt at the low and 12 qt at the full mark.")
    if first > last:
        raise FieldError("It is more than the full mark; type the smaller volume here.")
    return first, last


@dataclass(frozen=True)
class NeedField(Field[Needed]):
    """A need told by the options of a command: one that says what, the others what else is asked of it.

    `at`: the position on the job's machine, or for a template (`named` True) its name on whichever machine it will be.
    """

    LOOKS: ClassVar[bool] = True

    named: bool = False

    def options(self) -> tuple[Option, ...]:
        """What is needed, one of these; then what is said of it."""
        kinds = [kind for kind in FIELDS if kind not in ("ring", "fluid")]
        return (
            Option("ring", "--ring", "SIZE", "what is needed, one of these: a standard ring size, like AS568-214"),
            Option("fluid", "--fluid", "CLASS", "a fluid's class, like UTTO; with --grade, --low and --full"),
            Option("fitted", "--fitted", "", "the ring that the fit record at --at says when it is looked for",
                   takes="none"),
            *(Option(kind, f"--{kind}", "CLASS", f"a {kind}, by its class as on the shelf") for kind in kinds),
            *(option for field in ALL for option in field.options()),
            Option("at", "--at", "POSITION", "the position on the job's machine"),
        )  # fmt: skip

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Needed:
        """The need. Raises `FieldError`."""
        what = [name for name in ("ring", "fitted", *KINDS) if words.get(name) is not None]
        if not what and not self.named and any(words.get(one.name) for one in MEASURED):
            what = ["measured"]
        if len(what) != 1:
            told = "say what is needed" if not what else "say one thing that is needed"
            read = "" if self.named else "readings of a ring as --id 24.9mm, "
            raise FieldError(f"{told}: --ring SIZE, {read}--fitted, or --{' CLASS, --'.join(KINDS)} CLASS", "-")
        kind = "ring" if what[0] in ("ring", "fitted", "measured") else what[0]
        said = dict(said_of(kind, words, asked))
        if kind == "fluid":
            try:
                said["low_ul"], said["full_ul"] = both_marks(said.get("low_ul"), said.get("full_ul"))
            except FieldError as problem:
                raise FieldError(str(problem), "--low") from problem
        if kind != "ring":
            said["spec_class"] = read_one(CLASS, what[0], words, asked)
        at = " ".join((words.get("at") or "").split())
        if what[0] == "fitted":
            if not at:
                raise FieldError("say at which position, with --at; its fit record tells the ring", "--fitted")
            said = {"title": f"{at}, as fitted"[:MOST_TITLE], **said, "size_key": FITTED}
        elif what[0] == "ring":
            size = read_one(SIZE, "ring", words, asked)
            said = {"title": label_of(size), **said, "size_key": size}
        needed = Needed(kind, **said)
        if self.named:
            return needed._replace(place=at)
        return needed if words.get("at") is None else at_position(needed, at, asked)

    def arguments(self, value: Needed) -> dict[str, Any]:
        """The rule takes the need."""
        return {"needed": value}


def label_of(size_key: str) -> str:
    """A standard size's name."""
    return orings.sizes.label_of(size_key)


def read_one(field: Field[Any], name: str, words: Mapping[str, str | None], asked: Asked) -> Any:
    """One option's value by its field. Raises `FieldError`, which names the option."""
    try:
        return field.from_words({field.name: words.get(name)}, asked)
    except FieldError as problem:
        raise FieldError(str(problem), problem.option or f"--{name}") from problem


def said_of(kind: str, words: Mapping[str, str | None], asked: Asked) -> Iterator[tuple[str, Any]]:
    """What the options say of a need of that kind, by its place in `Needed`; what is not said is left out.

    Raises `FieldError`; an option that says nothing about this kind is a slip, so it is not passed over.
    """
    belongs = {field.name for field in FIELDS[kind]}
    for field in ALL:
        if words.get(field.name) is None:
            continue
        if field.name not in belongs:
            raise FieldError(f"{field.flag} does not apply to a {kind}; leave it out", "-")
        yield PLACES[field.name], read_one(field, field.name, words, asked)


def at_position(needed: Needed, name: str, asked: Asked) -> Needed:
    """The need at a position of the job's machine. Raises `FieldError`."""
    job: JobRow = asked.values["job"]
    machine_id = job.machine_id
    if machine_id is None:
        raise FieldError("the job is on the bench, so it has no positions; leave it out", "--at")
    places = look_of(asked)(lambda session: models.machines.positions(session, machine_id))
    known = [(row.name, row) for row in places if row.takes == needed.kind]
    none = f"{job.machine_name} has none that takes a {needed.kind}"
    place = one_named(name, known, "position", none, "--at")
    return needed._replace(position_id=place.position_id)


class Edit(NamedTuple):
    """What is changed of a template's need: what is said, by its place; another size or class; its position."""

    words: Mapping[str, str | None]
    asked: Asked

    def of(self, need: TemplateNeedRow) -> TemplateNeedRow:
        """The need with what was said changed; what was not stays. Raises `FieldError`."""
        spec, words = need.spec, self.words
        kind = spec.kind.value
        said = dict(said_of(kind, words, self.asked))
        if words.get("ring") is not None:
            if kind != "ring":
                raise FieldError(f"that need is a {kind}; leave it out, or drop the need and add a ring", "--ring")
            size = read_one(SIZE, "ring", words, self.asked)
            said = {"title": label_of(size), **said, "size_key": size, "equivalents": (), "groove": None}
        if words.get("class") is not None:
            if kind == "ring":
                raise FieldError("a ring has a size instead; type --ring SIZE", "--class")
            said["spec_class"] = read_one(CLASS, "class", words, self.asked)
        if said.get("asks") == ("none",):
            said["asks"] = ()
        low, full = said.get("low_ul", spec.low_ul), said.get("full_ul", spec.full_ul)
        if low is not None and full is not None and low > full:
            raise FieldError(
                "the low mark would stand above the full one; type both, as --low '11 qt' --full '12 qt'", "-"
            )
        place = need.place if words.get("at") is None else " ".join((words.get("at") or "").split())
        if not said and place == need.place:
            raise FieldError("nothing is changed; say what, as --count 6", "-")
        return need._replace(spec=spec._replace(**said), place=place)


@dataclass(frozen=True)
class Changed(Field[Edit]):
    """What is changed of a template's need."""

    LOOKS: ClassVar[bool] = True

    def options(self) -> tuple[Option, ...]:
        """Another size or class; then what is said of it."""
        return (
            Option("ring", "--ring", "SIZE", "another ring size"),
            Option("class", "--class", "CLASS", "another class"),
            *(option for field in ALL for option in field.options()),
            Option("at", "--at", "POSITION", "the position's name on the job's machine"),
        )

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Edit:
        """The change."""
        return Edit(words, replace(asked, look=None))


def which(needs: tuple[TemplateNeedRow, ...], titles: tuple[str, ...], text: str) -> int:
    """The place, from 0, of a template's need by its number or title. Raises `FieldError`."""
    clean = text.strip()
    if clean.isascii() and clean.isdigit():
        return Count("need", "Need", most=len(needs)).from_text(clean, Asked()) - 1
    same = [at for at, title in enumerate(titles) if title.casefold() == " ".join(text.split()).casefold()]
    if len(same) > 1:
        numbers = ", ".join(str(at + 1) for at in same)
        raise FieldError(f"several are called {shown(text)}; say which by number: {numbers}")
    return one_named(text, [(title, at) for at, title in enumerate(titles)], "need", "")
