"""A box of rings answered as arrays says to the letter what it says ring by ring; and it is answered as it comes."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from catalog.orings.sizes import all_sizes
from tests.tui.command_line import CommandLine
from tui.fields.field import Asked
from tui.fields.units import Units
from tui.operations import asked_ring, ring_batch, ring_box
from tui.operations.operation import Bench
from tui.operations.registry import operation

if TYPE_CHECKING:
    from tui.operations.operation import Values

COLUMNS = "nr,id,od,width,width,condition,joint,tool"
ODD = (
    "clash,24.9,36,3.5,,,,",
    "a name,25.4,,3.175,,,,",
    "width alone,,,3.5,,,,",
    "no standard,777.7,,19.3,,,,",
    "no word,24.9,,3.5,,bent,,",
    "no reading,,,,,used,,",
    "stated,24.9±0.1,,3.5,,,,",
    "=1+1,24.9,,3.5,,flattened,plug,",
    "two looks,24.9,,3.3,3.8,flattened,,",
    "by rule,25,,3.5,,,shaft,rule",
    "port,17.1,,2.2,,new,port,",
)


def rows(count: int) -> Iterator[str]:
    """Rings near standard sizes, read this way and that."""
    dice = random.Random(11)
    sizes = [size for size in all_sizes() if 5.0 < size.id_mm < 200.0]
    for nr in range(count):
        size = dice.choice(sizes)
        look = dice.choice(["", "new", "new", "used", "used", "swollen"])
        off = {"": -0.01, "new": 0.0, "used": -0.02, "swollen": 0.03}[look]
        id_mm, width = (
            size.id_mm * (1.0 + dice.gauss(off, 0.004)),
            size.cross_section_mm * (1.0 + dice.gauss(off, 0.01)),
        )
        od = f"{id_mm + 2.0 * width - 0.1:.2f}" if nr % 7 == 0 else ""
        yield f"{nr},{id_mm:.2f},{od},{width:.2f},,{look},{dice.choice(['', '', 'plug', 'cover'])},"


def box(count: int) -> bytes:
    """Such rings with the odd ones among them."""
    return "\n".join((COLUMNS, *ODD, *rows(count))).encode()


@pytest.mark.parametrize(
    ("words", "count"),
    [
        (("--json",), 150),
        (("--csv", "--critical", "--fluid", "UTTO", "--demo"), 60),
        (("--limit", "3"), 60),
        (("--names", "--json"), 150),
        (("--names", "--csv"), 40),
    ],
    ids=["JSON", "CSV, critical, with a shelf", "text", "names, JSON", "names, CSV"],
)
def test_arrays_answer_to_the_letter_as_ring_by_ring(
    words: tuple[str, ...], count: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright, alone = CommandLine(capsys, monkeypatch), []

    def asked_once(values: Values, *given: Any, **more: Any) -> Any:
        alone.append(values)
        return by_itself(values, *given, **more)

    by_itself = asked_ring.asked_once

    def ranked(values: Values, *given: Any, **more: Any) -> Any:
        alone.append(values)
        return named_by_itself(values, *given, **more)

    named_by_itself = asked_ring.ranked
    monkeypatch.setattr("tui.operations.ring_box.asked_once", asked_once)
    monkeypatch.setattr("tui.operations.ring_box.ranked", ranked)
    boxed = kitwright("ring", "--batch", "-", *words, stdin=box(count))
    assert len(alone) <= len(ODD) + count // 20  # the others are answered as arrays
    monkeypatch.setattr(ring_box, "has_arrays", lambda: False)
    one_by_one = kitwright("ring", "--batch", "-", *words, stdin=box(count))
    assert len(alone) > count
    assert boxed == one_by_one
    assert len(boxed.out.splitlines()) > count


def test_a_ring_of_names_writes_the_json_that_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[Any] = []
    feed = Feed()
    feed.parts = [b"id,width,nr\n", b'24.9,3.5,"a, \xc3\xa4"\n777,19.3,"=1"\n24.9,3.5,\n']
    monkeypatch.setattr(ring_batch, "_opened", lambda _: feed)
    values = operation("ring", "ring").read({"batch": "-", "names": "yes"}, Asked(Units()))
    ring_batch.box_of_rings(values, Bench(Units(), None, told.append))  # type: ignore[arg-type]  # nothing is looked up
    assert len(told) == 3
    for one in told:
        assert one.json_text() == json.dumps(one.as_json(), allow_nan=False)


class Feed:
    """A stream that gives so many rings at a time, and notes how many were not answered yet when more was asked for."""

    def __init__(self, *parts: int) -> None:
        self.parts = [b"id,width,condition\n", *(b"24.9,3.5,new\n" * part for part in parts)]
        self.given = self.told = 0
        self.behind: list[int] = []

    def read1(self, size: int) -> bytes:
        self.behind.append(self.given - self.told)
        if not self.parts:
            return b""
        part = self.parts.pop(0)
        self.given += part.count(b"24.9")
        return part

    def __enter__(self) -> Feed:
        return self

    def __exit__(self, *_: object) -> None:
        pass


def test_what_has_come_is_answered_before_more_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    """An instrument's ring at once, and of a long file no more is held than one part of it."""
    feed = Feed(1, 1, 40, 1, 700, 700)
    held = []

    def tell(_: Any) -> None:
        feed.told += 1

    def answers_of(rows: list[Any], *given: Any) -> Iterator[Any]:
        held.append(len(rows))
        return by_rows(rows, *given)

    by_rows = ring_box.answers_of
    monkeypatch.setattr(ring_box, "answers_of", answers_of)
    monkeypatch.setattr(ring_batch, "_opened", lambda _: feed)
    values = operation("ring", "ring").read({"batch": "-"}, Asked(Units()))
    batch = ring_batch.box_of_rings(values, Bench(Units(), None, tell))  # type: ignore[arg-type]  # nothing is looked up
    assert batch.rings == feed.told == 1443
    assert set(feed.behind) == {0}
    assert max(held) == ring_batch.BLOCK
    assert held[:5] == [0, 1, 1, 40, 1]
