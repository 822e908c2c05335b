"""What an item is, read from its name: as the lists' loader reads it, and what the name leaves open."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.sizes import RingSize, all_sizes
from models.errors import InvalidInputError
from models.inventory.item_names import MISSING, Told, read_item
from models.words import Kind, Unit


@pytest.mark.parametrize(
    ("name", "kind", "unit", "missing"),
    [
        ("UTTO oil, pail 20 L", Kind.FLUID, Unit.MICROLITRE, ()),
        ("API GL-5 80W-90 20 L", Kind.FLUID, Unit.MICROLITRE, ()),
        ("coolant 5 L", Kind.FLUID, Unit.MICROLITRE, ("class",)),
        ("AS568-214 NBR 70", Kind.RING, Unit.EACH, ()),
        ("P22", Kind.RING, Unit.EACH, ("rubber",)),
        ("P22 NBR 70", Kind.RING, Unit.EACH, ()),
        ("O-ring 25 x 3.5 FKM", Kind.RING, Unit.EACH, ()),
        ("O-ring", Kind.RING, Unit.EACH, ("size", "rubber")),
        ("spin-on filter 1-12 93 x 142", Kind.FILTER, Unit.EACH, ("class",)),
        ("Oil filter", Kind.FILTER, Unit.EACH, ("class",)),
        ("Flange sealant 50 ml", Kind.SEALANT, Unit.EACH, ("counted",)),
        ("M8 x 25 bolt 8.8", Kind.FASTENER, Unit.EACH, ()),
        ("Bolt M8 x 25 NBR", Kind.FASTENER, Unit.EACH, ()),
        ("Oil can", Kind.CONSUMABLE, Unit.EACH, ("kind",)),
        ("3 x 5 cards", Kind.CONSUMABLE, Unit.EACH, ("kind",)),
        ("214 rags", Kind.CONSUMABLE, Unit.EACH, ("kind",)),
        ("Grease NLGI 2 cartridge 400 g", Kind.FLUID, Unit.MICROLITRE, ("kind",)),
    ],
)
def test_the_kind_and_what_is_missing(name: str, kind: Kind, unit: Unit, missing: tuple[str, ...]) -> None:
    # What such a name means at a parts counter: common practice, no source.
    read = read_item(name)
    assert (read.item.kind, read.counted_in, read.missing) == (kind, unit, missing)


def test_figures_are_taken_from_the_name() -> None:
    oil = read_item("UTTO oil, pail 20 L").item
    assert (oil.spec_class, oil.figures.container) == ("UTTO", 20_000_000)
    gear = read_item("API GL-5 80W-90 5 gal").item
    # The US gallon is 231 cubic inches of 25.4 mm (NIST Handbook 44, Appendix C): 3.785411784 L.
    assert (gear.spec_class, gear.spec_grade, gear.figures.container) == ("API GL-5", "80W-90", 18_927_059)
    ring = read_item("AS568-214 NBR 70").item
    assert (ring.size_key, ring.rubber, ring.hardness_shore_a) == ("as568:214", "NBR", 70)
    odd = read_item("O-ring 25 x 3.5 FKM")
    assert (odd.item.size_key, odd.item.rubber) == ("own:25 x 3.5 mm", "FKM")
    assert "no standard size" in odd.words
    element = read_item("spin-on filter 1-12 93 x 142").item.figures.element
    assert element is not None
    assert (element.od_mm, element.length_mm) == (93, 142)


def test_a_spin_ons_thread_is_read_before_a_comma_and_said() -> None:
    read = read_item("Spin-on filter M20x1.5, 93 x 120 mm")
    element = read.item.figures.element
    assert element is not None
    assert element.thread is not None
    # M20 fine is of 1.5 mm pitch, M20 coarse of 2.5 (ISO 261).
    assert (element.thread.designation, element.thread.pitch_mm) == ("M20x1.5", 1.5)
    assert "spin-on M20x1.5, 93 × 120 mm" in read.words


def test_a_filter_has_no_fluids_class_and_a_fluid_is_no_filter() -> None:
    with pytest.raises(InvalidInputError, match="UTTO is a class of fluid; this is a filter"):
        read_item("Oil filter", Told(spec_class="UTTO"))
    with pytest.raises(InvalidInputError, match="is a filter; this is a fluid"):
        read_item("coolant 5 L", Told(spec_class="Spin-on filter M20x1.5"))
    assert read_item("Oil filter", Told(spec_class="spin-on 1-12 UNF, 10 µm")).missing == ()


def test_what_is_told_goes_before_what_the_name_says() -> None:
    told = read_item("Grease NLGI 2 cartridge 400 g", Told(kind="consumable"))
    assert (told.item.kind, told.counted_in, told.missing) == (Kind.CONSUMABLE, Unit.EACH, ())
    ring = read_item("O-ring", Told(size_key="jis:P22", rubber="fkm 75"))
    assert (ring.item.size_key, ring.item.rubber, ring.item.hardness_shore_a) == ("jis:P22", "FKM", 75)
    assert ring.missing == ()
    by_volume = read_item("Brake cleaner 5 L", Told(kind="consumable", counted="ul"))
    assert (by_volume.counted_in, by_volume.item.figures.container) == (Unit.MICROLITRE, 5_000_000)


def test_a_rubber_that_is_none_is_refused_in_a_sentence() -> None:
    with pytest.raises(InvalidInputError, match="No rubber is called “XYZ”"):
        read_item("P22", Told(rubber="XYZ 70"))
    with pytest.raises(InvalidInputError, match="as FKM 75"):
        read_item("P22", Told(rubber="seventy"))


@given(st.text(max_size=500))
def test_any_text_is_read_without_a_fault(text: str) -> None:
    read = read_item(text)
    assert set(read.missing) <= set(MISSING)
    assert read.words
    assert (read.item.size_key is None) or read.item.kind is Kind.RING


@given(st.sampled_from(all_sizes()), st.sampled_from(["NBR", "HNBR", "FKM", "EPDM"]), st.integers(50, 95))
def test_every_standard_size_is_read_by_its_label_with_its_rubber(size: RingSize, rubber: str, hard: int) -> None:
    read = read_item(f"O-ring {size.label} {rubber} {hard}").item
    assert (read.kind, read.size_key, read.rubber, read.hardness_shore_a) == (Kind.RING, size.key, rubber, hard)
