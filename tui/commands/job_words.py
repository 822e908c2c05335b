"""What the job commands read and say: numbers, days, names, and a need in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tui.commands import amounts
from tui.commands.parsing import UsageError, shown

if TYPE_CHECKING:
    from datetime import date

    from sqlmodel import Session

    from models.jobs import JobRow
    from models.kitting.kit_view import NeedView
    from models.templates import TemplateNeedRow, TemplateRow


def job_number(text: str) -> int:
    """A job's number."""
    number = text.strip()
    if not (number.isascii() and number.isdigit() and len(number) <= 9):
        raise UsageError(f"{shown(text)} is not a job's number; list them with: kitwright jobs")
    return int(number)


def day(text: str | None) -> date | None:
    """The day a job is due, written as ISO 8601 does."""
    return amounts.day("--due", text)


def machine_named(session: Session, name: str | None, option: str = "--machine") -> int | None:
    """The machine of this name, case and spaces apart."""
    from models import machines

    if name is None:
        return None
    known = [(row.name, row.machine_id) for row in machines.listed(session)]
    none = "There is no machine yet; add one with: kitwright machine add"
    return amounts.named(option, name, known, "machine", none)


def template_named(session: Session, name: str, option: str = "--template", *, retired: bool = False) -> int:
    """The job template of this name or number; with `retired`, among those off the list."""
    from models import templates

    known = [(row.name, row.template_id) for row in templates.listed(session, retired=retired)]
    number = name.strip()
    if number.isascii() and number.isdigit() and int(number[:9]) in dict(known).values():
        return int(number[:9])
    off = " off the list" if retired else ""
    return amounts.named(option, name, known, f"job template{off}", f"There is no job template{off} yet")


def need_lines(need: NeedView) -> list[str]:
    """A need with its lines: what is there and where, what is short and what was tried."""
    from models.volume import in_words

    at = f" ({need.position_name})" if need.position_name else ""
    lines = [f"{in_words(need.wanted, need.counted_in)} × {need.title}{at}"]
    for line in need.lines:
        where = f" {line.item_name}, bin {line.bin_code}" if line.bin_code else ""
        why = f": {line.reason}" if line.reason else ""
        lines.append(f"    {line.state} {in_words(line.quantity, line.counted_in)}{where}{why}")
    return lines


def need_object(need: NeedView) -> dict[str, Any]:
    """A need as JSON; quantities in pieces or, for `counted_in` "ul", in microlitres."""
    return {
        "title": need.title,
        "kind": need.kind.value,
        "position": need.position_name or None,
        "size": need.size_key,
        "rubbers": list(need.rubbers),
        "counted_in": need.counted_in.value,
        "wanted": need.wanted,
        "short": need.missing,
        "lines": [
            {
                "state": line.state.value,
                "quantity": line.quantity,
                "item": line.item_name or None,
                "bin": line.bin_code or None,
                "reason": line.reason or None,
            }
            for line in need.lines
        ],
    }


def job_object(job: JobRow) -> dict[str, Any]:
    """A job as JSON."""
    return {
        "job": job.job_id,
        "title": job.title,
        "machine": job.machine_name or None,
        "due_on": amounts.iso(job.due_on),
        "closed": job.closed_at is not None,
        "kit": job.state.value,
    }


def template_object(template: TemplateRow) -> dict[str, Any]:
    """One version of a template as JSON; volumes in microlitres."""
    return {
        "template": template.template_id,
        "name": template.name,
        "version": template.number,
        "note": template.note or None,
        "retired": template.retired,
        "needs": [_template_need_object(at, need) for at, need in enumerate(template.needs, 1)],
    }


def _template_need_object(number: int, need: TemplateNeedRow) -> dict[str, Any]:
    from models.qualify.wanted import AS_FITTED

    spec, fluid = need.spec, need.spec.low_ul is not None
    fitted = spec.size_key == AS_FITTED
    return {
        "number": number,
        "kind": spec.kind.value,
        "title": spec.title or None,
        "position": need.place or None,
        "size": None if fitted else spec.size_key,
        "as_fitted": fitted,
        "rubbers": list(spec.rubbers),
        "hardness": spec.hardness_shore_a,
        "class": spec.spec_class or None,
        "grade": spec.spec_grade or None,
        "asks": list(spec.asks),
        "pieces": None if fluid else spec.pieces,
        "spares": None if fluid else spec.spares,
        "low_ul": spec.low_ul,
        "full_ul": spec.full_ul,
        "cure_minutes_at_most": spec.cure_minutes_at_most,
    }


def template_lines(template: TemplateRow) -> list[str]:
    """One version of a template as text, its needs numbered."""
    note = f": {template.note}" if template.note else ""
    off = ", off the list" if template.retired else ""
    lines = [f"{template.name}, version {template.number}{off}{note}"]
    return lines + [f"  {at}. {template_need_words(need)}" for at, need in enumerate(template.needs, 1)]


def template_need_words(need: TemplateNeedRow) -> str:
    """One need of a template: how much of what, what is allowed, and where."""
    from catalog.orings.sizes import label_of
    from models.qualify.wanted import AS_FITTED
    from models.volume import in_words
    from models.words import Unit

    spec = need.spec
    if spec.low_ul is not None and spec.full_ul is not None:
        low, full = in_words(spec.low_ul, Unit.MICROLITRE), in_words(spec.full_ul, Unit.MICROLITRE)
        much = full if low == full else f"{low} to {full}"
    else:
        much = f"{spec.pieces}" + (f" and {spec.spares} spare" if spec.spares else "")
    size = "" if spec.size_key in (None, AS_FITTED) else label_of(spec.size_key)
    called = spec.title or size or f"{spec.spec_class} {spec.spec_grade}".strip()
    cure = f"cures in {spec.cure_minutes_at_most / 60:g} h" if spec.cure_minutes_at_most is not None else ""
    asks = (
        size,
        " or ".join(spec.rubbers),
        f"{spec.hardness_shore_a} Shore A" if spec.hardness_shore_a else "",
        f"{spec.spec_class} {spec.spec_grade}".strip(),
        *spec.asks,
        cure,
        f"at: {need.place}" if need.place else "",
    )
    said = ", ".join(dict.fromkeys(part for part in asks if part and part != called))
    return f"{much} × {called}" + (f" ({said})" if said else "")
