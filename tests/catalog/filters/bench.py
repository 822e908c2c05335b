"""An invented suction cartridge and its housing, and a spin-on and its head, that fit in every respect."""

from catalog.filters.element import (
    NO_BYPASS,
    NO_SPRING,
    Bypass,
    Element,
    End,
    EndForm,
    EndSeal,
    Gasket,
    Kind,
    Spring,
    thread_size,
)
from catalog.filters.grade import Criterion, Fit
from catalog.filters.housing import (
    BypassPlace,
    Duty,
    GasketLand,
    Housing,
    Position,
    Seat,
    SeatForm,
    Where,
)
from catalog.filters.media import mesh, rated

CARTRIDGE = Element(
    Kind.CARTRIDGE,
    od_mm=60,
    length_mm=120,
    first=End(EndForm.OPEN, 30.0, EndSeal.GROMMET),
    second=End(EndForm.CLOSED, None, EndSeal.BARE),
    spring=NO_SPRING,
    medium=mesh(60),
    bypass=NO_BYPASS,
    collapse_bar=5,
    flow_l_min=60,
)
HOUSING = Housing(
    Kind.CARTRIDGE,
    depth_mm=135,
    bore_mm=75,
    head=Seat(SeatForm.SPIGOT, 30.8),
    cover=Seat(SeatForm.NONE),
    outlet=Where.HEAD,
    spring=Spring(25, 8),
    medium=mesh(60),
    bypass=BypassPlace.HOUSING,
    duty=Duty.SUCTION,
    flow_l_min=40,
)
CAN = Element(
    Kind.SPIN_ON,
    od_mm=93,
    length_mm=142,
    thread=thread_size("3/4-16"),
    gasket=Gasket(62, 71, 6),
    medium=rated(25, 75),
    bypass=Bypass(True, 1.0),
    anti_drain_back=True,
    collapse_bar=7,
    flow_l_min=60,
)
HEAD = Housing(
    Kind.SPIN_ON,
    depth_mm=180,
    bore_mm=120,
    thread=thread_size("3/4-16"),
    gasket_land=GasketLand(60, 73, 3),
    medium=rated(25, 75),
    bypass=BypassPlace.ELEMENT,
    bypass_opens_bar=1.0,
    position=Position.HORIZONTAL,
    duty=Duty.LUBE,
    max_differential_bar=3,
    flow_l_min=40,
)


def line(fit: Fit, name: str) -> Criterion:
    """One criterion of a table by its name."""
    return next(criterion for criterion in fit.criteria if criterion.name == name)
