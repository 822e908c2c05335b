"""Random days in the shop against a plain-Python model of it."""

from __future__ import annotations

import tempfile
from datetime import timedelta
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from models import kits, shelf, undo
from models.check import check
from models.database import Workshop, open_workshop
from models.errors import CannotUndoError, NotEnoughError
from models.words import LineState
from tests import postgres
from tests.models.shop import act, job, ring

BINS = ("A1", "B2")
QUANTITIES = st.integers(1, 6)
WHICH = st.integers(0, len(BINS) - 1)


class Effect(NamedTuple):
    """What an action did to one bin in the plain model."""

    which: int
    on_hand: int
    promised: int


class Shop(RuleBasedStateMachine):
    """The shelf and one kit, next to lists of integers that do the same."""

    address = ""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        if self.address:
            postgres.empty(self.address)
        self.workshop: Workshop = open_workshop(self.address or Path(self.folder.name) / "w.sqlite3")
        self.on_hand = [0] * len(BINS)
        self.promised = [0] * len(BINS)
        self.lines: dict[int, tuple[int, int]] = {}
        self.undoable: list[tuple[str, list[Effect], list[int]]] = []

    @initialize()
    def stock_up(self) -> None:
        with self.workshop.write() as session:
            self.rows = [ring(session, 3, bin_code=code) for code in BINS]
            self.job_id = job(session)
        self.on_hand = [3] * len(BINS)

    def _did(self, key: str, effects: list[Effect], lines: list[int] | None = None) -> None:
        for which, on_hand, promised in effects:
            self.on_hand[which] += on_hand
            self.promised[which] += promised
        self.undoable.append((key, effects, lines or []))

    @rule(which=WHICH, quantity=QUANTITIES)
    def receive(self, which: int, quantity: int) -> None:
        done, row = act(), self.rows[which]
        with self.workshop.write() as session:
            shelf.receive(session, done, item_id=row.item_id, bin_id=row.bin_id, quantity=quantity)
        self._did(done.key, [Effect(which, quantity, 0)])

    @rule(which=WHICH, counted=st.integers(0, 12))
    def count(self, which: int, counted: int) -> None:
        done = act()
        allowed = counted >= self.promised[which]
        try:
            with self.workshop.write() as session:
                shelf.count(session, done, stock_id=self.rows[which].stock_id, counted=counted)
        except NotEnoughError:
            assert not allowed
        else:
            assert allowed
            self._did(done.key, [Effect(which, counted - self.on_hand[which], 0)])

    @rule(which=WHICH, quantity=QUANTITIES, thrown_away=st.booleans())
    def take(self, which: int, quantity: int, thrown_away: bool) -> None:
        done, stock_id = act(), self.rows[which].stock_id
        allowed = quantity <= self.on_hand[which] - self.promised[which]
        try:
            with self.workshop.write() as session:
                if thrown_away:
                    shelf.scrap(session, done, stock_id=stock_id, quantity=quantity, reason="torn")
                else:
                    shelf.use(session, done, stock_id=stock_id, quantity=quantity)
        except NotEnoughError:
            assert not allowed
        else:
            assert allowed
            self._did(done.key, [Effect(which, -quantity, 0)])

    @rule(pieces=QUANTITIES)
    def accept(self, pieces: int) -> None:
        done = act()
        with self.workshop.write() as session:
            need = kits.accept_match(session, done, self.job_id, "as568:214", 0.9, None, ["NBR"], pieces=pieces)
        left, effects, lines = pieces, [], []
        for which in range(len(BINS)):
            taken = min(left, self.on_hand[which] - self.promised[which])
            if taken > 0:
                line_id = next(line.line_id for line in need.lines if line.bin_code == BINS[which])
                assert line_id is not None
                self.lines[line_id] = (which, taken)
                lines.append(line_id)
                effects.append(Effect(which, 0, taken))
                left -= taken
        assert need.missing == left
        self._did(done.key, effects, lines)

    @rule(data=st.data(), picked=st.booleans())
    def let_go(self, data: st.DataObject, picked: bool) -> None:
        if not self.lines:
            return
        line_id = data.draw(st.sampled_from(sorted(self.lines)))
        which, quantity = self.lines.pop(line_id)
        done = act()
        with self.workshop.write() as session:
            if picked:
                kits.pick(session, done, [line_id])
            else:
                kits.release(session, done, line_id)
        self._did(done.key, [Effect(which, -quantity if picked else 0, -quantity)], [line_id])

    @rule(back=st.integers(1, 4))
    def undo_one(self, back: int) -> None:
        """Undo one of the last few actions; the model says beforehand whether the shelf allows it."""
        if len(self.undoable) < back:
            return
        key, effects, lines = self.undoable[-back]
        promised = any(effect.promised > 0 for effect in effects)
        allowed = all(
            0 <= self.promised[which] - change <= self.on_hand[which] - hand for which, hand, change in effects
        ) and all((line_id in self.lines) == promised for line_id in lines)
        try:
            with self.workshop.write() as session:
                undo.undo(session, act(), key)
        except CannotUndoError:
            assert not allowed
            return
        assert allowed
        del self.undoable[-back]
        for which, on_hand, change in effects:
            self.on_hand[which] -= on_hand
            self.promised[which] -= change
        for line_id in lines:
            if promised:
                del self.lines[line_id]
            else:
                self.lines[line_id] = (effects[0].which, -effects[0].promised)

    @invariant()
    def shelf_and_model_agree(self) -> None:
        if not hasattr(self, "rows"):
            return
        with self.workshop.read() as session:
            stock = [shelf.stock_row(session, row.stock_id) for row in self.rows]
            assert [row.on_hand for row in stock] == self.on_hand
            assert [row.promised for row in stock] == self.promised
            assert [row.free for row in stock] == [
                on_hand - promised for on_hand, promised in zip(self.on_hand, self.promised, strict=True)
            ]
            assert min(row.free for row in stock) >= 0

    def teardown(self) -> None:
        with self.workshop.read() as session:
            report = check(session)
            have = (
                {
                    line.line_id: line.quantity
                    for need in kits.view(session, self.job_id).needs
                    for line in need.lines
                    if line.state is LineState.HAVE
                }
                if hasattr(self, "job_id")
                else {}
            )
        assert report.findings == ()
        assert have == {line_id: quantity for line_id, (_, quantity) in self.lines.items()}
        self.workshop.close()
        self.folder.cleanup()


def _settings(examples: int, steps: int) -> settings:
    return settings(
        max_examples=examples,
        stateful_step_count=steps,
        deadline=timedelta(seconds=20),
        suppress_health_check=list(HealthCheck),
        derandomize=True,
    )


def test_random_days_on_sqlite() -> None:
    run_state_machine_as_test(Shop, settings=_settings(12, 25))


def test_random_days_on_postgresql(postgres_workshop: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Shop, "address", postgres_workshop)
    run_state_machine_as_test(Shop, settings=_settings(4, 20))
