"""A filter element as it can be measured on the bench. Every figure may be unknown: None, never a guess."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from catalog.fasteners.sizes import Thread, thread_named
from catalog.filters.media import Medium


class Kind(StrEnum):
    """What sort of element: screwed on as a can, dropped into a housing, hung in the tank, or set into a hose."""

    SPIN_ON = "spin-on"
    CARTRIDGE = "cartridge"
    SUCTION_STRAINER = "suction strainer"
    IN_LINE = "in-line"


class EndForm(StrEnum):
    """An end of an element: open, closed by its cap, open behind a screen, or closed and carrying a spring."""

    OPEN = "open"
    CLOSED = "closed"
    SCREENED = "screened"
    SPRUNG = "sprung"


class EndSeal(StrEnum):
    """What seals at an end: a rubber ring in the bore, a soft gasket on the face, or bare metal or plastic."""

    GROMMET = "grommet"
    GASKET = "gasket"
    BARE = "bare"


class End(NamedTuple):
    """One end: its form, inside diameter of the opening in mm (in-line: the hose bore it takes), and its seal."""

    form: EndForm | None = None
    id_mm: float | None = None
    seal: EndSeal | None = None

    @property
    def passes(self) -> bool:
        """Whether oil can pass this end: open, or open behind a screen."""
        return self.form in (EndForm.OPEN, EndForm.SCREENED)


class Spring(NamedTuple):
    """A spring along the element: free length and fully compressed length, mm."""

    free_mm: float | None = None
    compressed_mm: float | None = None


NO_SPRING = Spring(0.0, 0.0)
"""Looked for, and there is none. (`None` in a record says that nobody looked.)"""


class Gasket(NamedTuple):
    """The rubber ring of a spin-on, mm: inside and outside diameter, thickness."""

    id_mm: float | None = None
    od_mm: float | None = None
    thickness_mm: float | None = None

    @property
    def label(self) -> str:
        """`gasket 62 × 71 mm`; empty where nothing is known of it."""
        sizes = [f"{size:.4g}" for size in self if size is not None]
        return f"gasket {' × '.join(sizes)} mm" if sizes else ""


class Bypass(NamedTuple):
    """Whether the element has a bypass valve of its own, and the pressure it opens at in bar."""

    fitted: bool
    opens_bar: float | None = None

    @property
    def label(self) -> str:
        """`bypass 1.5 bar`, `no bypass`."""
        opens = "" if self.opens_bar is None else f" {self.opens_bar:.3g} bar"
        return f"bypass{opens}" if self.fitted else "no bypass"


NO_BYPASS = Bypass(False)


class ThreadSize(NamedTuple):
    """A thread by its measures, mm, with its designation where it is known. Tapered: at the large end."""

    diameter_mm: float
    pitch_mm: float
    flank_angle_deg: float = 60
    designation: str = ""
    tapered: bool = False

    @property
    def label(self) -> str:
        """The designation, or `19.9 × 1.5 mm` as measured."""
        return self.designation or f"{self.diameter_mm:g} × {self.pitch_mm:g} mm"


def thread_size(name: str) -> ThreadSize:
    """The thread of this name (`M20x1.5`, `3/4-16`, `G 3/4`); ValueError where no table has it."""
    return from_thread(thread_named(name))


def from_thread(thread: Thread) -> ThreadSize:
    """A thread of the fastener tables as an element or housing carries it."""
    return ThreadSize(thread.diameter_mm, thread.pitch_mm, thread.flank_angle_deg, thread.designation, thread.tapered)


class Element(NamedTuple):
    """An element, measured or from a list. Lengths in mm over the end caps without the spring, bar, L/min.

    `first` and `second` are its ends in the order they were written down. A spin-on uses neither.
    """

    kind: Kind
    name: str = ""
    od_mm: float | None = None
    length_mm: float | None = None
    first: End = End()
    second: End = End()
    spring: Spring | None = None
    thread: ThreadSize | None = None
    gasket: Gasket = Gasket()
    medium: Medium | None = None
    bypass: Bypass | None = None
    anti_drain_back: bool | None = None
    collapse_bar: float | None = None
    flow_l_min: float | None = None

    @property
    def own_spring(self) -> Spring | None:
        """Its spring; none where both ends are known and neither is sprung; None while that is not known."""
        forms = (self.first.form, self.second.form)
        if self.spring is None and None not in forms and EndForm.SPRUNG not in forms:
            return NO_SPRING
        return self.spring

    def turned(self) -> Element:
        """The same element end for end."""
        return self._replace(first=self.second, second=self.first)
