"""Random days in the shop against a plain-Python model of it."""

from __future__ import annotations

import shutil
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from models import kits, shelf
from models.database import Workshop, open_workshop
from models.errors import CannotUndoError, InvalidInputError, NotEnoughError
from models.inventory import moving
from models.storage.check import check
from models.undoing import undo
from models.words import LineState
from tests import postgres
from tests.models.shop import act, job, ring, ring_spec

BINS = ("A1", "B2")
QUANTITIES = st.integers(1, 6)
WHICH = st.integers(0, len(BINS) - 1)


class Effect(NamedTuple):
    """What an action did to one bin in the plain model."""

    which: int
    on_hand: int
    promised: int


class Line(NamedTuple):
    """A kit line in the plain model: its bin, its quantity, where it stands, and how much of it came back."""

    which: int
    quantity: int
    state: LineState
    back: int = 0


class Step(NamedTuple):
    """What an action did to one line: as it was (None: not there) and as it left it."""

    line_id: int
    before: Line | None
    after: Line


class Done(NamedTuple):
    """An action that can be undone: what it did to bins and to lines."""

    key: str
    effects: list[Effect]
    steps: list[Step]


class Shop(RuleBasedStateMachine):
    """The shelf and one kit, next to lists of integers that do the same."""

    address = ""
    pattern: Path
    """A closed workshop with nothing in it, to copy."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        if self.address:
            postgres.empty(self.address)
            where: str | Path = self.address
        else:
            where = Path(self.folder.name) / "w.sqlite3"
            shutil.copy(self.pattern, where)
        self.workshop: Workshop = open_workshop(where)
        self.on_hand = [0] * len(BINS)
        self.promised = [0] * len(BINS)
        self.lines: dict[int, Line] = {}
        self.undoable: list[Done] = []

    @initialize()
    def stock_up(self) -> None:
        with self.workshop.write() as session:
            self.rows = [ring(session, 3, bin_code=code) for code in BINS]
            self.job_id = job(session)
        self.on_hand = [3] * len(BINS)

    def _did(self, key: str, effects: list[Effect], steps: list[Step] | None = None) -> None:
        for which, on_hand, promised in effects:
            self.on_hand[which] += on_hand
            self.promised[which] += promised
        for step in steps or []:
            self.lines[step.line_id] = step.after
        self.undoable.append(Done(key, effects, steps or []))

    def _in(self, state: LineState) -> list[int]:
        return sorted(line_id for line_id, line in self.lines.items() if line.state is state)

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

    @rule(which=WHICH, quantity=QUANTITIES)
    def move(self, which: int, quantity: int) -> None:
        done, other = act(), (which + 1) % len(BINS)
        allowed = quantity <= self.on_hand[which] - self.promised[which]
        source, target = self.rows[which], self.rows[other]
        try:
            with self.workshop.write() as session:
                moving.move(session, done, stock_id=source.stock_id, bin_id=target.bin_id, quantity=quantity)
        except NotEnoughError:
            assert not allowed
        else:
            assert allowed
            self._did(done.key, [Effect(which, -quantity, 0), Effect(other, quantity, 0)])

    @rule(pieces=QUANTITIES)
    def accept(self, pieces: int) -> None:
        done = act()
        with self.workshop.write() as session:
            need = kits.accept_match(session, done, self.job_id, ring_spec("as568:214", ["NBR"], pieces=pieces))
        left, effects, steps = pieces, [], []
        for which in range(len(BINS)):
            taken = min(left, self.on_hand[which] - self.promised[which])
            if taken > 0:
                line_id = next(line.line_id for line in need.lines if line.bin_code == BINS[which])
                assert line_id is not None
                steps.append(Step(line_id, None, Line(which, taken, LineState.HAVE)))
                effects.append(Effect(which, 0, taken))
                left -= taken
        assert need.missing == left
        self._did(done.key, effects, steps)

    @rule(data=st.data())
    def release(self, data: st.DataObject) -> None:
        if not self._in(LineState.HAVE):
            return
        line_id = data.draw(st.sampled_from(self._in(LineState.HAVE)))
        line, done = self.lines[line_id], act()
        with self.workshop.write() as session:
            kits.release(session, done, line_id)
        step = Step(line_id, line, line._replace(state=LineState.RELEASED))
        self._did(done.key, [Effect(line.which, 0, -line.quantity)], [step])

    @rule(data=st.data(), taken=QUANTITIES)
    def pick(self, data: st.DataObject, taken: int) -> None:
        """Take what was promised, less, or more; the model says beforehand whether so much is free."""
        if not self._in(LineState.HAVE):
            return
        line_id = data.draw(st.sampled_from(self._in(LineState.HAVE)))
        line, done = self.lines[line_id], act()
        free = self.on_hand[line.which] - self.promised[line.which]
        allowed = taken <= line.quantity + free
        try:
            with self.workshop.write() as session:
                kit = kits.pick(session, done, [line_id], taken={line_id: taken})
        except NotEnoughError:
            assert not allowed
            return
        assert allowed
        effect = Effect(line.which, -taken, -min(taken, line.quantity))
        if taken == line.quantity:
            self._did(done.key, [effect], [Step(line_id, line, line._replace(state=LineState.PICKED))])
            return
        fresh = {
            one.line_id: Line(line.which, one.quantity, one.state)
            for need in kit.needs
            for one in need.lines
            if one.line_id is not None and one.line_id not in self.lines
        }
        rest = line.quantity - taken
        expected = [(taken, LineState.PICKED), *([(rest, LineState.HAVE)] if rest > 0 else [])]
        assert [(one.quantity, one.state) for _, one in sorted(fresh.items())] == expected
        gone = Step(line_id, line, line._replace(state=LineState.RELEASED))
        self._did(done.key, [effect], [gone, *(Step(new_id, None, one) for new_id, one in sorted(fresh.items()))])

    @rule(data=st.data(), quantity=QUANTITIES)
    def give_back(self, data: st.DataObject, quantity: int) -> None:
        if not self._in(LineState.PICKED):
            return
        line_id = data.draw(st.sampled_from(self._in(LineState.PICKED)))
        line, done = self.lines[line_id], act()
        allowed = line.back + quantity <= line.quantity
        try:
            with self.workshop.write() as session:
                kits.give_back(session, done, line_id, quantity)
        except InvalidInputError:
            assert not allowed
            return
        assert allowed
        step = Step(line_id, line, line._replace(back=line.back + quantity))
        self._did(done.key, [Effect(line.which, quantity, 0)], [step])

    @rule(data=st.data())
    def put_back(self, data: st.DataObject) -> None:
        if not self._in(LineState.PICKED):
            return
        line_id = data.draw(st.sampled_from(self._in(LineState.PICKED)))
        line, done = self.lines[line_id], act()
        try:
            with self.workshop.write() as session:
                kits.put_back(session, done, line_id)
        except InvalidInputError:
            assert line.back == line.quantity
            return
        assert line.back < line.quantity
        step = Step(line_id, line, line._replace(state=LineState.RELEASED, back=line.quantity))
        self._did(done.key, [Effect(line.which, line.quantity - line.back, 0)], [step])

    @rule(back=st.integers(1, 4))
    def undo_one(self, back: int) -> None:
        """Undo one of the last few actions; the model says beforehand whether the shelf allows it."""
        if len(self.undoable) < back:
            return
        key, effects, steps = self.undoable[-back]
        allowed = all(
            0 <= self.promised[which] - change <= self.on_hand[which] - hand for which, hand, change in effects
        ) and all(self._goes_back(step) for step in steps)
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
        for line_id, before, after in steps:
            now = self.lines[line_id]
            if before is None:
                self.lines[line_id] = after._replace(state=LineState.RELEASED)
            else:
                self.lines[line_id] = now._replace(state=before.state, back=now.back - after.back + before.back)

    def _goes_back(self, step: Step) -> bool:
        """A line goes back from the state its action left it in; a pick only once nothing of it has come back."""
        now = self.lines[step.line_id]
        was_picked_now = step.after.state is LineState.PICKED and (
            step.before is None or step.before.state is LineState.HAVE
        )
        return now.state is step.after.state and not (was_picked_now and now.back)

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
        assert have == {line_id: line.quantity for line_id, line in self.lines.items() if line.state is LineState.HAVE}
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


def test_random_days_on_sqlite(sqlite_workshop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Shop, "pattern", sqlite_workshop, raising=False)
    run_state_machine_as_test(Shop, settings=_settings(12, 25))


def test_random_days_on_postgresql(postgres_workshop: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Shop, "address", postgres_workshop)
    run_state_machine_as_test(Shop, settings=_settings(4, 20))
