"""`kitwright job templates`, `keep` and `template …`: show, copy, edit; each edit is a version."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from tui.commands.amounts import folded, named, number
from tui.commands.job_needs import MOST, families, marks, minutes, need_spec, refuse_strangers, ring_size
from tui.commands.job_words import (
    job_number,
    template_lines,
    template_named,
    template_need_words,
    template_object,
)
from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, whole
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.acts import Act
    from models.templates import TemplateNeedRow, TemplateRow

SCHEMA = "kitwright.job/1"
ARGUMENT = "TEMPLATE"


def keep(arguments: argparse.Namespace) -> ExitCode:
    """Keep what a job needs as a template."""
    job_id = job_number(arguments.job)

    def change(session: Session, act: Act) -> TemplateRow:
        from models import templates

        needs = templates.from_job(session, job_id)
        if not needs:
            raise UsageError(f"job {job_id} needs nothing yet, so there is nothing to keep")
        return templates.add(session, act, arguments.kept_as, needs, note=f"from job {job_id}")

    with opened(arguments) as workshop:
        template = workshop.change(change)
    if arguments.json:
        say_json({"schema": SCHEMA, "templates": [template_object(template)]})
    else:
        say(f"Kept as template {template.template_id}: {template.name}, {len(template.needs)} needs.")
    return ExitCode.FOUND


def listing(arguments: argparse.Namespace) -> ExitCode:
    """List the templates."""
    from models import templates

    with opened(arguments) as workshop:
        found = workshop.read(lambda session: templates.listed(session, retired=arguments.retired))
    if arguments.json:
        say_json({"schema": SCHEMA, "templates": [template_object(one) for one in found]})
    elif found:
        cells = [(str(one.template_id), one.name, str(one.number), str(len(one.needs)), _asks(one)) for one in found]
        for line in table(("no", "template", "version", "needs", "what"), cells, right=(0, 2, 3)):
            say(line)
    else:
        say("No job template is off the list." if arguments.retired else "There is no job template yet.")
    return ExitCode.FOUND if found else ExitCode.NOTHING


def _asks(template: TemplateRow) -> str:
    from catalog.orings.sizes import label_of

    names = [need.spec.title or label_of(need.spec.size_key) or need.spec.spec_class for need in template.needs]
    return ", ".join(names[:4]) + (" …" if len(names) > 4 else "")


def show(arguments: argparse.Namespace) -> ExitCode:
    """Show one template and its versions."""
    version = None if arguments.number is None else number("--version", arguments.number)

    def look(session: Session) -> tuple[TemplateRow, tuple[TemplateRow, ...]]:
        from models import templates

        template_id = _template(session, arguments.template)
        return templates.get(session, template_id, version), templates.versions(session, template_id)

    with opened(arguments) as workshop:
        template, versions = workshop.read(look)
    if arguments.json:
        told: list[dict[str, Any]] = [
            {"version": one.number, "note": one.note or None, "needs": len(one.needs)} for one in versions
        ]
        say_json({"schema": SCHEMA, "templates": [template_object(template)], "versions": told})
        return ExitCode.FOUND
    for line in template_lines(template):
        say(line)
    for one in versions:
        if one.number != template.number:
            note = f": {one.note}" if one.note else ""
            say(f"version {one.number}, {len(one.needs)} needs{note}")
    return ExitCode.FOUND


def copy(arguments: argparse.Namespace) -> ExitCode:
    """Copy a template under another name."""

    def change(session: Session, act: Act) -> TemplateRow:
        from models import templates

        return templates.copy(session, act, _template(session, arguments.template), arguments.kept_as)

    return _made(arguments, change)


def add(arguments: argparse.Namespace) -> ExitCode:
    """Add a need, as a new version."""
    from models.templates import TemplateNeedRow

    spec = need_spec(arguments)
    place = " ".join((arguments.at or "").split())
    return _edit(arguments, lambda needs: [*needs, TemplateNeedRow(spec, place)])


def change(arguments: argparse.Namespace) -> ExitCode:
    """Change one need, as a new version; what is not said stays."""

    def edit(needs: list[TemplateNeedRow]) -> list[TemplateNeedRow]:
        at = _which(needs, arguments.need)
        needs[at] = _changed(needs[at], arguments)
        return needs

    return _edit(arguments, edit)


def drop(arguments: argparse.Namespace) -> ExitCode:
    """Leave one need out, as a new version."""

    def edit(needs: list[TemplateNeedRow]) -> list[TemplateNeedRow]:
        if len(needs) == 1:
            raise UsageError("that is the template's only need; take the template off the list with: "
                             "kitwright job template retire")  # fmt: skip
        del needs[_which(needs, arguments.need)]
        return needs

    return _edit(arguments, edit)


def retire(arguments: argparse.Namespace) -> ExitCode:
    """Take a template off the list, or put it on again."""

    def alter(session: Session, act: Act) -> TemplateRow:
        from models import templates

        template_id = template_named(session, arguments.template, ARGUMENT, retired=arguments.back)
        return templates.retire(session, act, template_id, back=arguments.back)

    return _made(arguments, alter)


def _edit(arguments: argparse.Namespace, edit: Callable[[list[TemplateNeedRow]], list[TemplateNeedRow]]) -> ExitCode:
    def alter(session: Session, act: Act) -> TemplateRow:
        from models import templates

        template = templates.get(session, template_named(session, arguments.template, ARGUMENT))
        return templates.edit(session, act, template.template_id, edit(list(template.needs)), arguments.note)

    return _made(arguments, alter)


def _made(arguments: argparse.Namespace, alter: Callable[[Session, Act], TemplateRow]) -> ExitCode:
    with opened(arguments) as workshop:
        template = workshop.change(alter)
    if arguments.json:
        say_json({"schema": SCHEMA, "templates": [template_object(template)]})
    else:
        for line in template_lines(template):
            say(line)
    return ExitCode.FOUND


def _template(session: Session, name: str) -> int:
    """A template by its name or number, whether on the list or off it."""
    from models import templates

    off = [row for row in templates.listed(session, retired=True) if folded(row.name) == folded(name)]
    return off[0].template_id if off else template_named(session, name, ARGUMENT)


def _which(needs: list[TemplateNeedRow], text: str) -> int:
    clean = text.strip()
    if clean.isascii() and clean.isdigit():
        return number("--need", clean, most=len(needs)) - 1
    called = [(need.spec.title or template_need_words(need), at) for at, need in enumerate(needs)]
    same = [at for title, at in called if folded(title) == folded(text)]
    if len(same) > 1:
        raise UsageError(
            f"--need: several are called that; say which by number: {', '.join(str(at + 1) for at in same)}"
        )
    return named("--need", text, called, "need", "")


def _changed(need: TemplateNeedRow, arguments: argparse.Namespace) -> TemplateNeedRow:
    from models.words import Kind

    spec = need.spec
    refuse_strangers(arguments, spec.kind.value)
    said: dict[str, Any] = {}
    if arguments.ring is not None:
        if spec.kind is not Kind.RING:
            raise UsageError(f"--ring: that need is a {spec.kind}; leave it out, or drop the need and add a ring")
        said["size_key"], label = ring_size(arguments.ring)
        said |= {"twins": (), "groove": None, "title": label}
    if arguments.spec_class is not None:
        if spec.kind is Kind.RING:
            raise UsageError("--class: a ring has a size instead; type --ring SIZE")
        said["spec_class"] = arguments.spec_class
    if arguments.title is not None:
        said["title"] = arguments.title
    if arguments.rubber:
        said["rubbers"] = families(arguments.rubber)
    if arguments.hardness is not None:
        said["hardness_shore_a"] = whole("--hardness", arguments.hardness, 10, 99)
    if arguments.grade is not None:
        said["spec_grade"] = arguments.grade
    if arguments.count is not None:
        said["pieces"] = whole("--count", arguments.count, 1, MOST)
    if arguments.spares is not None:
        said["spares"] = whole("--spares", arguments.spares, 0, MOST)
    if arguments.asks:
        said["asks"] = () if arguments.asks == ["none"] else tuple(arguments.asks)
    if arguments.cure is not None:
        said["cure_minutes_at_most"] = minutes("--cure", arguments.cure)
    if arguments.low is not None or arguments.full is not None:
        said |= _new_marks(need, arguments)
    place = need.place if arguments.at is None else " ".join(arguments.at.split())
    if not said and place == need.place:
        raise UsageError("nothing is changed; say what, as --count 6")
    return need._replace(spec=spec._replace(**said), place=place)


def _new_marks(need: TemplateNeedRow, arguments: argparse.Namespace) -> dict[str, int | None]:
    """Both marks where both are said; one said alone leaves the other where it stands."""
    if arguments.low is not None and arguments.full is not None:
        low, full = marks(arguments)
        return {"low_ul": low, "full_ul": full}
    (value, _) = marks(arguments)
    low, full = (value, need.spec.full_ul or 0) if arguments.low is not None else (need.spec.low_ul or 0, value)
    if low > full:
        raise UsageError("the low mark would stand above the full one; type both, as --low '11 qt' --full '12 qt'")
    return {"low_ul": low, "full_ul": full}
