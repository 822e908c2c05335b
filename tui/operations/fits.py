"""What fitted where: the records shown and shared with another shop, one more noted, what a job fitted noted."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import models
import tui
from catalog import orings
from tui.answers.fits import (
    BadLine,
    FitNoted,
    Fits,
    FitsExported,
    FitsImported,
    FitsOfJob,
    FitWentNoted,
    conflict_of,
    fit_of,
    waiting_of,
)
from tui.answers.jobs import Mixed
from tui.fields.field import FieldError, under
from tui.fields.fits import FIT_HARDNESS, FIT_NOTE, FIT_RUBBER
from tui.fields.kits import Job
from tui.fields.plain import Choice as OneOf
from tui.fields.plain import File, Flag, Several, Text
from tui.fields.rings import CONDITION, MEASURED, TOOL
from tui.fields.rows import Machine, RingPosition
from tui.fields.trade import RingSize
from tui.fields.words import shown, unknown
from tui.operations.asked_ring import evidence_of
from tui.operations.operation import Operation, Then

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlmodel import Session

    from catalog.orings.evidence import Evidence
    from catalog.orings.prior import Prior
    from catalog.orings.size_book import SizeBook
    from models.acts import Act
    from models.fits.fit_csv import FileFit
    from models.fits.fit_import import Choice
    from models.fits.fit_records import FitRow
    from models.jobs import JobRow
    from models.machines import PositionRow
    from tui.answers.answer import Answer
    from tui.operations.operation import Values
    from tui.workshop import Workshop

HELP = "what fitted on a machine, noting that, and sharing it with another shop"
DESCRIPTION = """\
Show the fit records of a machine, note one more fit, say how one went after a
run, or share them with another shop as CSV. A bare machine's name shows its records.

examples:
  kitwright fits "Orchard tractor 3" --demo
  kitwright fits add "Orchard tractor 3" "pump inlet flange ring" AS568-214 --demo
  kitwright fits went "Orchard tractor 3" "pump inlet flange ring" leaked --demo
  kitwright fits job 2 --dry-run --demo
  kitwright fits --export fits.csv
  kitwright fits --import fits.csv --theirs 4 --ours 7
  kitwright fits --export fits.csv --sign ~/.ssh/id_ed25519
  kitwright fits --import fits.csv --verify theirs.pub
"""
EPILOG = """\
exit codes: 0 records were found, noted, written or taken in, 1 there are none
or some wait for a choice, 2 wrong options or input.
"""
BARE_MEANS = "show"


def _show(workshop: Workshop, values: Values) -> Answer:
    if values["take_in"]:
        if values["export"]:
            raise FieldError("not allowed with --export: take in first, then write", "--import")
        return _import(workshop, values)
    if values["theirs"] or values["ours"]:
        raise FieldError("--theirs and --ours settle conflicts of an import; add --import FILE", "-")
    if values["verify"]:
        raise FieldError("it is asked of a file that is taken in; add --import FILE", "--verify")
    if values["sign"] and values["export"] in ("", "-"):
        raise FieldError("it signs a file that is written; add --export FILE", "--sign")
    rows = workshop.read(lambda session: _rows(session, values["machine"]))
    if values["export"]:
        return _export(values["export"], rows, values["sign"])
    return Fits(tuple(map(fit_of, rows)))


def _rows(session: Session, machine: str) -> tuple[FitRow, ...]:
    if not machine:
        return models.fits.fit_records.all_holding(session)
    known = {row.name: row.machine_id for row in models.machines.listed(session)}
    by_case = {name.casefold(): machine_id for name, machine_id in known.items()}
    machine_id = known.get(machine, by_case.get(machine.casefold()))
    if machine_id is None:
        raise FieldError(f"machine {unknown(machine, list(known))}" if known else "there is no machine yet", "-")
    return models.fits.fit_records.at_machine(session, machine_id)


def _export(where: str, rows: tuple[FitRow, ...], key: str) -> FitsExported:
    text = models.fits.fit_csv.to_csv(rows)
    signature = None
    if where != "-":
        try:
            signed = tui.signing.signature_of(text.encode(), str(Path(key).expanduser())) if key else b""
            tui.saving.save(where, text.encode())
            if key:
                signature = where.strip() + tui.signing.SUFFIX
                tui.saving.save(signature, signed)
        except tui.signing.SigningError as fault:
            raise FieldError(str(fault), "--sign") from fault
        except tui.saving.SaveError as fault:
            raise FieldError(str(fault), "--export") from fault
    return FitsExported(len(rows), where, text, signature)


def _import(workshop: Workshop, values: Values) -> FitsImported:
    if values["sign"]:
        raise FieldError("it signs a file that is written; add --export FILE", "--sign")
    choices = _choices(values)
    try:
        with models.outside.at_hand(values["take_in"]) as file:
            models.outside.look_through(file)  # before the models are loaded: what is not a list is refused at once
            if not values["verify"]:
                return _take_in(workshop, file, values["machine"], choices, None)
            # What was verified is what is taken in, whoever else may write where the file lies.
            with tempfile.TemporaryDirectory(prefix="kitwright-signed-") as folder:
                own = Path(shutil.copyfile(file, Path(folder) / file.name))
                return _take_in(workshop, own, values["machine"], choices, _signer(own, values))
    except models.errors.InvalidInputError as problem:
        raise FieldError(str(problem), "--import") from problem


def _signer(file: Path, values: Values) -> str:
    """Who signed the file. Raises `FieldError` where nobody did whose key is known."""
    name: str = values["take_in"]
    if name == models.outside.STANDARD_INPUT:
        raise FieldError("a file's signature lies beside it; save it and name it with --import FILE", "--verify")
    try:
        return tui.signing.signer_of(file, Path(name + tui.signing.SUFFIX), str(Path(values["verify"]).expanduser()))
    except tui.signing.SigningError as fault:
        raise FieldError(str(fault), "--verify") from fault


def _choices(values: Values) -> dict[int, Choice]:
    choices = {_line("--theirs", text): models.fits.fit_import.Choice.THEIRS for text in values["theirs"]}
    for text in values["ours"]:
        line = _line("--ours", text)
        if line in choices:
            raise FieldError(f"line {line} is both in --theirs and in --ours; choose one", "-")
        choices[line] = models.fits.fit_import.Choice.OURS
    return choices


def _line(option: str, text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 9):
        raise FieldError(f"{shown(text)} is not a line number; the conflicts name theirs", option)
    return int(text)


def _take_in(
    workshop: Workshop, file: Path, machine: str, choices: dict[int, Choice], signer: str | None
) -> FitsImported:
    fits = _FileFits(file, machine.casefold())
    next(iter(fits), None)  # a file that is none is told of before a workshop is made
    fits.refused.clear()
    done = workshop.change(lambda session, act: models.fits.fit_import.import_fits(session, act, fits, choices))
    refused = [*sorted(fits.refused.items()), *done.refused]
    return FitsImported(
        done.added,
        done.settled,
        done.known,
        tuple(map(conflict_of, done.open)),
        tuple(BadLine(line, why) for line, why in refused),
        done.told,
        signer,
    )


class _FileFits:
    """The records of a file, of one machine or of all, as often as they are gone through; `refused`: lines and why."""

    def __init__(self, file: Path, machine: str) -> None:
        self._file = file
        self._machine = machine
        self.refused: dict[int, str] = {}

    def __iter__(self) -> Iterator[FileFit]:
        for one in models.fits.fit_csv.streamed(self._file, lambda refused: self.refused.setdefault(*refused)):
            if not self._machine or one.machine.casefold() == self._machine:
                yield one


def _add(workshop: Workshop, values: Values) -> FitNoted:
    here: PositionRow = values["position"]
    key: str = values["ring"]
    measured = evidence_of(values)
    if measured is None and (values["tool"] != TOOL.empty or values["condition"]):
        raise FieldError("--tool and --condition tell of a reading; type one, such as --id 24.9mm", "-")
    asked = "" if values["replace"] else workshop.read(lambda session: question(session, here, measured, key))

    def change(session: Session, act: Act) -> FitRow:
        return models.fits.fit_records.record(
            session, act, here.position_id, key, evidence=measured, rubber=values["rubber"],
            hardness_shore_a=values["hardness"], note=values["note"],
        )  # fmt: skip

    if asked:
        return FitNoted(None, asked)
    return FitNoted(fit_of(workshop.change(change)), None)


def question(session: Session, here: PositionRow, measured: Evidence | None, size_key: str) -> str:
    """What does not agree with the record that holds, in words; nothing where all does."""
    built = models.machines.get(session, here.machine_id).built
    prior = orings.prior.prior_for(built, confirmed=models.fits.fit_records.confirmed_counts(session))
    holds = models.fits.fit_records.for_position(session, here.position_id)
    own = models.own_sizes.size_book(session)
    found = (
        None
        if holds is None
        else models.fits.fit_question.compare(holds, evidence=measured, size_key=size_key, prior=prior, own=own)
    )
    if found is not None:
        return found.text
    return "" if measured is None else _doubted(measured, size_key, prior, own)


def _doubted(measured: Evidence, size_key: str, prior: Prior, own: SizeBook) -> str:
    """The readings against the size itself, by the rule that asks about a record."""
    names = {size_key, *own.same_rings(size_key)}
    ranking = orings.match.rank(measured, prior=prior, limit=1000, own=own)
    share = sum(one.probability for one in ranking.matches if {one.size.key, *(also.key for also in one.also)} & names)
    if share >= models.fits.fit_question.DOUBTED_BELOW:
        return ""
    reads = f"{ranking.matches[0].size.label} ({ranking.matches[0].probability:.0%})" if ranking.found else "no size"
    named = orings.sizes.label_of(size_key)
    return f"The readings say {reads}, not {named}. Is the size right, or is a reading off? Measure again."


def _of_job(workshop: Workshop, values: Values) -> FitsOfJob:
    job: JobRow = values["job"]
    kitting = tui.kitting.Kitting(workshop)
    used = kitting.used(job.job_id)
    noted: tuple[FitRow, ...] = ()
    if used.waiting and not values["dry_run"]:
        noted = kitting.note_fitted(job.job_id)
        used = kitting.used(job.job_id)
    mixed = tuple(Mixed(place.machine_name, place.position_name) for place in used.mixed)
    return FitsOfJob(job.job_id, tuple(map(waiting_of, used.waiting)), mixed, tuple(map(fit_of, noted)))


def _went() -> Callable[..., Any]:

    def say(session: Session, act: Act, *, machine_id: int, position: PositionRow, outcome: str) -> FitRow:
        """Say it of the ring on record there."""
        return models.fits.how_it_went.say(session, act, position.position_id, orings.ran.Outcome(outcome))

    return say


def _noted(then: Then) -> FitWentNoted:
    return FitWentNoted(fit_of(then.result))


OUTCOMES = ("dry", "wept", "leaked")
SAID_FOR = {
    **dict.fromkeys(("sweated", "sweat", "sweats", "seeped", "damp", "misted", "moist", "wet"), "wept"),
    **dict.fromkeys(("dripped", "ran", "failed", "blew"), "leaked"),
    **dict.fromkeys(("tight", "sealed", "ok", "fine", "good"), "dry"),
}
"""What people say of a joint, and which of the three it is most likely (common practice, no source)."""

SHOW = Operation(
    area="fits",
    name="show",
    label="Fit records",
    help="what fitted where; or share it (meant without a word)",
    about="""\
Show the fit records of a machine: at each position, which ring fitted, in which
rubber, measured how, by whom and when. Without a machine: of the whole shop.

Records can be written as CSV and taken in by another shop. What is new is
added. Where the file and this shop differ, nothing is changed until you choose
by the file's line number: --theirs LINE lets the file's record hold, --ours
LINE keeps ours. Either way both stay readable.

With --sign the file is signed by a key of OpenSSH's; the signature lies beside it
as FILE.sig, and both go to the other shop. There --verify takes the file in only
if one of the keys named signed it and nothing in it was changed since.""",
    fields=(
        Text("machine", "Machine", "the machine's name; the whole shop without it", must=False, placed=True),
        File("export", "Export", "write the records as CSV; - for standard output", must=False),
        File("take_in", "Import", "take in CSV; - for standard input", must=False, option="import"),
        File("sign", "Sign", "sign what is written, with this private key", must=False, metavar="KEY"),
        File("verify", "Verify", "take in only what this public key signed", must=False, metavar="KEYS"),
        Several("theirs", "Theirs", "the file's record holds", metavar="LINE"),
        Several("ours", "Ours", "our record goes on holding", metavar="LINE"),
    ),
    does=_show,
    examples=('fits show "Orchard tractor 3"', "fits show --export fits.csv", "fits show --import fits.csv"),
)
ADD = Operation(
    area="fits",
    name="add",
    label="Note a fit",
    help="note which ring fitted at a position",
    about="""\
Note which ring fitted at a position that takes one, with its rubber and how it
was measured. Where that does not agree with what is on record, you are asked,
and nothing is changed: measure again, or say --replace. The old record stays
readable either way. Take it back with: kitwright undo""",
    fields=(
        Machine("machine", "Machine", "the machine's name", placed=True),
        RingPosition("position", "Position", "the position on it that takes a ring", placed=True),
        RingSize("ring", "Ring", "the standard size that fitted, like AS568-214 or P22A", placed=True, metavar="SIZE"),
        FIT_RUBBER,
        FIT_HARDNESS,
        FIT_NOTE,
        Flag("replace", "Replace", "note it though it does not agree with the record there"),
        *under("how the ring was measured, if it was", *MEASURED, TOOL, CONDITION),
    ),
    does=_add,
    examples=(
        'fits add "Orchard tractor 3" "pump inlet flange ring" AS568-214',
        'fits add "Orchard tractor 3" "pump inlet flange ring" P22A --rubber FKM --id 21.8 --replace',
    ),
)
JOB = Operation(
    area="fits",
    name="job",
    label="Note what a job fitted",
    help="note that the rings a job used fitted",
    about="""\
Note that the rings a job used at a machine's positions fitted there: those that
were picked and are not on record. Where it used several kinds at one position
it is not known which one fitted; note that one with: kitwright fits add""",
    fields=(
        Job("job", "Job"),
        Flag("dry_run", "Look only", "say what would be noted and change nothing"),
    ),
    does=_of_job,
    examples=("fits job 2 --dry-run", "fits job 2"),
)

WENT = Operation(
    area="fits",
    name="went",
    label="How it went",
    help="say how the ring on record went after a run: dry, wept or leaked",
    about="""\
Say how the joint was after a run: dry, wept or leaked. It is said of the ring on
record there; what is said last holds. A ring that leaked there is not put first
again at that position: in full in the rubber that leaked, half in another, and not
once the gland was measured anew and is another. One that stayed dry counts as
confirmed once more. Take it back with: kitwright undo""",
    fields=(
        Machine("machine", "Machine", "the machine's name", placed=True),
        RingPosition("position", "Position", "the position on it that takes a ring", placed=True),
        OneOf("outcome", "How it went", "dry, wept or leaked", choices=OUTCOMES, near=SAID_FOR, placed=True),
    ),
    change=_went,
    answer=_noted,
    examples=('fits went "Orchard tractor 3" "pump inlet flange ring" dry',),
    key="end",
)

OPERATIONS = (SHOW, ADD, WENT, JOB)
