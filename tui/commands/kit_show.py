"""`kitwright kit show` and `kit offers`: how a kit stands, and what could fill one of its needs."""

from __future__ import annotations

import argparse

from tui.commands.job_words import job_number
from tui.commands.kit_words import kit_lines, kit_object, need_of, offers_lines, offers_object
from tui.commands.output import say, say_json
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode
from tui.workshop import Workshop


def show(arguments: argparse.Namespace) -> ExitCode:
    """Show one kit."""
    job_id = job_number(arguments.job)
    with opened(arguments) as workshop:
        return tell(workshop, job_id, arguments)


def tell(workshop: Workshop, job_id: int, arguments: argparse.Namespace, done: str = "") -> ExitCode:
    """Say how the kit stands; `done` stands above it. What is short ends with 1."""
    from models import kits
    from models.kitting.kit_offers import finish as finish_of
    from models.moments import WALL

    clock = workshop.open().clock
    with workshop.open().read() as session:
        kit = kits.view(session, job_id, on=clock().date())
        finish = finish_of(session, kit, clock().astimezone(WALL)) if kit.state != "done" else None
    if arguments.json:
        say_json(kit_object(kit, finish))
    else:
        for line in (*((done,) if done else ()), *kit_lines(kit, finish)):
            say(line)
    return ExitCode.NOTHING if any(need.missing for need in kit.needs) else ExitCode.FOUND


def offers(arguments: argparse.Namespace) -> ExitCode:
    """Show what could fill a need."""
    from models.kitting import kit_offers

    job_id = job_number(arguments.job)
    with opened(arguments) as workshop:
        need = need_of(workshop.kit(job_id), arguments.need)
        on = workshop.open().clock().date()
        found = workshop.read(lambda session: kit_offers.look(session, need.need_id, on))
    if arguments.json:
        say_json(offers_object(found))
    else:
        for line in offers_lines(found):
            say(line)
    serves = any(one.free and not one.refused for one in found.shelf) or found.lists
    return ExitCode.FOUND if serves else ExitCode.NOTHING
