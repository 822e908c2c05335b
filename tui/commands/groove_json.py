"""The answer about a groove as JSON. The contract stands in `tui/schemas/groove.schema.json`; mm and percent."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from catalog.orings.back_up import BackUps
from catalog.orings.candidates import Interchange
from catalog.orings.figures import Figures, Service
from catalog.orings.gland import Sealing
from catalog.orings.joint import JointRanking
from catalog.orings.play import Guide
from catalog.orings.verdict import Reason
from tui.commands.groove_identity import identity_object
from tui.commands.groove_input import Read
from tui.commands.judging import ADVICE, range_object
from tui.commands.size_object import size_object

SCHEMA = "kitwright.groove/1"


def groove_answer(
    read: Read,
    service: Service | None,
    found: Interchange | None,
    known: JointRanking | None,
    rings: Sequence[Sealing],
    guide: Guide,
    to_measure: Sequence[str],
    shelf: Collection[str] | None,
    limit: int,
) -> dict[str, Any]:
    """With a ring: its judgement, what may replace it, what only looks like it. Without: the rings that seal."""
    seals = found.seals if found else rings
    return {
        "schema": SCHEMA,
        "groove": _groove(read),
        "service": None
        if service is None
        else {
            "volume_swell_pct": service.volume_swell,
            "temperature_c": service.temperature_c,
            "pressure_bar": service.pressure_bar,
            "hardness_shore_a": service.shore_a,
        },
        "ring": None if found is None else _sealing(found.ring, shelf),
        "identity": None if known is None else identity_object(known, limit),
        "rings": [_sealing(one, shelf) for one in seals[:limit]],
        "rings_in_all": len(seals),
        "look_alikes": []
        if found is None
        else [{**_sealing(one.sealing, shelf), "why": _reason(one.why)} for one in found.look_alikes[:limit]],
        "play": {
            "taken": read.groove.guiding.value,
            "pushed_over_mm": round(read.groove.pushed_mm / 2, 4),
            "words": guide.words,
            "turns": [{"over_mm": round(one.play_mm, 4), "verdict": one.verdict.value} for one in guide.turns],
        },
        "back_ups": None if guide.back_ups is None else _back_ups(guide.back_ups),
        "to_measure": list(to_measure),
        "caution": ADVICE,
    }


def _back_ups(found: BackUps) -> dict[str, Any]:
    return {
        "table": found.table,
        "width_with_one_mm": round(found.width_one_mm, 4),
        "width_with_two_mm": round(found.width_two_mm, 4),
        "room_for": found.room,
        "source": found.source,
        "standing": found.standing.value,
    }


def _groove(read: Read) -> dict[str, Any]:
    groove = read.groove
    return {
        "kind": groove.kind.value,
        "motion": groove.motion.value,
        "inner_mm": range_object(groove.inner),
        "outer_mm": range_object(groove.outer),
        "depth_mm": range_object(groove.depth),
        "width_mm": range_object(groove.width),
        "chamfer_deg": range_object(groove.chamfer),
        "clearance_mm": None if groove.clearance is None else round(groove.clearance, 4),
        "play_mm": None if groove.play is None else round(groove.play, 4),
        "centred": groove.centred,
        "readings": [
            {
                "dimension": one.name,
                "value_mm": round(one.value_mm, 4),
                "plus_minus_mm": round(one.plus_minus_mm, 4),
                "tool": one.tool.value,
            }
            for one in read.readings
        ],
        "label": groove.label,
        "source": groove.source,
    }


def _sealing(sealing: Sealing, shelf: Collection[str] | None) -> dict[str, Any]:
    return {
        "size": size_object(sealing.ring),
        "verdict": sealing.verdict.value,
        "margin": round(sealing.margin, 4),
        "fitted": _figures(sealing.fitted),
        "served": None if sealing.served is None else _figures(sealing.served),
        "reasons": [_reason(reason) for reason in sealing.reasons],
        "because": [
            {"rule": one.rule, "source": one.source, "standing": one.standing.value} for one in sealing.because
        ],
        "on_shelf": None if shelf is None else sealing.ring.key in shelf,
    }


def _figures(figures: Figures) -> dict[str, Any]:
    return {
        "squeeze_pct": range_object(figures.squeeze),
        "squeeze_mm": range_object(figures.squeeze_mm),
        "stretch_pct": range_object(figures.stretch),
        "od_compression_pct": range_object(figures.od_compression),
        "width_loss_pct": range_object(figures.width_loss),
        "width_mm": range_object(figures.section_mm),
        "fill_pct": range_object(figures.fill),
        "depth_mm": range_object(figures.depth_mm),
    }


def _reason(reason: Reason) -> dict[str, str]:
    return {
        "about": reason.about,
        "verdict": reason.verdict.value,
        "text": reason.text,
        "rule": reason.rule,
        "source": reason.source,
        "standing": reason.standing.value,
    }
