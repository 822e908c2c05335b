"""Which sizes count as one ring."""

from __future__ import annotations

from catalog.orings.same_ring import SHARE, apart, gather
from catalog.orings.sizes import RingSize, Series, all_sizes, by_key


def _size(key: str) -> RingSize:
    found = by_key(key)
    assert found is not None
    return found


def _leader_of(key: str) -> RingSize:
    return next(ring.size for ring in gather(all_sizes()) if key in {ring.size.key, *(size.key for size in ring.also)})


def test_look_alikes_of_two_standards_are_one_ring() -> None:
    # ISO 3601-1 itself lists 25 x 3.53 against the inch 24.99 x 3.53; both lie deep in each other's tolerance.
    assert _leader_of("metric:25x3.55") == _size("as568:214")


def test_neighbours_of_one_standard_stay_two_rings() -> None:
    # JIS B 2401-1 keeps P25 (24.7) and P25.5 (25.2) apart, both ±0.25: half a millimetre, two tolerances.
    assert _leader_of("jis:P25") == _size("jis:P25")
    assert _leader_of("jis:P25.5") == _size("jis:P25.5")


def test_no_two_sizes_of_one_inch_section_are_one_ring() -> None:
    # Each hundred of dash numbers below 900 is one section with growing IDs; the 900 series repeats some of its sizes.
    rings = gather(size for size in all_sizes() if size.series is Series.AS568)
    pairs = [(ring.size.designation, other.designation) for ring in rings for other in ring.also]
    assert all("9" in {one[0], other[0]} for one, other in pairs)


def test_every_size_is_in_exactly_one_ring_within_reach_of_its_name() -> None:
    rings = gather(all_sizes())
    members = [size.key for ring in rings for size in (ring.size, *ring.also)]
    assert sorted(members) == sorted(size.key for size in all_sizes())
    assert max(apart(ring.size, other) for ring in rings for other in ring.also) <= SHARE


def test_only_allowed_series_lead() -> None:
    near = [size for size in all_sizes() if abs(size.id_mm - 25) < 1 and abs(size.cross_section_mm - 3.53) < 0.2]
    rings = gather(near, [Series.METRIC])
    assert {ring.size.series for ring in rings} == {Series.METRIC}
    assert any(_size("as568:214") in ring.also for ring in rings)
