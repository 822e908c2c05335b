"""The ends of an element against the seats of its housing: which way round, and whether each end seals."""

from __future__ import annotations

from catalog.compare import at_most, over, under
from catalog.filters.element import Element, End, EndForm, EndSeal
from catalog.filters.grade import OUR_RULE, PRACTICE, Criterion, Grade, figure, measure
from catalog.filters.housing import Housing, Seat, SeatForm, Where

# Our rules, no source, mm. A rubber grommet must be stretched by its spigot; bare bores may be a little loose or tight.
GROMMET_GRIP = 0.1
GROMMET_TOO_TIGHT = 3.0
BARE_SLACK = 0.3
BARE_SLACK_MOST = 1.0
BARE_TIGHT_MOST = 0.3
LAND_GOOD = 2.0
LAND_LEAST = 0.5


def end_at(element: Element, where: Where) -> End:
    """The end of the element that lies at this end of the housing, its first end being at the head."""
    return element.first if where is Where.HEAD else element.second


def orientation(element: Element, housing: Housing) -> Criterion:
    """Hard: the end over the outlet must be open. A closed one stops the oil or sends it through the bypass."""
    name = "which way round"
    if housing.outlet is None:
        return measure(
            name, "which end of the housing the oil leaves by", "A closed end over the outlet stops the oil."
        )
    end = end_at(element, housing.outlet)
    place = f"the {housing.outlet} end, where the oil leaves"
    if end.form is None:
        return measure(name, f"is the end at {place}, open or closed", "It must be open there.")
    if end.form is EndForm.OPEN:
        bore = "" if end.id_mm is None else f" ({end.id_mm:g} mm)"
        return Criterion(name, Grade.FITS, f"The open end{bore} is at {place}.", PRACTICE)
    if end.form is EndForm.SCREENED:
        sentence = f"The end at {place}, is screened: oil gets out, but the screen adds drag when the oil is cold."
        return Criterion(name, Grade.WITH_CARE, sentence, OUR_RULE)
    sentence = (
        f"A {end.form} end is at {place}: filtered oil cannot get out. Flow stops, or a bypass opens and the machine "
        "runs on unfiltered oil."
    )
    return Criterion(name, Grade.DOES_NOT, sentence, PRACTICE)


def _leak(gap_mm: float, element: Element) -> str:
    size = element.medium.size_um if element.medium else None
    against = f" against {size:g} µm for the medium" if size else ""
    return f"unfiltered oil passes, with dirt up to {figure(gap_mm * 1000, size or 0, decimals=0)} µm{against}"


def _spigot(name: str, end: End, seat: Seat, element: Element) -> Criterion:
    if end.id_mm is None or seat.diameter_mm is None:
        what = "the inside diameter of this end" if end.id_mm is None else "the outside diameter of the spigot"
        return measure(name, what, "A bore that is loose on its spigot passes unfiltered oil.")
    slack = end.id_mm - seat.diameter_mm
    figures = f"bore {end.id_mm:g} mm on a {seat.diameter_mm:g} mm spigot"
    loose = f"{figures}, loose by {figure(slack, 0, BARE_SLACK, BARE_SLACK_MOST)} mm: {_leak(slack, element)}."
    tight = figure(-slack, 0, GROMMET_GRIP, BARE_TIGHT_MOST, GROMMET_TOO_TIGHT)
    if under(slack, -GROMMET_TOO_TIGHT):
        sentence = f"{figures}, {tight} mm too small, over {GROMMET_TOO_TIGHT:g} mm: it will not go on."
        return Criterion(name, Grade.DOES_NOT, sentence, OUR_RULE)
    if over(slack, BARE_SLACK_MOST):
        return Criterion(name, Grade.DOES_NOT, loose, OUR_RULE)
    if end.seal is None:
        return measure(
            name, "is there a rubber ring in this bore", f"{figures}: with one it must grip, without it slip."
        )
    if end.seal is EndSeal.GROMMET:
        if over(slack, 0):
            return Criterion(name, Grade.DOES_NOT, f"{loose} The rubber ring does not touch.", OUR_RULE)
        if over(slack, -GROMMET_GRIP):
            sentence = f"{figures}: the rubber ring hardly grips, by {tight} mm of {GROMMET_GRIP:g} mm at least."
            return Criterion(name, Grade.WITH_CARE, sentence, OUR_RULE)
        return Criterion(name, Grade.FITS, f"{figures}: the rubber ring grips by {tight} mm.", OUR_RULE)
    if under(slack, -BARE_TIGHT_MOST):
        sentence = f"{figures}, {tight} mm too small and no rubber to give: it will not go on."
        return Criterion(name, Grade.DOES_NOT, sentence, OUR_RULE)
    if under(slack, 0):
        return Criterion(name, Grade.WITH_CARE, f"{figures}: tight by {tight} mm; do not force it.", OUR_RULE)
    size = element.medium.size_um if element.medium else None
    if over(slack, BARE_SLACK) or (size is not None and over(slack * 1000, size)):
        return Criterion(name, Grade.WITH_CARE, loose, OUR_RULE)
    return Criterion(name, Grade.FITS, f"{figures}: a close slip fit.", OUR_RULE)


def _flat(name: str, end: End, seat: Seat, element: Element) -> Criterion:
    if end.id_mm is None or element.od_mm is None or seat.diameter_mm is None or seat.land_od_mm is None:
        missing = [
            what
            for what, value in (
                ("the inside diameter of this end", end.id_mm),
                ("the outside diameter of the element", element.od_mm),
                ("the opening in the flat seat", seat.diameter_mm),
                ("the outside diameter of the flat seat", seat.land_od_mm),
            )
            if value is None
        ]
        return measure(name, " and ".join(missing), "An end that covers its seat too little passes unfiltered oil.")
    inner, outer = max(end.id_mm, seat.diameter_mm), min(element.od_mm, seat.land_od_mm)
    land = (outer - inner) / 2
    figures = f"the end and the flat seat meet from {inner:g} to {outer:g} mm"
    width = figure(land, 0, LAND_LEAST, LAND_GOOD)
    if under(land, LAND_LEAST):
        if at_most(land, 0):
            figures = f"the end ({end.id_mm:g} to {element.od_mm:g} mm) misses the flat seat"
            gap = (inner - outer) / 2
            return Criterion(name, Grade.DOES_NOT, f"{figures}: {_leak(gap, element)}.", OUR_RULE)
        sentence = f"{figures}, a land of {width} mm: under {LAND_LEAST:g} mm it does not seal, unfiltered oil passes."
        return Criterion(name, Grade.DOES_NOT, sentence, OUR_RULE)
    if end.seal is None:
        return measure(
            name, "is there a soft gasket on this end", f"{figures}; bare metal seals poorly on a flat seat."
        )
    if end.seal is EndSeal.BARE:
        sentence = f"{figures}, but bare: it seals only while the spring holds it flat and clean."
        return Criterion(name, Grade.WITH_CARE, sentence, OUR_RULE)
    if under(land, LAND_GOOD):
        sentence = f"{figures}, a land of {width} mm, under {LAND_GOOD:g} mm: set it dead centre."
        return Criterion(name, Grade.WITH_CARE, sentence, OUR_RULE)
    return Criterion(name, Grade.FITS, f"{figures}, a land of {width} mm under a soft {end.seal}.", OUR_RULE)


def end_seal(element: Element, housing: Housing, where: Where) -> Criterion | None:
    """Hard: whether this end seals, or what it lets through. None where a closed end lies over the outlet anyway."""
    name = f"seal at the {where} end"
    end, seat = end_at(element, where), housing.seat(where)
    if end.form is None:
        return measure(name, "is this end open or closed", "An open end with no seat passes unfiltered oil.")
    if not end.passes:
        if where is housing.outlet:
            return None
        return Criterion(name, Grade.FITS, f"{end.form}: nothing passes this end.", PRACTICE)
    if seat.form is None:
        return measure(
            name, "what is there for this open end to seal on", "With nothing, unfiltered oil goes straight in."
        )
    if seat.form is SeatForm.NONE:
        if end.form is EndForm.SCREENED and where is not housing.outlet:
            sentence = "screened, with no seat: oil comes in through the end screen alone, so its mesh is what filters."
            return Criterion(name, Grade.WITH_CARE, sentence, OUR_RULE)
        sentence = f"open, with nothing in the {where} to seal on: unfiltered oil goes straight through the opening."
        return Criterion(name, Grade.DOES_NOT, sentence, PRACTICE)
    judge = _spigot if seat.form is SeatForm.SPIGOT else _flat
    return judge(name, end, seat, element)
