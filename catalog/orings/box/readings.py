"""The readings of rings that were measured alike, as arrays: one column a ring."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from catalog.orings.box.normal import Floats, Places
from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.likelihood import pressed_in, terms


class Readings(NamedTuple):
    """Rings with the same dimensions read in the same order, looking the same by what was said.

    As `likelihood.Terms`, with an array a reading in place of a number where rings differ. `at`: the rings' places in
    the box.
    """

    at: Places
    condition: Condition
    values: tuple[Floats, ...]
    error_variance: tuple[Floats, ...]
    per_id: tuple[float, ...]
    per_width: tuple[float, ...]
    set_sign: tuple[float, ...]
    spread_sign: tuple[float, ...]
    start_id: Floats
    start_width: Floats

    def only(self, kept: Places) -> Readings:
        """These rings of them."""
        return self._replace(
            at=self.at[kept],
            values=tuple(one[kept] for one in self.values),
            error_variance=tuple(one[kept] for one in self.error_variance),
            start_id=self.start_id[kept],
            start_width=self.start_width[kept],
        )


def alike(evidences: Sequence[Evidence]) -> Iterator[Readings]:
    """The rings of a box by how they were read. Rings whose ID no reading touches are left out."""
    found: dict[tuple[object, ...], list[int]] = {}
    for place, evidence in enumerate(evidences):
        dimensions = tuple([reading.dimension for reading in evidence.readings])
        widths = dimensions.count(Dimension.WIDTH)
        if widths == len(dimensions):
            continue
        free = -1
        if widths > 1:
            read = [one.value_mm if one.dimension is Dimension.WIDTH else -1.0 for one in evidence.readings]
            free = read.index(max(read))
        tools = tuple([reading.tool for reading in evidence.readings])
        found.setdefault((dimensions, tools, evidence.condition, free), []).append(place)
    for places in found.values():
        yield _columns(places, [evidences[place] for place in places])


def _columns(places: list[int], evidences: Sequence[Evidence]) -> Readings:
    first = terms(evidences[0])
    count = len(first.values)
    read = np.array([[(one.value_mm, one.plus_minus_mm) for one in evidence.readings] for evidence in evidences])
    pressed = [pressed_in(one) for one in evidences[0].readings]
    widths = [read[:, at, 0] for at in range(count) if evidences[0].readings[at].dimension is Dimension.WIDTH]
    width = np.mean(widths, axis=0) if widths else np.full(len(places), 2.5)
    by_ring = next(at for at in range(count) if first.per_id[at] > 0.0)
    return Readings(
        np.array(places),
        evidences[0].condition,
        tuple(read[:, at, 0] + pressed[at] for at in range(count)),
        tuple(read[:, at, 1] ** 2 / 3.0 for at in range(count)),
        first.per_id,
        first.per_width,
        first.set_sign,
        first.spread_sign,
        (read[:, by_ring, 0] - first.per_width[by_ring] * width) / first.per_id[by_ring],
        width,
    )
