"""Length against depth: does the element float, bottom, or sit under its spring?"""

from __future__ import annotations

from catalog.compare import at_least, at_most, over, under
from catalog.filters.element import Element, EndSeal, Spring
from catalog.filters.grade import OUR_RULE, PRACTICE, Criterion, Grade, figure, measure
from catalog.filters.housing import Housing, SeatForm, Where

# mm. A soft gasket is nipped by 1 to 3 mm (trade practice, from memory); the rest are our rules.
NIP_MOST = 3.0
NIP_GOOD = 0.5
BARE_NIP_MOST = 0.5
FLOAT_ON_GROMMET = 2.0
PLAY_ON_GROMMET = 1.0
GROMMET_NIP_MOST = 1.0
PRELOAD_LEAST = 1.0
PRELOAD_SHARE = 0.1
ROOM_LEAST = 0.5
ROOM_BELOW = 5.0
NAME = "length"


def _sum(own: Spring | None, other: Spring | None) -> tuple[float, float] | None:
    """Free and compressed length of both springs together, or None while one is not known."""
    if own is None or other is None:
        return None
    if None in own or None in other:
        return None
    return (own.free_mm or 0.0) + (other.free_mm or 0.0), (own.compressed_mm or 0.0) + (other.compressed_mm or 0.0)


def length(element: Element, housing: Housing) -> Criterion:
    """Hard: length over the caps plus spring against the depth between the seats, cover closed."""
    if element.length_mm is None or housing.depth_mm is None:
        what = "the length of the element" if element.length_mm is None else "the depth of the housing, cover closed"
        return measure(NAME, what, "Too short, it floats; too long, the cover will not close.")
    springs = _sum(element.own_spring, housing.spring)
    too_long = element.length_mm - housing.depth_mm
    figures = f"{element.length_mm:g} mm long in {housing.depth_mm:g} mm of depth"
    if over(too_long, NIP_MOST):
        told = f"{figure(too_long, NIP_MOST)} mm too long, over {NIP_MOST:g} mm"
        sentence = f"{figures}: {told}; the cover will not close or it crushes the end caps."
        return Criterion(NAME, Grade.DOES_NOT, sentence, OUR_RULE)
    if springs is None:
        return measure(NAME, "is there a spring, how long is it free and fully compressed", f"{figures}: it decides.")
    free, compressed = springs
    if free > 0:
        return _sprung(figures, -too_long, free, compressed, _floats(housing))
    return _nipped(figures, too_long, element, housing)


def _floats(housing: Housing) -> str:
    seat = "its seat" if housing.outlet is None else f"its seat at the {housing.outlet} end"
    return f"the element floats off {seat}, and unfiltered oil passes there"


def _sprung(figures: str, gap: float, free: float, compressed: float, floats: str) -> Criterion:
    """`gap`: what the spring has to fill, mm."""
    preload, room = free - gap, gap - compressed
    spring = f"{figures}, the spring {free:g} mm free and {compressed:g} mm compressed fills {figure(gap)} mm"
    least = max(PRELOAD_LEAST, PRELOAD_SHARE * (free - compressed))
    pressed, spare = figure(preload, 0, least), figure(room, 0, ROOM_LEAST)
    if at_most(preload, 0):
        short = f" by {figure(-preload, 0)} mm" if under(preload, 0) else ""
        return Criterion(NAME, Grade.DOES_NOT, f"{spring}: too short{short}, {floats}.", PRACTICE)
    if under(room, 0):
        early = f"it goes solid {figure(-room, 0)} mm too early"
        sentence = f"{spring}: {early}, the cover will not close or the caps are crushed."
        return Criterion(NAME, Grade.DOES_NOT, sentence, PRACTICE)
    if under(preload, least):
        sentence = f"{spring}: pressed by {pressed} mm of {least:.3g} mm at least; it may lift when the oil is cold."
        return Criterion(NAME, Grade.WITH_CARE, sentence, OUR_RULE)
    if under(room, ROOM_LEAST):
        sentence = f"{spring}: {spare} mm from solid, under {ROOM_LEAST:g} mm; close the cover by hand and feel it."
        return Criterion(NAME, Grade.WITH_CARE, sentence, OUR_RULE)
    return Criterion(NAME, Grade.FITS, f"{spring}: pressed by {pressed} mm, {spare} mm to spare.", OUR_RULE)


def _nipped(figures: str, nip: float, element: Element, housing: Housing) -> Criterion:
    """No spring: the cover itself nips the element by `nip` mm (below 0: end play)."""
    seals = (element.first.seal, element.second.seal)
    floats = _floats(housing)
    short = figure(-nip, 0, PLAY_ON_GROMMET, FLOAT_ON_GROMMET)
    if under(nip, -FLOAT_ON_GROMMET):
        return Criterion(NAME, Grade.DOES_NOT, f"{figures} and no spring: {short} mm short, {floats}.", PRACTICE)
    held = _held_by_grommet(element, housing)
    if at_most(nip, 0) and held:
        sentence = f"{figures} and no spring: {short} mm of end play, held by the rubber ring on its spigot."
        grade = Grade.FITS if at_least(nip, -PLAY_ON_GROMMET) else Grade.WITH_CARE
        return Criterion(NAME, grade, sentence, OUR_RULE)
    if under(nip, 0):
        if held is None:
            return measure(NAME, "does a rubber ring hold the open end on a spigot", f"{figures}: it has end play.")
        return Criterion(NAME, Grade.DOES_NOT, f"{figures} and no spring: {short} mm short, {floats}.", PRACTICE)
    if EndSeal.GASKET in seals:
        pressed = figure(nip, 0, NIP_GOOD)
        if under(nip, NIP_GOOD):
            told = f"nipped by {pressed} mm, under {NIP_GOOD:g} mm"
            sentence = f"{figures} and no spring: {told}; see that the cap bottoms on the gasket."
            return Criterion(NAME, Grade.WITH_CARE, sentence, OUR_RULE)
        return Criterion(NAME, Grade.FITS, f"{figures}: the cover nips it by {pressed} mm.", PRACTICE)
    if None in seals:
        return measure(NAME, "is there a soft gasket at either end", f"{figures}: without one it cannot be nipped.")
    most, ends = (GROMMET_NIP_MOST, "rubber rings") if EndSeal.GROMMET in seals else (BARE_NIP_MOST, "bare ends")
    if over(nip, most):
        sentence = (
            f"{figures}: {figure(nip, most)} mm too long, and {ends} do not give that much. The cover will not close."
        )
        return Criterion(NAME, Grade.DOES_NOT, sentence, OUR_RULE)
    sentence = f"{figures}: no spring and no gasket; close the cover by hand and feel that the element is held."
    return Criterion(NAME, Grade.WITH_CARE, sentence, OUR_RULE)


def _held_by_grommet(element: Element, housing: Housing) -> bool | None:
    """Whether the end at the outlet is a rubber ring on a spigot; None while that is not known."""
    if housing.outlet is None:
        return None
    end = element.first if housing.outlet is Where.HEAD else element.second
    form = housing.seat(housing.outlet).form
    if end.seal is None or form is None:
        return None
    return end.seal is EndSeal.GROMMET and form is SeatForm.SPIGOT


def room_below(element: Element, housing: Housing) -> Criterion:
    """Hard, for what screws on: its length against the room there is."""
    if element.length_mm is None or housing.depth_mm is None:
        what = "the length of the element" if element.length_mm is None else "the room below the head"
        return measure(NAME, what, "A can that touches anything wears through.")
    spare = housing.depth_mm - element.length_mm
    figures = f"{element.length_mm:g} mm long with {housing.depth_mm:g} mm of room"
    if at_most(spare, 0):
        return Criterion(NAME, Grade.DOES_NOT, f"{figures}: it does not go in.", PRACTICE)
    if under(spare, ROOM_BELOW):
        told = f"{figure(spare, 0, ROOM_BELOW)} mm to spare, under {ROOM_BELOW:g} mm"
        sentence = f"{figures}: {told}; it must not touch, and you must still get it off."
        return Criterion(NAME, Grade.WITH_CARE, sentence, OUR_RULE)
    return Criterion(NAME, Grade.FITS, f"{figures}.", OUR_RULE)
