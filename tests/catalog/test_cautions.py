"""The cautions: complete for the steps of a job, each with its basis, the worst first."""

from __future__ import annotations

import pytest

from catalog import cautions
from catalog.cautions import Harm, Step, all_cautions, for_step, in_order, steps_for
from catalog.fluids.classes import all_classes
from catalog.standing import Standing


@pytest.mark.parametrize("step", list(Step))
def test_every_step_has_cautions_the_worst_harm_first(step: Step) -> None:
    found = for_step(step)
    order = [list(Harm).index(one.harm) for one in found]
    assert len(found) >= 2
    assert order == sorted(order)
    assert step.words


def test_every_caution_is_a_sentence_of_its_own_with_a_basis() -> None:
    found = all_cautions()
    assert len({one.key for one in found}) == len({one.text for one in found}) == len(found)
    for one in found:
        assert one.text.endswith(".")
        assert len(one.text) <= 240, one.key
        assert one.basis
        assert one.steps
        if one.standing is Standing.PRACTICE:
            assert one.basis.startswith("common practice"), one.key
        if one.standing is Standing.MEMORY:
            assert "unchecked" in one.basis, one.key


@pytest.mark.parametrize(
    ("step", "words"),
    [
        # The hazards that the safety pages of HSE (vehicle repair) and US EPA (used oil) name for this work.
        (Step.WORK_UNDER, "stands"),
        (Step.OPEN_PRESSURE, "Relieve the pressure"),
        (Step.OPEN_PRESSURE, "surgeon"),
        (Step.FIND_LEAK, "card or wood"),
        (Step.DRAIN, "burns"),
        (Step.CLEAN, "no flame"),
        (Step.USED_OIL, "Don't mix it"),
        (Step.OLD_SEAL, "hydrofluoric acid"),
        (Step.BRAKE_FLUID, "brakes fail"),
        (Step.COOLANT, "poisonous"),
        (Step.SEALANT, "time on its label"),
        (Step.TIGHTEN, "meant dry"),
    ],
)
def test_the_known_hazards_are_named(step: Step, words: str) -> None:
    assert any(words in one.text for one in for_step(step))


def test_what_can_kill_is_said_to_kill() -> None:
    deadly = {one.key for one in all_cautions() if one.harm is Harm.LIFE}
    assert {"stands", "relieve", "no-hand", "injection", "burnt-fkm", "no-petrol", "wrong-brake", "exhaust"} <= deadly


def test_the_two_pressures_of_skin_injection_are_one() -> None:
    """NIST SP 811 (2008), Appendix B.8: 1 psi = 6.894 757 kPa."""
    (one,) = (one for one in all_cautions() if one.key == "injection")
    assert "7 bar (100 psi)" in one.text
    assert round(100 * 6.894757 / 100) == 7


def test_the_order_of_steps_is_the_order_of_work() -> None:
    assert in_order([Step.FIRST_RUN, Step.ANY, Step.FILL, Step.DRAIN, Step.ANY]) == (
        Step.ANY, Step.DRAIN, Step.FILL, Step.FIRST_RUN,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "spec", "wanted"),
    [
        ("ring", "", Step.OPEN_PRESSURE),
        ("ring", "", Step.OLD_SEAL),
        ("filter", "", Step.USED_OIL),
        ("fluid", "UTTO", Step.DRAIN),
        ("fluid", "something nobody listed", Step.DRAIN),
        ("fluid", "dot 5.1", Step.BRAKE_FLUID),
        ("fluid", "red antifreeze", Step.COOLANT),
        ("sealant", "", Step.SEALANT),
        ("fastener", "", Step.TIGHTEN),
        ("consumable", "parts cleaner", Step.CLEAN),
    ],
)
def test_a_need_brings_its_steps(kind: str, spec: str, wanted: Step) -> None:
    assert wanted in steps_for(kind, spec)
    assert steps_for(kind, spec)[0] is Step.ANY


def test_every_listed_brake_fluid_and_coolant_brings_its_own_cautions() -> None:
    by_family = {"brake fluid": Step.BRAKE_FLUID, "coolant": Step.COOLANT}
    seen = [one for one in all_classes() if one.family in by_family]
    assert len(seen) >= 10
    for one in seen:
        assert by_family[one.family] in steps_for("fluid", one.code), one.code


def test_rags_and_the_unknown_bring_only_what_every_job_has() -> None:
    assert steps_for("consumable", "rags") == steps_for("never heard of") == (Step.ANY,)


def test_it_all_defers_to_those_who_know_the_machine() -> None:
    for words in ("machine's manual", "local codes", "licensed practice"):
        assert words in cautions.DEFERS
    assert cautions.TORQUE_DEFERS == "The machine's manual has the last word on every torque."


def test_published_rows_name_a_source_that_the_list_of_sources_has() -> None:
    lines = (cautions.TABLE.parent / "SOURCES.md").read_text(encoding="utf-8").splitlines()
    listed = [line.split("|")[1].strip().casefold() for line in lines if line.startswith("| ")][2:]
    assert len(listed) > 8
    published = [one for one in all_cautions() if one.standing is Standing.PUBLISHED]
    for one in published:
        assert any(name in one.basis.casefold() for name in listed), one.key
    for name in listed:
        assert any(name in one.basis.casefold() for one in published), name
