"""What screws on: the thread and the gasket against the head, and the room around."""

from __future__ import annotations

from functools import cache

from catalog.compare import at_most, under
from catalog.filters.element import Element, ThreadSize, thread_size
from catalog.filters.grade import OUR_RULE, PRACTICE, Criterion, Grade, figure, measure
from catalog.filters.housing import Housing
from catalog.filters.media import rows

# Our rule, no source: a crest diameter measured by caliper reads up to 0.35 mm under nominal, a pitch within 0.04 mm.
# The closest pair of filter threads that must not pass, 11/16-16 and M18 × 1.5, differs by 0.54 and 0.09 mm.
DIAMETER_SLACK = 0.35
PITCH_SLACK = 0.04
TAPER_SLACK = 0.9  # along the useful thread of a size up to 2 a taper of 1 in 16 grows by about so much
LOOKS_ALIKE = 0.06  # of the diameter: within it a wrong thread starts by hand
COVER_GOOD = 1.0
COVER_LEAST = 0.9
PROUD_LEAST = 1.0
AROUND_LEAST = 2.0


@cache
def spin_on_threads() -> tuple[tuple[ThreadSize, str, str], ...]:
    """Threads of spin-on filters: the thread, what it is usual on (may be empty), and the row's standing."""
    return tuple((thread_size(row["designation"]), row["use"], row["standing"]) for row in rows("spin_on_threads.csv"))


def same_thread(first: ThreadSize, second: ThreadSize) -> bool:
    """Whether two threads are one, as far as caliper and thread gauge tell."""
    return first.tapered == second.tapered and _same_profile(first, second)


def _same_profile(first: ThreadSize, second: ThreadSize) -> bool:
    slack = TAPER_SLACK if first.tapered or second.tapered else DIAMETER_SLACK
    return (
        at_most(abs(first.diameter_mm - second.diameter_mm), slack)
        and at_most(abs(first.pitch_mm - second.pitch_mm), PITCH_SLACK)
        and first.flank_angle_deg == second.flank_angle_deg
    )


def thread(element: Element, housing: Housing) -> Criterion:
    """Hard: the thread must be the same in diameter, pitch and form."""
    if element.thread is None or housing.thread is None:
        what = "the thread of the element" if element.thread is None else "the thread of the head"
        why = "Metric and inch threads start on each other, then bind or strip: diameter and pitch both."
        return measure("thread", what, why)
    have, need = element.thread, housing.thread
    pair = f"{have.label} on {need.label}"
    if same_thread(have, need):
        return Criterion("thread", Grade.FITS, f"{pair}: the same thread.", PRACTICE)
    if _same_profile(have, need):
        sentence = f"{pair}: one is tapered and one is parallel. It needs sealant and binds early; never force it."
        return Criterion("thread", Grade.WITH_CARE, sentence, PRACTICE)
    wide, steep = have.diameter_mm - need.diameter_mm, have.pitch_mm - need.pitch_mm
    figures = f"{pair}: diameter {wide:+.2f} mm, pitch {steep:+.3f} mm"
    if have.flank_angle_deg != need.flank_angle_deg:
        figures += f", flanks {have.flank_angle_deg:g}° on {need.flank_angle_deg:g}°"
    if at_most(abs(wide), LOOKS_ALIKE * need.diameter_mm):
        sentence = f"{figures}. They look alike and may start, then strip or blow off under pressure. Do not force it."
        return Criterion("thread", Grade.DOES_NOT, sentence, PRACTICE)
    return Criterion("thread", Grade.DOES_NOT, f"{figures}. It does not screw on.", PRACTICE)


def gasket(element: Element, housing: Housing) -> Criterion:
    """Hard: the gasket must lie on the land over its whole width, and stand proud of its groove."""
    ring, land = element.gasket, housing.gasket_land
    if ring.id_mm is None or ring.od_mm is None or land.id_mm is None or land.od_mm is None:
        missing = [
            what
            for what, value in (
                ("inside diameter of the gasket", ring.id_mm),
                ("outside diameter of the gasket", ring.od_mm),
                ("inside diameter of the land on the head", land.id_mm),
                ("outside diameter of the land on the head", land.od_mm),
            )
            if value is None
        ]
        return measure("gasket", "the " + " and ".join(missing), "A gasket off its land blows oil out under pressure.")
    width = (ring.od_mm - ring.id_mm) / 2
    cover = max(min(ring.od_mm, land.od_mm) - max(ring.id_mm, land.id_mm), 0.0) / 2
    share = cover / width if width > 0 else 0.0
    figures = f"gasket {ring.id_mm:g} to {ring.od_mm:g} mm on a land of {land.id_mm:g} to {land.od_mm:g} mm"
    covered = figure(100 * share, 100 * COVER_LEAST, 100 * COVER_GOOD, decimals=0)
    if under(share, COVER_LEAST):
        told = f"{covered} % of its width lies on the land, under {100 * COVER_LEAST:g} %"
        sentence = f"{figures}: {told}. It leaks or blows out, and empties the sump."
        return Criterion("gasket", Grade.DOES_NOT, sentence, OUR_RULE)
    if under(share, COVER_GOOD):
        sentence = f"{figures}: {covered} % of its width lies on the land. Watch it under pressure."
        return Criterion("gasket", Grade.WITH_CARE, sentence, OUR_RULE)
    if land.groove_depth_mm is None or (land.groove_depth_mm > 0 and ring.thickness_mm is None):
        what = "the groove in the head" if land.groove_depth_mm is None else "the thickness of the gasket"
        return measure("gasket", what, f"{figures}: it lies on the land, but must stand proud of its groove.")
    proud = (ring.thickness_mm or 0.0) - land.groove_depth_mm
    if land.groove_depth_mm > 0 and under(proud, PROUD_LEAST):
        told = f"{figure(proud, 0, PROUD_LEAST)} mm proud of its groove, under {PROUD_LEAST:g} mm"
        sentence = f"{figures}, but {told}: the can touches metal before the gasket is pressed."
        return Criterion("gasket", Grade.DOES_NOT, sentence, OUR_RULE)
    sentence = f"{figures}: all of it lies on the land. Oil it; see that the old gasket came away."
    return Criterion("gasket", Grade.FITS, sentence, PRACTICE)


def around(element: Element, housing: Housing) -> Criterion:
    """Hard: the outside diameter against the bore of the housing, or the room around a can."""
    name = "outside diameter"
    if element.od_mm is None or housing.bore_mm is None:
        what = "the outside diameter of the element" if element.od_mm is None else "the bore or room around it"
        return measure(name, what, "Oil must get round the element, and a can must touch nothing.")
    spare = (housing.bore_mm - element.od_mm) / 2
    figures = f"{element.od_mm:g} mm in {housing.bore_mm:g} mm"
    if at_most(spare, 0):
        return Criterion(name, Grade.DOES_NOT, f"{figures}: it does not go in.", PRACTICE)
    room = figure(spare, 0, AROUND_LEAST)
    if under(spare, AROUND_LEAST):
        sentence = f"{figures}: {room} mm all round, under {AROUND_LEAST:g} mm; cold oil has little room to get past."
        return Criterion(name, Grade.WITH_CARE, sentence, OUR_RULE)
    return Criterion(name, Grade.FITS, f"{figures}: {room} mm all round.", OUR_RULE)
