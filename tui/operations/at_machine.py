"""What a machine tells of a ring from it, read at a glance: where it was built, its other rings, how they went."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, NamedTuple

from catalog.orings.of_machine import counted
from catalog.orings.on_record import confirmed, ran_at
from catalog.orings.prior import Prior, prior_for
from catalog.orings.ran import Outcome, Ran, confirmed_by_run
from models.glance.fits import fits_on_record
from models.glance.machines import machines_known
from tui.fields.field import FieldError
from tui.fields.rows import one_named
from tui.operations.own_book import own_book

if TYPE_CHECKING:
    from collections.abc import Mapping

    from catalog.orings.sizes import Series
    from tui.operations.operation import Bench


class AtMachine(NamedTuple):
    """What is known of a ring before it is measured: `prior` counts the machine's other rings, `alone` does not.

    `here`: how rings went at its very position, newest first. `critical`: somebody may be hurt where it fails.
    """

    prior: Prior
    alone: Prior
    on_machine: Mapping[Series, int]
    here: tuple[Ran, ...] = ()
    critical: bool = False


def at_machine(bench: Bench, machine: str, position: str) -> AtMachine:
    """What the workshop says of a machine, and of a position on it where one is named. Raises `FieldError`."""
    place = None if bench.place is None else bench.place()
    machines = None if place is None else machines_known(place)
    fits = None if place is None else fits_on_record(place)
    if machines is None or fits is None:
        raise FieldError("no workshop can be read here; look at it once with: kitwright machine list", "--machine")
    none = "There is no machine yet; add one with: kitwright machine add"
    named = one_named(machine, ((one.name, one) for one in machines), "machine", none, "--machine")
    here: tuple[Ran, ...] = ()
    critical, name = False, ""
    if position:
        none = "Add one with: kitwright machine position"
        rings = ((one.name, one) for one in named.places if one.takes == "ring")
        at = one_named(position, rings, "position that takes a ring", none, "--position")
        name, critical = at.name, at.critical
        here = ran_at(one for one in fits if (one.machine, one.position) == (named.name, name))
    others = counted(
        one.key
        for one in fits
        if one.holds and one.machine == named.name and one.position != name and one.went in (None, Outcome.DRY)
    )
    sizes = Counter(confirmed(fits)) + Counter(confirmed_by_run(here, own_book(bench)))
    return AtMachine(prior_for(named.built, sizes, others), prior_for(named.built, sizes), others, here, critical)
