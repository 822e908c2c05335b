"""`kitwright units`: what a bare number means at this bench."""

from __future__ import annotations

import argparse

from tui.commands.parsing import UsageError, add_json_option, add_unit_option, shown
from tui.exit_codes import ExitCode

NAME = "units"
HELP = "what a number typed without a unit means at this bench"
DESCRIPTION = """\
Show, or set, the unit of a torque, a pressure, a volume and a temperature that is typed
without one. The setting is this bench's own and is kept; every form and every command
goes by it. Lengths follow the session: F6 in the app, --unit on the command line.

examples:
  kitwright units
  kitwright units --torque lbf·ft --pressure psi
  kitwright units --volume qt --temperature F
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    from tui.fields.units import CHOICES

    for name, choices in CHOICES.items():
        if name != "length":
            parser.add_argument(f"--{name}", metavar="UNIT", help=" or ".join(choices))
    add_unit_option(parser)
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Keep what was chosen, and say what holds."""
    from models.errors import WorkshopError
    from tui.answers.units import UnitsAnswer
    from tui.commands.output import say, say_json
    from tui.fields.units import CHOICES, SPELLINGS, keep, kept

    chosen = {}
    for name, choices in CHOICES.items():
        text = getattr(arguments, name, None)
        if text is not None:
            unit = SPELLINGS.get(" ".join(text.split()).casefold())
            if unit not in choices:
                raise UsageError(f"--{name}: {shown(text)} is no unit to choose here; type {' or '.join(choices)}")
            chosen[name] = unit
    try:
        units = kept(arguments.unit)._replace(**chosen)
        if chosen:
            keep(units)
    except (OSError, WorkshopError) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise UsageError(f"the units can't be kept ({reason}); make the data folder writable") from problem
    answer = UnitsAnswer(**units._asdict())
    if arguments.json:
        say_json(answer.as_json())
    else:
        for line in answer.words():
            say(line)
    return ExitCode.FOUND
