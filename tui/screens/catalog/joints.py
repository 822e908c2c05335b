"""The joints, washers and shaft seals as rows: what seals, which ring or size, and how each row is known."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from catalog import orings, seals
from tui.screens.catalog.reference import STANDINGS, Entry, Fact, entry

if TYPE_CHECKING:
    from catalog.orings.joints import Port
    from catalog.seals.shaft_seals import ShaftSeal
    from catalog.seals.washers import Washer
    from tui.workshop import Workshop

PORT_GROUPS = (
    ("chamfer", "chamfer"), ("face", "face"), ("cone", "cone"), ("washer", "washer"), ("thread", "thread"),
)  # fmt: skip
SEAL_GROUPS = (("flat washers", "flat"), ("bonded", "bonded"), ("shaft seals", "shaft seal"))


@cache
def port_entries() -> tuple[Entry, ...]:
    """Every joint of every thread, in the tables' order."""
    return tuple(_port(one) for one in orings.joints.ports())


def own_entries(workshop: Workshop) -> tuple[Entry, ...] | None:
    """The joints that are this shop's word: its own, and rows of ours it confirms or corrects. In a thread.

    None where they can't be read.
    """
    book = workshop.own_ports()
    return None if book is None else tuple(map(_port, book.own))


def same_joint(one: Entry) -> tuple[str, str]:
    """What a joint of the shop's has in common with the one of ours that it speaks of."""
    return one.name, one.family


def own_table(one: Entry) -> str:
    """Which of the shop's own tables a joint is of, "" for none."""
    row = one.facts[0]
    return row.source.partition(":")[0] if row.standing == "shop" else ""


@cache
def seal_entries() -> tuple[Entry, ...]:
    """Every washer, then every shaft seal."""
    return (
        *(_washer(one) for one in seals.washers.washers()),
        *(_shaft_seal(one) for one in seals.shaft_seals.shaft_seals()),
    )


def _port(one: Port) -> Entry:
    ring = one.ring
    facts = [
        Fact(one.thread, f"sealed by {one.seal.words}; goes with: {one.plug}.", one.source, str(one.standing)),
    ]
    if ring is not None:
        facts.append(Fact("ring", f"{ring.label}, {one.ring_sits}.", ring.source, str(ring.standing)))
    elif one.ring_sits:
        facts.append(Fact("ring", f"not in the tables; it sits {one.ring_sits}.", one.source, str(one.standing)))
    if one.chamfer is not None:
        facts.append(
            Fact("chamfer", f"{one.chamfer_deg:g}° from the axis.", one.chamfer.source, str(one.chamfer.standing))
        )
    if one.note:
        facts.append(Fact("note", f"{one.note}.", one.source, str(one.standing)))
    mm = "" if ring is None else f"{ring.id_mm:.2f} × {ring.cross_section_mm:.2f}"
    inch = "" if ring is None else f"{ring.id_mm / 25.4:.3f} × {ring.cross_section_mm / 25.4:.3f}"
    figures = (
        f"{one.screw.designation}, {one.pitch_label}; {'no O-ring' if ring is None else f'ring {mm} mm = {inch} in'}"
    )
    family = f"{one.standard}; {one.seal.value}"
    name = f"{one.thread}{f', {one.tube}' if one.tube else ''}"
    seen = one.seal.seen[0].value
    return entry(
        name, seen, family, figures, facts, _known(str(one.standing)), metric=(mm,), inch=(inch,),
        more=" ".join((one.seal.value, *one.seal.seen, one.tube, f"{ring.label} {ring.designation}" if ring else "")),
    )  # fmt: skip


def _washer(one: Washer) -> Entry:
    sizes = (one.inside_mm, one.outside_mm, one.thick_mm)
    inch = " × ".join(f"{size / 25.4:.3f}" for size in sizes)
    under = f"under a plug of {' or '.join(one.threads)}"
    facts = [Fact(one.standard, f"{one.kind.words} {under}. {one.note}".strip(), one.source, str(one.standing))]
    figures = f"{one.label} mm = {inch} in, inside × outside × thick, {under}"
    family = f"{one.standard}; {' '.join(one.threads)}"
    return entry(
        one.label, one.kind.value, family, figures, facts, _known(str(one.standing)), metric=(one.label,), inch=(inch,)
    )


def _shaft_seal(one: ShaftSeal) -> Entry:
    inch = " × ".join(f"{size / 25.4:.3f}" for size in (one.shaft_mm, one.bore_mm, one.width_mm))
    facts = [Fact(one.standard, f"shaft × bore × width. {one.note}".strip(), one.source, str(one.standing))]
    figures = f"{one.label} mm = {inch} in, shaft × bore × width"
    return entry(
        one.label, "shaft seal", f"{one.standard}; shaft seal", figures, facts, _known(str(one.standing)),
        metric=(one.label,), inch=(inch,), more="oil seal lip",
    )  # fmt: skip


def _known(standing: str) -> str:
    """The standing for the column; where the column has no word of its own for it, the next more careful one."""
    return standing if standing in STANDINGS else {"checked": "inferred", "practice": "memory"}[standing]
