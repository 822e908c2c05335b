"""Rings: the size asked for, the same ring by another name, or another size: where the groove is known and it seals, or
where it was judged that it would do when the ring was accepted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from catalog import orings
from catalog.chances import percent
from catalog.compare import at_least
from catalog.orings.candidates import rings_for
from catalog.orings.gland import Sealing, assess
from catalog.orings.groove import Guiding
from catalog.orings.sizes import label_of
from catalog.orings.verdict import Verdict
from catalog.orings.would_do import WouldDo
from models.qualify.wanted import AS_ASKED, INSTEAD, WITH_CARE, Judged, Offer, Wanted
from models.words import Others


def sealing(wanted: Wanted, on_shelf: Iterable[str]) -> Mapping[str, Sealing]:
    """The sizes asked for and those on the shelf that come near, judged in the need's groove; none without a groove."""
    if wanted.groove is None:
        return {}
    by_key = wanted.ring_sizes.by_key
    shelf = [size for key in dict.fromkeys(on_shelf) if (size := by_key(key)) is not None]
    found = {one.ring.key: one for one in rings_for(wanted.groove, shelf)}
    for key in wanted.called:
        size = by_key(key)
        if size is not None and key not in found:
            found[key] = assess(size, wanted.groove)
    return found


def judge(wanted: Wanted, offer: Offer, seals: Mapping[str, Sealing]) -> Judged:
    """One ring on the shelf; it is of a size asked for or of one that would do, or `seals` has a judgement of it."""
    item = offer.item
    refused = _rubber(wanted, offer)
    if refused:
        return Judged(refused)
    said, care = _size(wanted, item.size_key or "", seals)
    if care < 0:
        return Judged(said)
    because = [said] if said else []
    if not wanted.rubbers:
        because.append("the need names no rubber: check that this one stands the fluid")
    elif item.rubber != wanted.rubbers[0]:
        because.append(f"{item.rubber} instead of {wanted.rubbers[0]}")
    return Judged("", tuple(because), care)


def _rubber(wanted: Wanted, offer: Offer) -> str:
    item, hardness = offer.item, wanted.need.hardness_shore_a
    if wanted.rubbers and item.rubber not in wanted.rubbers:
        return f"{item.rubber or 'an unnamed rubber'} is not among {', '.join(wanted.rubbers)}"
    if hardness and item.hardness_shore_a and hardness != item.hardness_shore_a:
        return f"{item.hardness_shore_a} Shore A, {hardness} asked for"
    return ""


def _size(wanted: Wanted, key: str, seals: Mapping[str, Sealing]) -> tuple[str, int]:
    """What to say of the size and how far from asked it is; -1 where it must not be offered."""
    found = seals.get(key)
    if key in wanted.sizes:
        if found is not None and found.verdict is Verdict.WILL_NOT:
            return f"{label_of(key)} will not seal in this groove: {found.reasons[0].text}", -1
        said = [] if key == wanted.sizes[0] else [f"{key} is the same ring by another name"]
        if found is not None and found.verdict is Verdict.MARGINAL:
            said.append(f"only marginal in this groove: {found.reasons[0].text}")
            return "; ".join(said), WITH_CARE
        return "; ".join(said), AS_ASKED
    asked = f"{label_of(wanted.sizes[0])} was asked for" if wanted.sizes else "no size was asked for"
    if wanted.need.others is Others.NEVER:
        return f"{label_of(key)}, where {asked}: no other ring may go in there", -1
    if found is None and key in wanted.instead:
        other = wanted.instead[key]
        in_place = f"in place of {label_of(wanted.sizes[0])}" if wanted.sizes else "would do"
        return f"{label_of(key)} {in_place}: {_why(other)}", INSTEAD if less_sure(wanted, key) else AS_ASKED
    if found is None:
        return f"{label_of(key)}, where {asked}: no groove was measured to judge it in", -1
    if found.verdict is not Verdict.SEALS:
        how = "is only marginal" if found.verdict is Verdict.MARGINAL else "will not seal"
        return f"{label_of(key)}, where {asked}, {how} in this groove: {found.reasons[0].text}", -1
    squeeze = found.squeeze
    centred = "" if found.groove.guiding is not Guiding.UNKNOWN else "; its play is unknown, taken as centred"
    figures = f"{squeeze.minimum:.1f} / {squeeze.nominal:.1f} / {squeeze.maximum:.1f} %"
    return (
        f"{label_of(key)}, where {asked}: it seals in this groove, squeeze {figures} (least / nominal / most){centred}",
        INSTEAD,
    )


def less_sure(wanted: Wanted, size_key: str | None) -> bool:
    """Whether a ring that would do seals less surely than the one asked for, by more than makes no difference."""
    other = wanted.instead.get(size_key or "")
    if other is None or wanted.groove is not None:
        return False

    return wanted.seals is None or not at_least(other.seals, wanted.seals - orings.decide.ALIKE)


def _why(other: WouldDo) -> str:
    """Where it seals and how likely: `seals whichever it was, 78 %`."""
    parts = other.why.split("; ")
    limited = any(part.startswith(("in some", "not where")) for part in parts)
    return f"{other.why if limited else 'seals whichever it was'}, {percent(other.seals)}"
