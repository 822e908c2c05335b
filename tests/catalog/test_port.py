"""Ports: one identification of the thread, the seal asked first, rings against AS568, chamfers against a second
table."""

from __future__ import annotations

from collections import defaultdict
from math import cos, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fasteners import sizes
from catalog.fasteners.flank import Flank
from catalog.fasteners.sizes import Thread, all_threads
from catalog.fasteners.thread import Measured, Reading, identify, pitch_from_tpi
from catalog.orings import joints
from catalog.orings.figures import figures
from catalog.orings.groove import port as port_groove
from catalog.orings.joints import QUESTION, Port, PortSeal, Seen, by_thread, ports, ports_of_tube, tubes_near
from catalog.orings.port import PortAnswer, look, ports_for
from catalog.orings.sizes import RingSize, by_key
from catalog.orings.span import span
from catalog.standing import Standing

# SAE J1926-1 thread to AS568 dash: ORB sizing guide and port reference (catalog/data/ports/SOURCES.md).
J1926 = {
    "5/16-24": "902", "3/8-24": "903", "7/16-20": "904", "1/2-20": "905", "9/16-18": "906", "3/4-16": "908",
    "7/8-14": "910", "1 1/16-12": "912", "1 3/16-12": "914", "1 5/16-12": "916", "1 5/8-12": "920", "1 7/8-12": "924",
    "2 1/2-12": "932",
}  # fmt: skip
# ISO 6149-1 thread to ID × width: from memory.
ISO_6149 = {
    "M8x1": (6.1, 1.6), "M10x1": (8.1, 1.6), "M12x1.5": (9.3, 2.2), "M14x1.5": (11.3, 2.2), "M16x1.5": (13.3, 2.2),
    "M18x1.5": (15.3, 2.2), "M22x1.5": (19.3, 2.2), "M27x2": (23.6, 2.9), "M33x2": (29.6, 2.9), "M42x2": (38.6, 2.9),
    "M48x2": (44.6, 2.9),
}  # fmt: skip
# O-ring face seals: thread by tube (an operator's manual), ring by tube from memory of SAE J1453.
FACE = {
    "1/4": ("9/16-18", "011"), "3/8": ("11/16-16", "012"), "1/2": ("13/16-16", "014"), "5/8": ("1-14", "016"),
    "3/4": ("1 3/16-12", "018"), "1": ("1 7/16-12", "021"), "1 1/4": ("1 11/16-12", "025"), "1 1/2": ("2-12", "029"),
}  # fmt: skip


def rows(standard: str) -> dict[str, Port]:
    return {port.thread: port for port in ports() if port.standard == standard}


def ask(
    diameter: float,
    *,
    tpi: float | None = None,
    pitch: float | None = None,
    seal: Seen | PortSeal | None = None,
    plus_minus: float = 0.05,
    internal: bool = False,
) -> PortAnswer:
    read = pitch_from_tpi(tpi, 0.25) if tpi else Reading(pitch, 0.03) if pitch else None
    return ports_for(Measured(Reading(diameter, plus_minus), read, internal), seal)


def test_j1926_rings() -> None:
    bosses = rows("SAE J1926-1")
    for thread, dash in J1926.items():
        assert bosses[thread].ring == by_key(f"as568:{dash}")
    ring = bosses["7/16-20"].ring
    assert ring is not None  # the port reference: ring 0.351 × 0.072 in
    assert (ring.id_mm / 25.4, ring.cross_section_mm / 25.4) == pytest.approx((0.351, 0.072))


def test_900_series_counts_sixteenths() -> None:
    """The last two digits are the tube's OD in 1/16 in: thread major grows with it, the ring fits inside."""
    bosses = [port for port in ports() if port.standard == "SAE J1926-1"]
    assert len(bosses) == 19
    majors = [port.screw.diameter_mm for port in bosses]
    assert majors == sorted(majors)
    for port in bosses:
        assert port.ring is not None
        tube = int(port.ring.designation[1:]) * 25.4 / 16
        assert port.tube_mm == pytest.approx(tube)
        assert tube < port.screw.diameter_mm
        assert 0.75 * port.screw.diameter_mm < port.ring.id_mm < port.screw.diameter_mm


def test_iso_6149_rings() -> None:
    bosses = rows("ISO 6149-1")
    for thread, size in ISO_6149.items():
        ring = bosses[thread].ring
        assert ring is not None
        assert (ring.id_mm, ring.cross_section_mm) == size
        assert bosses[thread].standing is Standing.MEMORY


def test_face_seals_by_tube_size() -> None:
    for tube, (thread, dash) in FACE.items():
        (port,) = [one for one in ports() if one.seal is PortSeal.FACE_RING and one.tube == tube]
        assert (port.thread, port.ring) == (thread, by_key(f"as568:{dash}"))
        assert "fitting's own flat end face" in port.ring_sits


def test_the_face_seals_ring_is_not_the_bosss() -> None:
    """9/16-18 and 1-14 stand in both: a ring from the wrong one leaks."""
    for thread in ("9/16-18 UNF", "1-14 UNS", "1 3/16-12 UN"):
        found = {port.seal: port.ring for port in by_thread()[thread] if port.ring is not None}
        assert found[PortSeal.CHAMFER] != found[PortSeal.FACE_RING]


# SAE J1926-1: 12° to 9/16-18, 15° from 3/4-16 up; ISO 6149-1: 12° for M8×1 and M10×1, 15° above (a second table).
@pytest.mark.parametrize(
    ("standard", "thread", "degrees"),
    [
        *(("SAE J1926-1", thread, 12) for thread in ("5/16-24", "3/8-24", "7/16-20", "1/2-20", "9/16-18")),
        *(
            ("SAE J1926-1", thread, 15)
            for thread in (
                "3/4-16",
                "7/8-14",
                "1 1/16-12",
                "1 3/16-12",
                "1 5/16-12",
                "1 5/8-12",
                "1 7/8-12",
                "2 1/2-12",
            )
        ),
        *(("ISO 6149-1", thread, 12) for thread in ("M8x1", "M10x1")),
        *(("ISO 6149-1", thread, 15) for thread in ("M12x1.5", "M14x1.5", "M18x1.5", "M22x1.5", "M27x2", "M60x2")),
    ],
)
def test_chamfer_angles(standard: str, thread: str, degrees: float) -> None:
    port = rows(standard)[thread]
    assert port.chamfer_deg == degrees
    assert port.chamfer is not None
    assert port.chamfer.standing is Standing.CHECKED


def test_an_angle_nobody_printed_is_left_out_or_says_that_it_was_inferred() -> None:
    bosses = rows("SAE J1926-1")
    assert bosses["5/8-18"].chamfer_deg is None, "between the two steps: not known"
    odd = bosses["1-14"].chamfer
    assert odd is not None
    assert odd.standing is Standing.INFERRED


def test_the_angle_moves_a_ports_gland() -> None:
    """A circle that touches neck, flange and chamfer is 2 g / (1 + tan a + sec a) wide, g the gap at the mouth.

    So the 15° of the 1 1/16-12 boss leave its ring less room than the 12° of the old table: 2.5 points more squeeze.
    """
    port = rows("SAE J1926-1")["1 1/16-12"]
    assert port.ring is not None
    neck, mouth = 23.6, 29.2

    def squeeze(ring: RingSize, angle: float) -> float:
        groove = port_groove(span(neck, 0.05), span(mouth, 0.05), span(angle), label="boss", source="test")
        return figures(ring, groove).squeeze.nominal

    def room(angle: float) -> float:
        return (mouth - neck) / (1 + tan(radians(angle)) + 1 / cos(radians(angle)))

    assert port.chamfer_deg == 15
    more = squeeze(port.ring, port.chamfer_deg) - squeeze(port.ring, 12)
    assert more == pytest.approx(100 * (room(12) - room(15)) / port.ring.cross_section_mm, abs=0.2)
    assert more == pytest.approx(2.5, abs=0.2)


def test_rings_stand_only_where_an_o_ring_seals() -> None:
    ringed = {PortSeal.CHAMFER, PortSeal.FACE_RING, PortSeal.CONE_24_RING}
    for port in ports():
        if port.ring is not None:
            assert port.seal in ringed, port
        elif port.seal in ringed:
            assert "not in the tables" in port.note, port
        assert port.source.strip()
    assert {port.seal for port in ports()} == set(PortSeal)
    assert {seen for port in ports() for seen in port.seal.seen} == set(Seen)


def test_a_look_is_a_probability() -> None:
    for true in PortSeal:
        assert sum(look(seen, true) for seen in Seen) == pytest.approx(1)
        assert sum(look(kind, true) for kind in PortSeal) == pytest.approx(1)
        assert max(PortSeal, key=lambda kind: look(kind, true)) is true


def test_without_the_seal_no_ring_is_named() -> None:
    answer = ask(11.0, tpi=20)
    assert (answer.ring, answer.ring_certain, answer.settled) == (None, False, False)
    assert answer.checks[0] == QUESTION
    assert "no ring is certain" in answer.text
    assert {one.port.seal for one in answer.candidates} == {PortSeal.CHAMFER, PortSeal.CONE_37, PortSeal.CONE_45}


def test_with_the_seal_the_ring_is_named() -> None:
    answer = ask(11.0, tpi=20, seal=Seen.CHAMFER)
    assert answer.settled
    assert answer.ring_certain
    assert answer.ring == by_key("as568:904")
    assert "AS568-904" in answer.text
    hole = ask(9.95, tpi=20, internal=True, seal=Seen.CHAMFER)
    assert hole.ring == by_key("as568:904")


def test_a_rows_own_note_is_shown() -> None:
    answer = ask(20.55, tpi=16, seal=Seen.CHAMFER)
    assert answer.ring == by_key("as568:909")
    assert "not a preferred J1926 size: verify the thread" in answer.text


def test_a_cone_has_no_ring_and_asks_for_the_seat_gauge() -> None:
    answer = ask(11.0, tpi=20, seal=Seen.CONE)
    assert answer.ring is None
    assert any("seat gauge" in check and "37° cone" in check and "45° cone" in check for check in answer.checks)
    assert ask(11.0, tpi=20, seal=PortSeal.CONE_37).candidates[0].port.seal is PortSeal.CONE_37


def test_the_same_metric_thread_in_many_joints() -> None:
    blind = ask(13.9, pitch=1.5)
    assert {"ISO 6149-1", "ISO 9974-1", "ISO 8434-1 (DIN 2353), 24° cone"} <= {
        one.port.standard for one in blind.candidates
    }
    seen = ask(13.9, pitch=1.5, seal=Seen.CHAMFER)
    assert seen.candidates[0].port.standard == "ISO 6149-1"
    assert seen.ring is not None
    assert (seen.ring.id_mm, seen.ring.cross_section_mm) == (11.3, 2.2)
    cone = ask(13.9, pitch=1.5, seal=PortSeal.CONE_24)
    assert {one.port.tube for one in cone.candidates[:2]} == {"8 mm L", "6 mm S"}


def test_no_pitch_asks_for_the_gauge() -> None:
    answer = ask(10.97, seal=Seen.CHAMFER)
    assert any("pitch" in check for check in answer.checks)
    assert not ask(12.3, plus_minus=0.4, seal=Seen.CHAMFER).ring_certain


def test_a_pitch_in_mm_that_is_really_inch() -> None:
    answer = ask(12.6, pitch=1.25, seal=Seen.CHAMFER)
    assert answer.candidates[0].port.thread == "1/2-20"
    assert any("inch and metric" in check for check in answer.checks)


def test_the_answer_is_never_surer_than_the_thread() -> None:
    """The issue's case: 20.9 mm × 14 was "likeliest NPT 1/2" here, 55 % G 1/2 in `thread`."""
    answer = ask(20.9, tpi=14)
    chances = {one.thread.designation: one.probability for one in answer.identification.candidates}
    assert chances["G 1/2"] == pytest.approx(0.55, abs=0.02)
    assert answer.candidates[0].port.thread == "G 1/2"
    assert "G 1/2 (55 %) or NPT 1/2" in answer.text


def test_a_taper_seen_as_thread_alone() -> None:
    answer = ask(13.1, tpi=19, seal=Seen.THREAD)
    assert answer.candidates[0].port.thread == "R 1/4"
    assert any("ten threads up" in check for check in answer.checks)


def test_nothing_fits_is_an_answer() -> None:
    answer = ask(50.3, tpi=7.4)
    assert answer.candidates == () or answer.identification.none_probability > 0.5
    assert not answer.settled
    assert "No port" in answer.text
    bolt = ask(9.45, tpi=16, seal=Seen.CHAMFER)
    assert bolt.candidates == ()
    assert "stands in no joint" in bolt.text


@pytest.mark.parametrize(
    ("inches", "dash"), [(n / 16, f"{900 + n}") for n in (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 20, 24, 32)]
)
def test_a_boss_by_its_tube(inches: float, dash: str) -> None:
    """The 900 numbers count sixteenths of the tube: 3/8 tube boss → -906 (SAE J1926-1 dash sizes)."""
    (boss,) = [port for port in ports_of_tube(inches * 25.4) if port.seal is PortSeal.CHAMFER]
    assert boss.ring == by_key(f"as568:{dash}")


def test_a_tube_named_is_that_tube_and_one_measured_may_be_two() -> None:
    """8 mm and 5/16 in (7.94 mm) differ by less than a worn tube: named exactly they are two, read as 7.97 either."""
    assert {port.tube for port in ports_of_tube(8.0)} == {"8 mm L", "8 mm S", "8 mm LL"}
    assert {port.tube for port in ports_of_tube(5 / 16 * 25.4)} == {"5/16"}
    assert {"5/16", "8 mm L"} <= {port.tube for port in ports_of_tube(7.97)}
    assert tubes_near(8.0) == ("5/16 in",)
    assert tubes_near(10.0) == ()
    assert ports_of_tube(77) == ()


# DIN 3902 / DIN 2353: thread by tube, light and heavy series (a fitting maker's page).
@pytest.mark.parametrize(
    ("tube", "thread"),
    [("6 mm L", "M12x1.5"), ("8 mm L", "M14x1.5"), ("10 mm L", "M16x1.5"), ("12 mm L", "M18x1.5"),
     ("15 mm L", "M22x1.5"), ("18 mm L", "M26x1.5"), ("22 mm L", "M30x2"),
     ("28 mm L", "M36x2"), ("35 mm L", "M45x2"), ("42 mm L", "M52x2"),
     ("8 mm S", "M16x1.5"), ("10 mm S", "M18x1.5"), ("12 mm S", "M20x1.5"), ("16 mm S", "M24x1.5"),
     ("20 mm S", "M30x2"), ("25 mm S", "M36x2"), ("30 mm S", "M42x2"), ("38 mm S", "M52x2")],
)  # fmt: skip
def test_24_degree_cones_by_tube(tube: str, thread: str) -> None:
    assert [one.thread for one in ports() if one.tube == tube and one.seal is PortSeal.CONE_24] == [thread]


# Properties

THREADS = st.sampled_from([one for one in all_threads() if one.designation in by_thread()])
ANSWERS = st.one_of(st.none(), st.sampled_from(Seen), st.sampled_from(PortSeal))


@st.composite
def readings(draw: st.DrawFn) -> Measured:
    thread = draw(THREADS)
    internal = draw(st.booleans())
    low, high = (thread.minor_low_mm, thread.minor_high_mm) if internal else (thread.major_low_mm, thread.major_high_mm)
    diameter = low + draw(st.floats(-0.2, 1.2)) * (high - low)
    pitch = draw(st.one_of(st.none(), st.floats(-0.04, 0.04)))
    return Measured(
        Reading(diameter, draw(st.sampled_from([0.02, 0.05, 0.1, 0.5]))),
        None if pitch is None else Reading(thread.pitch_mm + pitch, 0.03),
        internal,
        tapered=draw(st.sampled_from([None, True, False])),
        flank=draw(st.sampled_from([None, Flank(55), Flank(60), Flank(57, 2)])),
    )


@given(readings(), ANSWERS)
def test_the_port_answers_threads_are_the_thread_answers(measured: Measured, seal: Seen | PortSeal | None) -> None:
    thread = identify(measured)
    answer = ports_for(measured, seal)
    assert answer.identification == thread
    chances = {one.thread.designation: one.probability for one in thread.candidates}
    for match in answer.candidates:
        known = chances.get(match.port.screw.designation)
        if known is not None:
            assert match.thread_probability == known


@given(readings())
def test_a_threads_joints_share_its_probability(measured: Measured) -> None:
    answer = ports_for(measured)
    sums: dict[str, float] = defaultdict(float)
    for match in answer.candidates:
        sums[match.port.screw.designation] += match.probability
    for match in answer.candidates:
        assert sums[match.port.screw.designation] <= match.thread_probability + 1e-9
        if match.thread_probability > 0.2:
            # Joints under half a percent are not listed.
            assert sums[match.port.screw.designation] == pytest.approx(match.thread_probability, abs=0.06)


@given(readings(), ANSWERS)
def test_all_sums_to_one(measured: Measured, seal: Seen | PortSeal | None) -> None:
    answer = ports_for(measured, seal)
    listed = sum(match.probability for match in answer.candidates)
    total = listed + answer.other_probability + answer.none_probability
    assert total <= 1 + 1e-9
    # What is not listed has less than half a percent each.
    assert total > 0.75


@given(readings(), ANSWERS)
def test_no_ring_is_certain_unless_somebody_looked(measured: Measured, seal: Seen | PortSeal | None) -> None:
    answer = ports_for(measured, seal)
    if seal is None:
        assert answer.ring is None
        assert not answer.ring_certain
    if answer.ring is not None:
        best = max(one.probability for one in answer.identification.candidates)
        assert answer.ring_probability <= 1
        assert best > 0


@given(readings(), ANSWERS)
def test_standing_never_decides_a_rank(measured: Measured, seal: Seen | PortSeal | None) -> None:
    """Every row published, or none: the same order."""
    before = [one.port.title for one in ports_for(measured, seal).candidates]
    threads = [one.thread.designation for one in identify(measured).candidates]
    patch = pytest.MonkeyPatch()
    try:
        flipped = tuple(port._replace(standing=_other(port.standing)) for port in ports())
        grouped: dict[str, list[Port]] = {}
        for port in flipped:
            grouped.setdefault(port.screw.designation, []).append(port)
        table = {name: tuple(some) for name, some in grouped.items()}
        patch.setattr("catalog.orings.port.by_thread", lambda: table)
        turned = tuple(_turned(thread) for thread in all_threads())
        patch.setattr("catalog.fasteners.thread.all_threads", lambda: turned)
        after = [one.port.title for one in ports_for(measured, seal).candidates]
        assert [one.thread.designation for one in identify(measured).candidates] == threads
    finally:
        patch.undo()
    assert after == before


def _other(standing: Standing) -> Standing:
    return Standing.MEMORY if standing is Standing.PUBLISHED else Standing.PUBLISHED


def _turned(thread: Thread) -> Thread:
    return thread._replace(standing=_other(thread.standing))


def test_the_tables_are_read_once() -> None:
    assert joints.ports() is ports()
    assert sizes.all_threads() is all_threads()


@pytest.mark.parametrize("value", [0, -3, float("nan"), float("inf")])
def test_bad_input_gets_one_sentence(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be"):
        ports_for(Measured(Reading(value, 0.05)))
