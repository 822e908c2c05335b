"""The machines at a glance are those of the ordinary way, on either database."""

from __future__ import annotations

from catalog.orings.prior import Built
from models import machines
from models.database import Workshop
from models.demo import orchard
from models.glance.machines import KnownMachine, KnownPlace, machines_known
from models.storage import address
from models.undoing.undo import undo
from models.words import Kind
from tests.models.shop import act


def test_they_are_those_of_the_ordinary_way(workshop: Workshop, where: str) -> None:
    assert machines_known(address.named(where)) == ()
    with workshop.write() as session:
        orchard.fill(session)
        press = machines.add(session, act(), name="Ä press", built=Built.EUROPE).machine_id
        brake = machines.add_position(session, act(), machine_id=press, name="brake", critical=True)
        machines.set_meets(session, act(), brake.position_id, fluid="GLYCOL_BRAKE", hottest_c=120)
        machines.add_position(session, act(key="slip"), machine_id=press, name="slip")
        machines.add(session, act(key="gone"), name="Gone")
        undo(session, act(), "slip")
        undo(session, act(), "gone")
        expected = tuple(
            KnownMachine(
                one.name,
                one.built,
                tuple(
                    KnownPlace(row.name, row.takes, row.critical, row.meets, row.hottest_c)
                    for row in machines.positions(session, one.machine_id)
                ),
            )
            for one in machines.listed(session)
        )
    assert machines_known(address.named(where)) == expected
    (last,) = (one for one in expected if one.name == "Ä press")
    assert last == ("Ä press", Built.EUROPE, (KnownPlace("brake", Kind.RING, True, "GLYCOL_BRAKE", 120),))
