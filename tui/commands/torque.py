"""`kitwright torque`: torque to clamp load and back, dry or lubricated, with the overload said aloud."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, add_json_option
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.fasteners.torque import Overload, Tightening

NAME = "torque"
HELP = "thread, class and torque → clamp load, and the other way round"
DESCRIPTION = """\
Torque for a bolt by its thread and class, or the clamp load that a torque gives, with the
range that friction makes of it. A figure meant for a dry thread is flagged on a wet one.

examples:
  kitwright torque --thread M16x2 --class 8.8
  kitwright torque --thread M16x2 --class 8.8 --torque "100 lbf·ft"
  kitwright torque --thread M16x2 --class 8.8 --torque 219Nm --anti-seize
  kitwright torque --thread M12 --class 8.8 --clamp 34kN
  kitwright torque --thread M6 --class A2-70 --anti-seize
  kitwright torque --thread 3/8-16 --class "grade 5" --condition zinc --json
"""
EPILOG = """\
classes: 4.6 to 12.9, stainless A2-50 to A4-80, old Japanese marks 4T and 7T, SAE grades 1 to 8.2.
units: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm; forces in N, kN, lbf, kip, kgf.
conditions: dry, oiled, anti-seize, zinc, light-oil, rusty, waxed, thread-locker.
The machine's manual has the last word on torque.
exit codes: 0 the torque is within the proof load and meant for this thread's condition,
  1 it overloads the bolt or was meant for another condition, 2 wrong options.
"""
SCHEMA = "kitwright.torque/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    bolt = parser.add_argument_group("bolt")
    bolt.add_argument("--thread", metavar="THREAD", help="M16x2, 3/8-16 UNC")
    bolt.add_argument("--class", dest="strength", metavar="CLASS", help="8.8, A2-70, 7T, or SAE grade 5")
    condition = bolt.add_mutually_exclusive_group()
    condition.add_argument("--condition", metavar="WORD", help="what is on the thread (dry unless you say otherwise)")
    condition.add_argument("--oiled", action="store_true", help="the same as --condition oiled")
    condition.add_argument("--anti-seize", action="store_true", help="the same as --condition anti-seize")
    load = parser.add_argument_group("load").add_mutually_exclusive_group()
    load.add_argument("--torque", metavar="TORQUE", help="a torque, such as 100 lbf·ft, 40 lbf·in or 135 N·m")
    load.add_argument("--clamp", metavar="FORCE", help="the clamp load wanted, such as 60 kN or 13.5 kip")
    load.add_argument("--fraction", metavar="SHARE", help="of the proof load (75%% unless you say otherwise)")
    parser.add_argument("--meant-for", metavar="WORD", help="condition the torque was printed for (dry unless you say)")
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Give torque and clamp load."""
    from catalog.fasteners.sizes import thread_named
    from catalog.fasteners.strength import strength
    from catalog.fasteners.torque import at_figure_meant_for, clamp_at, nut_factor, tighten_to, torque_nm
    from catalog.quantity import Kind
    from tui.commands.judging import naming, quantity, share, word

    if arguments.thread is None or arguments.strength is None:
        raise UsageError("the bolt is not known; type its thread and class, such as --thread M16x2 --class 8.8")
    with naming("--thread"):
        thread = thread_named(word("--thread", arguments.thread))
    grade = word("--class", arguments.strength)
    with naming("--class"):
        strength(grade, thread)
    condition, meant_for = _condition(arguments), arguments.meant_for or "dry"
    with naming("--condition"):
        friction = nut_factor(word("--condition", condition))
    with naming("--meant-for"):
        nut_factor(word("--meant-for", meant_for))
    if arguments.meant_for is not None and arguments.torque is None:
        raise UsageError("--meant-for goes with a printed figure; give it by --torque")
    overload: Overload | None = None
    with naming("the torque"):
        if arguments.torque is not None:
            asked = quantity("--torque", arguments.torque, Kind.TORQUE, "N·m")
            found = clamp_at(thread, grade, asked, condition)
            if friction != nut_factor(meant_for):
                overload = at_figure_meant_for(thread, grade, asked, condition, meant_for)
        elif arguments.clamp is not None:
            force = quantity("--clamp", arguments.clamp, Kind.FORCE, "N")
            found = clamp_at(thread, grade, torque_nm(friction.typical, thread.diameter_mm, force), condition)
        elif arguments.fraction is not None:
            found = tighten_to(thread, grade, condition, share("--fraction", arguments.fraction))
        else:
            found = tighten_to(thread, grade, condition)
        if overload is None and arguments.torque is None and condition != "dry":
            # The figure a book prints is nearly always the dry one: say what it would do here.
            dry = None if found.overloaded else tighten_to(thread, grade, "dry", found.fraction_of_proof)
            compared = None if dry is None else at_figure_meant_for(thread, grade, dry.torque_nm, condition)
        else:
            compared = overload
    bad = found.overloaded or overload is not None
    if arguments.json:
        say_json(_object(found, compared, given=overload is not None))
    else:
        for line in _lines(found, compared, given=overload is not None):
            say(line)
    return ExitCode.NOTHING if bad else ExitCode.FOUND


def _condition(arguments: argparse.Namespace) -> str:
    if arguments.oiled:
        return "oiled"
    return "anti-seize" if arguments.anti_seize else arguments.condition or "dry"


def _object(found: Tightening, compared: Overload | None, *, given: bool) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "thread": found.thread.designation,
        "class": {
            "name": found.strength.name,
            "standard": found.strength.standard,
            "limit": found.strength.limit.value,
            "proof_mpa": round(found.strength.proof_mpa, 2),
            "yield_mpa": round(found.strength.yield_mpa, 2),
            "tensile_mpa": round(found.strength.tensile_mpa, 2),
            "note": found.strength.note,
            "source": found.strength.source,
            "standing": found.strength.standing.value,
        },
        "condition": {
            "key": found.friction.key,
            "name": found.friction.condition,
            "nut_factor": [found.friction.low, found.friction.typical, found.friction.high],
            "source": found.friction.source,
            "standing": found.friction.standing.value,
            "note": found.friction.note,
        },
        "torque_nm": round(found.torque_nm, 4),
        "torque_lbf_ft": round(found.torque_lbf_ft, 4),
        "torque_lbf_in": round(12 * found.torque_lbf_ft, 4),
        "clamp_n": {
            "least": round(found.clamp_low_n, 1),
            "typical": round(found.clamp_n, 1),
            "most": round(found.clamp_high_n, 1),
        },
        "proof_load_n": round(found.proof_load_n, 1),
        "proof_load_printed": found.proof.printed,
        "ultimate_load_n": round(found.ultimate_load_n, 1),
        "stress_mpa": round(found.stress_mpa, 2),
        "share_of_proof": {
            "typical": round(found.fraction_of_proof, 4),
            "most": round(found.fraction_high, 4),
        },
        "overload": None
        if compared is None
        else {
            "meant_for": compared.meant.friction.key,
            "figure_nm": round(compared.meant.torque_nm, 4),
            "figure_was_given": given,
            "percent": round(compared.percent, 2),
            "percent_most": round(compared.percent_high, 2),
            "right_torque_nm": round(compared.right_torque_nm, 4),
            "text": compared.sentence,
        },
        "warnings": list(found.warnings),
        "because": [
            {"rule": one.rule, "source": one.source, "standing": one.standing.value}
            for one in (compared if given and compared is not None else found).because
        ],
        "caution": found.caution,
    }


def _lines(found: Tightening, compared: Overload | None, *, given: bool) -> list[str]:
    from catalog.fasteners.torque import share
    from catalog.quantity.display import format_force, format_stress, format_torque
    from tui.answers.advice import ADVICE

    load = found.proof.limit.load
    lines = [
        f"{found.thread.designation}, {found.strength.label}, {found.friction.condition}: "
        f"{format_torque(found.torque_nm)} gives {format_force(found.clamp_n)}, "
        f"{share(found.fraction_of_proof)} of the {load}"
    ]
    if compared is not None:
        dry = "If the book's figure is a dry one: "
        lead = "" if given and not compared.tighter else "OVERLOAD: " if given else dry
        lines.append(f"{lead}{compared.sentence}")
    if given:
        lines.append(f"If the figure was printed for this condition, add --meant-for {found.friction.key}.")
    lines += [f"WARNING: {warning}" for warning in found.warnings]
    rows = [
        ("slipperiest", f"{found.friction.low:.2f}", *_force(found.clamp_high_n, found)),
        ("typical", f"{found.friction.typical:.2f}", *_force(found.clamp_n, found)),
        ("roughest", f"{found.friction.high:.2f}", *_force(found.clamp_low_n, found)),
        (load, "", *_force(found.proof_load_n, found)),
        ("least breaking load", "", *_force(found.ultimate_load_n, found)),
    ]
    heads = ("friction", "nut factor", "clamp load", "kgf", f"of {load}")
    lines += ["", *table(heads, rows, right=(1, 3, 4)), ""]
    lines.append(
        f"Stress in the bolt {format_stress(found.stress_mpa)}; {found.strength.limit.stress} "
        f"{format_stress(found.strength.proof_mpa)}, tensile strength {format_stress(found.strength.tensile_mpa)}."
    )
    if found.strength.note:
        lines.append(f"About {found.strength.label}: {found.strength.note}.")
    lines.append("Why:")
    lines += [
        f"  {one.rule} [{one.source}; {one.standing.words}]"
        for one in (compared if given and compared is not None else found).because
    ]
    return [*lines, found.caution, ADVICE]


def _force(newtons: float, found: Tightening) -> tuple[str, str, str]:
    """A force in kN and lbf, in kgf, and as a share of the bolt's proof load."""
    from catalog.fasteners.torque import share
    from catalog.quantity.display import N_PER_KGF, format_force
    from catalog.quantity.typed import significant

    return format_force(newtons), significant(newtons / float(N_PER_KGF)), share(newtons / found.proof_load_n)
