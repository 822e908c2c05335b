"""Ring and groove measured both."""

from __future__ import annotations

import pytest

from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.fitted import FITTED, FITTED_NONE
from catalog.orings.groove import Groove, GrooveKind, Motion, face_outside
from catalog.orings.instruments import reading
from catalog.orings.joint import with_groove
from catalog.orings.match import Ranking, rank
from catalog.orings.sizes import RingSize, by_key
from catalog.orings.span import span
from catalog.orings.standard_grooves import groove_for
from catalog.orings.verdict import Verdict


def _size(key: str) -> RingSize:
    found = by_key(key)
    assert found is not None
    return found


def _ranking(id_mm: float = 24.85, width_mm: float = 3.51) -> Ranking:
    return rank(Evidence((reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, width_mm)), Condition.NEW))


def _standard(key: str, kind: GrooveKind) -> Groove:
    groove = groove_for(_size(key), kind, Motion.STATIC)
    assert groove is not None
    return groove


def test_the_groove_tells_apart_what_the_readings_leave_open() -> None:
    # The handbook face groove for -214 is 31.89 mm across (AS568 design tables: about the ring's OD).
    # JIS P25 is 0.35 mm smaller outside and stands off that wall.
    before = _ranking()
    after = with_groove(before, _standard("as568:214", GrooveKind.FACE_INSIDE))
    assert after.joints[0].match.size == _size("as568:214")
    assert after.joints[0].probability > before.matches[0].probability + 0.15
    assert "AS568-214 seals in this groove." in after.told_apart
    assert "JIS P25" in after.told_apart


def test_a_groove_that_all_likely_sizes_seal_in_changes_nothing_and_says_so() -> None:
    before = _ranking()
    after = with_groove(before, _standard("jis:P25", GrooveKind.PISTON))
    assert "all seal in this groove" in after.told_apart
    assert [joint.match.size for joint in after.joints[:2]] == [match.size for match in before.matches[:2]]


def test_a_groove_that_no_candidate_seals_in_speaks_for_no_standard() -> None:
    # A groove for a 5.33 mm section: a 3.5 mm ring would not even touch the other face.
    before = _ranking()
    after = with_groove(before, _standard("as568:325", GrooveKind.FACE_INSIDE))
    assert all(joint.sealing.verdict is Verdict.WILL_NOT for joint in after.joints)
    assert after.none_probability > before.none_probability


def test_the_plug_whose_measured_ring_was_wrong_for_its_groove() -> None:
    ranking = _ranking(20.4, 2.65)
    groove = face_outside(span(22.2, 0.05), span(2.65, 0.05), span(4.7, 0.1))
    after = with_groove(ranking, groove)
    assert after.joints[0].sealing.verdict is Verdict.WILL_NOT
    assert after.joints[0].sealing.squeeze.nominal < 0


def test_probabilities_are_bayes_rule_by_hand() -> None:
    before = _ranking()
    groove = _standard("as568:214", GrooveKind.FACE_INSIDE)
    after = with_groove(before, groove)
    by_size = {joint.match.size: joint for joint in after.joints}
    total = sum(match.probability * FITTED[by_size[match.size].sealing.verdict] for match in before.matches)
    total += before.none_probability * FITTED_NONE
    for match in before.matches:
        joint = by_size[match.size]
        assert joint.probability == pytest.approx(match.probability * FITTED[joint.sealing.verdict] / total)
    assert sum(joint.probability for joint in after.joints) + after.none_probability == pytest.approx(1.0)
