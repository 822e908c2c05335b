"""Ports: threads against the published thread lists, rings against AS568, and the checks that settle a doubt."""

from __future__ import annotations

import pytest

from catalog.orings.port import PortSeal, ThreadForm, ThreadReading, ports, ports_for
from catalog.orings.sizes import by_key
from catalog.standing import Standing

# SAE J1926-1 thread to AS568 dash: ORB sizing guide (S18) and port reference (S17).
J1926 = {
    "5/16-24": "902",
    "3/8-24": "903",
    "7/16-20": "904",
    "1/2-20": "905",
    "9/16-18": "906",
    "3/4-16": "908",
    "7/8-14": "910",
    "1 1/16-12": "912",
    "1 3/16-12": "914",
    "1 5/16-12": "916",
    "1 5/8-12": "920",
    "1 7/8-12": "924",
    "2 1/2-12": "932",
}
# ISO 6149-1 thread to ID × width: from memory; the thread list is S19.
ISO_6149 = {
    "M8x1": (6.1, 1.6),
    "M10x1": (8.1, 1.6),
    "M12x1.5": (9.3, 2.2),
    "M14x1.5": (11.3, 2.2),
    "M16x1.5": (13.3, 2.2),
    "M18x1.5": (15.3, 2.2),
    "M22x1.5": (19.3, 2.2),
    "M27x2": (23.6, 2.9),
    "M33x2": (29.6, 2.9),
    "M42x2": (38.6, 2.9),
    "M48x2": (44.6, 2.9),
}


def test_j1926_rings() -> None:
    rows = {port.thread: port for port in ports() if port.standard == "SAE J1926-1"}
    for thread, dash in J1926.items():
        assert rows[thread].ring == by_key(f"as568:{dash}")
    ring = rows["7/16-20"].ring
    assert ring is not None  # S17: ring 0.351 × 0.072 in
    assert (ring.id_mm / 25.4, ring.cross_section_mm / 25.4) == pytest.approx((0.351, 0.072))


def test_900_series_counts_sixteenths() -> None:
    """The last two digits are the tube's OD in 1/16 in (S99): thread major grows with it, the ring fits inside."""
    rows = [port for port in ports() if port.standard == "SAE J1926-1"]
    assert len(rows) == 19
    majors = [port.major_mm for port in rows]
    assert majors == sorted(majors)
    for port in rows:
        assert port.ring is not None
        tube = int(port.ring.designation[1:]) * 25.4 / 16
        assert tube < port.major_mm
        assert 0.75 * port.major_mm < port.ring.id_mm < port.major_mm


def test_iso_6149_rings() -> None:
    rows = {port.thread: port for port in ports() if port.standard == "ISO 6149-1"}
    for thread, size in ISO_6149.items():
        ring = rows[thread].ring
        assert ring is not None
        assert (ring.id_mm, ring.cross_section_mm) == size
        assert rows[thread].standing is Standing.MEMORY


def test_every_chamfered_port_has_its_ring_and_no_other() -> None:
    for port in ports():
        assert (port.ring is not None) == (port.seal is PortSeal.CHAMFER), port
        assert port.pitch_mm == pytest.approx(
            25.4 / port.threads_per_inch if port.threads_per_inch else port.pitch_mm, abs=1e-4
        )


def test_thread_limits() -> None:
    """ISO 965-1 (from memory): M14x1.5-6g major 13.732–13.968, 6H minor 12.376–12.676."""
    port = next(port for port in ports() if port.thread == "M14x1.5" and port.standard == "ISO 6149-1")
    assert port.male_mm == pytest.approx((13.732, 14.0), abs=0.005)  # the standard rounds its steps
    assert port.female_mm == pytest.approx((12.376, 12.676), abs=0.01)


def test_plain_identification() -> None:
    answer = ports_for(ThreadReading(11.0, 0.1, threads_per_inch=20))
    assert answer.settled
    assert answer.candidates[0].port.thread == "7/16-20"
    assert "AS568-904" in answer.text
    assert answer.checks == ()
    hole = ports_for(ThreadReading(9.95, 0.1, threads_per_inch=20, male=False))
    assert [match.port.thread for match in hole.candidates] == ["7/16-20"]


def test_no_pitch_asks_for_the_gauge() -> None:
    answer = ports_for(ThreadReading(11.0))
    assert "7/16-20 has 20 threads per inch" in answer.checks[0]
    doubt = ports_for(ThreadReading(12.3, 0.4))
    threads = {match.port.thread for match in doubt.candidates}
    assert threads == {"1/2-20", "M12x1.5"}
    assert any("pitch gauge" in check and "1.5 mm" in check and "20 threads" in check for check in doubt.checks)


def test_pitch_in_mm_that_is_really_inch() -> None:
    answer = ports_for(ThreadReading(12.6, 0.1, pitch_mm=1.25))
    assert [match.port.thread for match in answer.candidates] == ["1/2-20"]
    assert "inch and metric" in answer.checks[0]


def test_same_metric_thread_two_standards() -> None:
    answer = ports_for(ThreadReading(13.9, 0.1, pitch_mm=1.5))
    assert {match.port.standard for match in answer.candidates} == {"ISO 6149-1", "ISO 9974-1"}
    assert any("chamfer" in check and "ridge" in check for check in answer.checks)
    seen = ports_for(ThreadReading(13.9, 0.1, pitch_mm=1.5, seal=PortSeal.CHAMFER))
    assert seen.settled
    assert seen.candidates[0].port.standard == "ISO 6149-1"


def test_taper_asks_for_the_straight_edge() -> None:
    answer = ports_for(ThreadReading(13.0, 0.1, threads_per_inch=19))
    forms = {match.port.form for match in answer.candidates}
    assert forms == {ThreadForm.G, ThreadForm.R}
    assert any("straight edge" in check for check in answer.checks)
    tapered = ports_for(ThreadReading(13.0, 0.1, threads_per_inch=19, seal=PortSeal.TAPER))
    assert {match.port.form for match in tapered.candidates} == {ThreadForm.R}


def test_pipe_form_doubt_names_the_angle() -> None:
    """1/2 in pipe, 14 threads either way: NPT is 60°, R and G 55°."""
    answer = ports_for(ThreadReading(20.9, 0.1, threads_per_inch=14))
    assert any("55°" in check for check in answer.checks)


def test_nothing_fits_is_an_answer() -> None:
    answer = ports_for(ThreadReading(50.8, 0.1, threads_per_inch=4.5))
    assert answer.candidates == ()
    assert not answer.settled
    assert "No port" in answer.text


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (ThreadReading(-3), "above zero"),
        (ThreadReading(11, 0.0), "above zero"),
        (ThreadReading(11, 0.1, pitch_mm=1.5, threads_per_inch=20), "not both"),
        (ThreadReading(11, 0.1, pitch_mm=20), "0.3 to 6 mm"),
        (ThreadReading(11, 0.1, threads_per_inch=1.5), "4 to 80"),
    ],
)
def test_bad_input_gets_one_sentence(reading: ThreadReading, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        ports_for(reading)
