"""A cat on the keyboard: random keys, bursts, pastes, clicks and resizes over every page, and the ledger judged after.

`python -m tests.faults.monkey --keys 30000 --seed N` prints every end of the app with the moves before it. Timing is
the machine's, so a seed draws the same moves only while the pages answer alike: `--log FILE` keeps every move as it was
drawn, and `--replay FILE` does them again. `--net` runs with the last net under the app, as the real command does.
`--life` as large as `--keys` leaves the app never, and what it holds of memory is said every thousand keys.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import gc
import os
import random
import shutil
import sys
import tempfile
import time
import traceback
from collections import Counter, deque
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from textual import events
from textual.geometry import Size
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget

import tui.bounce
import tui.steady
from tests.models import replay
from tui.app import KitwrightApp
from tui.commands.app import COLLECTED

LIFE = 1500
"""Keys until the app is left by its own key and started again on the same workshop."""
PATIENCE = 60.0
"""Seconds that one move may take; more is a hang."""
TURN = 0.005
"""Seconds between two looks at the app's queue."""
MOST_WAITING = 40
"""Keys in the app's queue before the next is sent."""
TOLD = 60
"""Deeds printed before an end."""

MARK = 1000
"""Keys of one life between two looks at the memory."""

SIZES = ((80, 24), (120, 40), (100, 30), (40, 12), (71, 23), (20, 5), (200, 60), (1, 1), (80, 10))
PASTES = (
    "24.9", "1 1/8 in", "[/foo] x", '[b 3/8"', "[red]r[/red]", "漢字の缶", "e\u0301\u0301", "עברית", "🔧🔧", "a\x00b",
    "a\nb\nc", "\x1b[31m", "w" * 5000, "9" * 400, "-1", "0", "1e999", "nan", "½", "%_'\";--", "\u202e\u2066x",
    "2026-02-30", "KITBIN B3", "04006381333931", "list.csv", "sheet.pdf", "AS568-214", "UTTO", "M10 × 1.5", "\t\t\r\n",
)  # fmt: skip
NAMED = (
    "enter", "escape", "tab", "shift+tab", "up", "down", "left", "right", "pageup", "pagedown", "home", "end",
    "backspace", "delete", "space", "f1", "f2", "f3", "f4", "f5", "f6", "f7", "f8", "f9", "f11", "f12",
    "ctrl+f", "ctrl+y", "ctrl+p", "ctrl+o", "ctrl+n", "ctrl+g", "ctrl+t", "ctrl+a", "ctrl+u", "ctrl+w", "ctrl+k",
    "ctrl+c", "ctrl+v", "ctrl+x", "ctrl+b", "ctrl+e", "ctrl+d", "ctrl+l", "ctrl+r", "ctrl+j", "shift+home",
    "alt+e", "alt+f", "alt+g", "alt+m", "alt+t", "alt+i", "question_mark", "slash", "ctrl+home", "ctrl+end",
)  # fmt: skip
AREAS = ("f2", "f3", "f4", "f5", "f11", "ctrl+f", "ctrl+y")
LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789./- ABCXYZ"
WORDS = ("unit", "help", "theme", "buy", "key", "max", "pick", "oil", "o-ring", "24.9", "214", "3.53", "hyd")
# Left to the end of a life: what leaves the app.
LEAVES = ("f10", "ctrl+q")


class Move(NamedTuple):
    """What is done at once: keys, or a paste, a size, a click; and the rest after it in seconds (0 yields once)."""

    kind: str
    what: tuple[str, ...]
    rest: float

    def written(self) -> str:
        """One line of the log."""
        return f"{self.kind} {self.rest} {' '.join(self.what)}"


def read(line: str) -> Move:
    """A line of the log."""
    kind, rest, *what = line.split()
    return Move(kind, tuple(what), float(rest))


class Subject(KitwrightApp):
    """The app under the cat: it opens no browser, and is left only when we say so."""

    def __init__(self, data: str, *, net: bool, guide: bool = False) -> None:
        super().__init__(data=data, demo=guide)
        self.net = net
        if guide:
            self.action_guide()
        self.may_leave = False
        self.faults: list[BaseException] = []

    async def action_quit(self) -> None:
        """Only at the end of a life."""
        if self.may_leave:
            await super().action_quit()

    def waited_in_vain(self, page: Screen[Any]) -> None:
        """A page that never stands is a fault."""
        parts = [repr(part) for part in page.walk_children(Widget) if not part.is_mounted]
        raise AssertionError(f"{page!r} never stood, mounted {page.is_mounted}, without {parts}, {list(self.workers)}")

    def open_url(self, url: str, *, new_tab: bool = True) -> None:
        """Nothing is opened."""

    def action_suspend_process(self) -> None:
        """The terminal is ours."""


class Cat:
    """Draws moves; what is bound on the open page is likelier than what is not."""

    def __init__(self, seed: int, *, slow: bool) -> None:
        self._random = random.Random(seed)
        self._slow = slow

    def move(self, screen: Screen[Any]) -> Move:
        """The next one."""
        draw = self._random
        kind = draw.random()
        if kind < 0.04:
            return Move("paste", (str(draw.randrange(len(PASTES))),), self._rest())
        if kind < 0.06:
            return Move("size", tuple(map(str, draw.choice(SIZES))), self._rest())
        if kind < 0.13:
            times = draw.choice((1, 1, 2, 3))
            return Move("click", (str(draw.random()), str(draw.random()), str(times)), self._rest())
        if kind < 0.15:
            return Move("wheel", (str(draw.random()), str(draw.random()), draw.choice(("1", "-1"))), self._rest())
        if kind < 0.20:
            return Move("keys", tuple(self._typed(draw.choice(WORDS))), self._rest())
        if kind < 0.23:
            return Move("keys", (draw.choice(AREAS), self._key(screen), self._key(screen)), self._rest())
        if kind < 0.26:
            word = self._typed(draw.choice(WORDS))
            return Move("keys", ("ctrl+p", *word, *("enter",) * draw.randint(1, 3)), self._rest())
        count = 1 if kind < 0.6 else draw.randint(2, 9)
        same = draw.random() < 0.25
        first = self._key(screen)
        return Move("keys", tuple(first if same else self._key(screen) for _ in range(count)), self._rest())

    @staticmethod
    def _typed(word: str) -> list[str]:
        return ["space" if letter == " " else letter for letter in word]

    def _rest(self) -> float:
        draw = self._random.random()
        if self._slow:
            return 0.0 if draw < 0.4 else 0.01 if draw < 0.7 else 0.08 if draw < 0.9 else 0.4
        return 0.0 if draw < 0.5 else 0.005 if draw < 0.9 else 0.05

    def _key(self, screen: Screen[Any]) -> str:
        draw = self._random
        chance = draw.random()
        if chance < 0.5:
            bound = sorted(key for key in screen.active_bindings if key not in LEAVES)
            if bound:
                return draw.choice(bound)
        if chance < 0.8:
            return draw.choice(NAMED)
        letter = draw.choice(LETTERS)
        return "space" if letter == " " else letter


def _key_event(key: str) -> events.Key:
    import unicodedata

    from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key

    if len(key) == 1 and not key.isalnum():
        key = _character_to_key(key)
    character: str | None
    try:
        character = unicodedata.lookup(_get_unicode_name_from_key(REPLACED_KEYS.get(key, key)))
    except KeyError:
        character = key if len(key) == 1 else None
    return events.Key({"enter": "enter"}.get(key, key), {"enter": "\r", "tab": "\t"}.get(key, character))


async def do(app: KitwrightApp, move: Move) -> int:
    """Do it as the terminal would send it, and rest. Answers with the number of keys."""
    match move.kind:
        case "keys":
            for key in move.what:
                app.post_message(_key_event(key))
        case "paste":
            app.post_message(events.Paste(PASTES[int(move.what[0])]))
        case "size":
            width, height = map(int, move.what)
            driver = app._driver
            assert driver is not None
            driver._size = (width, height)
            app.post_message(events.Resize(Size(width, height), Size(width, height), Size(width, height)))
        case "click":
            across, down, times = move.what
            for _ in range(int(times)):
                for kind in (events.MouseMove, events.MouseDown, events.MouseUp):
                    app.post_message(_mouse(app, kind, float(across), float(down)))
        case "wheel":
            across, down, way = move.what
            wheel = events.MouseScrollDown if way == "1" else events.MouseScrollUp
            app.post_message(_mouse(app, wheel, float(across), float(down)))
    await asyncio.sleep(move.rest)
    return len(move.what) if move.kind == "keys" else 1


def _mouse(app: KitwrightApp, kind: type[events.MouseEvent], across: float, down: float) -> events.MouseEvent:
    x, y = int(across * app.size.width), int(down * app.size.height)
    button = 1 if kind in (events.MouseDown, events.MouseUp) else 0
    return kind(None, x, y, 0, 0, button, False, False, False, x, y)


def memory() -> int:
    """What this process holds, in MB; 0 where no file tells."""
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    except OSError:
        return 0
    return pages * os.sysconf("SC_PAGE_SIZE") // 2**20


class End(NamedTuple):
    """One end of the app by a fault, or a task that failed unseen."""

    what: str
    where: str
    told: str
    moves: tuple[Move, ...]


def _end(fault: BaseException, moves: deque[Move]) -> End:
    inner = getattr(fault, "error", None) or fault
    frames = traceback.extract_tb(inner.__traceback__)
    ours = [f for f in frames if "/tui/" in f.filename or "/models/" in f.filename] or list(frames)
    where = f"{Path(ours[-1].filename).name}:{ours[-1].lineno} {ours[-1].name}" if ours else "?"
    told = "".join(traceback.format_exception(inner))
    return End(f"{type(inner).__name__}: {str(inner)[:100]}", where, told, tuple(moves))


class Run:
    """One cat, one workshop, as many lives as the keys last."""

    def __init__(
        self, where: Path, seed: int, *, slow: bool, net: bool, log: Path | None, tell: Callable[[str], None],
        guide: bool = False,
    ) -> None:  # fmt: skip
        self._where = where
        self._tell = tell
        self._cat = Cat(seed, slow=slow)
        self._net = net
        self._guide = guide
        self._log = log
        self.keys = 0
        self.lives = 0
        self.caught = 0
        self.pages: Counter[str] = Counter()
        self.ends: list[End] = []

    async def live(self, most: int, given: Iterator[Move] | None = None) -> None:
        """Start the app, do up to `most` keys, leave it. An end by a fault is kept."""
        self.lives += 1
        app = Subject(str(self._where), net=self._net, guide=self._guide)
        moves: deque[Move] = deque(maxlen=TOLD)
        loose: list[BaseException] = []

        def unseen(_loop: object, context: dict[str, Any]) -> None:
            fault = context.get("exception")
            if fault is not None:
                loose.append(fault)

        asyncio.get_running_loop().set_exception_handler(unseen)
        try:
            async with app.run_test(size=(100, 30), tooltips=True, notifications=True) as pilot:
                await asyncio.wait_for(self._play(app, pilot, most, moves, given), None)
        except Exception as fault:
            self._ended(_end(fault, moves))
        for unseen_fault in loose:
            self._ended(_end(unseen_fault, moves))
        self.caught += app.caught

    def _ended(self, end: End) -> None:
        self.ends.append(end)
        self._tell(f"\n--- {end.what}  [{end.where}]\n{end.told}\ndeeds before it, oldest first:")
        for move in end.moves:
            self._tell("  " + move.written())

    async def _play(
        self, app: Subject, pilot: Pilot[Any], most: int, moves: deque[Move], given: Iterator[Move] | None
    ) -> None:
        until, mark = self.keys + most, self.keys + MARK
        while self.keys < until and app._exception is None and app._running:
            try:
                screen = app.screen
            except Exception:
                break
            self.pages[type(screen).__name__] += 1
            move = self._cat.move(screen) if given is None else next(given, None)
            if move is None:
                break
            moves.append(move)
            if self._log is not None:
                with self._log.open("a", encoding="utf-8") as out:
                    out.write(move.written() + "\n")
            self.keys += await do(app, move)
            if self.keys >= mark:
                mark += MARK
                await self.marked(app)
            # As slow as the app: what waits in its queue is what a terminal's buffer would hold.
            await self._until_taken(app)
        app.may_leave = True
        if app._exception is None and app._running:
            with contextlib.suppress(Exception):
                await asyncio.wait_for(pilot.pause(), PATIENCE)
            for _ in range(8):
                app.post_message(_key_event("escape"))
            app.post_message(_key_event("f10"))
            await asyncio.sleep(0.05)

    async def marked(self, app: Subject) -> None:
        """So many keys more were pressed: say what is held."""
        self._tell(f"{self.keys} keys, {memory()} MB")

    async def _until_taken(self, app: Subject) -> None:
        """Wait until the app has taken nearly all. As long as it takes anything it doesn't hang, however slow it is.

        Counted in turns of the loop: a process that gets no time on a busy machine gets few of them.
        """
        fewest, turns = app.message_queue_size, 0
        while app.message_queue_size > MOST_WAITING and app._exception is None and app._running:
            await asyncio.sleep(TURN)
            turns += 1
            if app.message_queue_size < fewest:
                fewest, turns = app.message_queue_size, 0
            if turns * TURN > PATIENCE:
                raise TimeoutError(f"the app took no key for {PATIENCE} s")


def judge(where: Path) -> None:
    """The program's own check, and the ledger walked without it. Raises where anything is wrong."""
    from models.database import open_workshop
    from models.storage.check import check

    workshop = open_workshop(where)
    try:
        with workshop.read() as session:
            report = check(session)
    finally:
        workshop.close()
    assert report.ok, report.findings
    replay.replayed(str(where))
    replay.received_of_orders(str(where))


@contextlib.contextmanager
def ground(folder: Path) -> Iterator[Path]:
    """A folder to stand in, with every folder of the person's own set to it. Pages may be as slow as a busy machine."""
    before, here = dict(os.environ), Path.cwd()
    home = folder / "home"
    home.mkdir(exist_ok=True)
    os.environ.update(
        HOME=str(home), KITWRIGHT_DATA=str(home / "data"), XDG_STATE_HOME=str(home / "state"),
        XDG_DOWNLOAD_DIR=str(home), TEXTUAL_ANIMATIONS="none",
    )  # fmt: skip
    os.chdir(home)
    patience, tui.steady.LONGEST = tui.steady.LONGEST, PATIENCE
    try:
        yield home
    finally:
        tui.steady.LONGEST = patience
        os.chdir(here)
        os.environ.clear()
        os.environ.update(before)


def template(folder: Path) -> Path:
    """The demo workshop, closed, to copy from."""
    from models.demo.orchard import open_demo

    file = folder / "template.sqlite3"
    if not file.exists():
        open_demo(file).close()
    return file


def play(
    folder: Path, seed: int, keys: int, *, slow: bool, net: bool, log: Path | None = None,
    moves: list[Move] | None = None, life: int = LIFE, tell: Callable[[str], None] = lambda line: None,
    guide: bool = False,
) -> Run:  # fmt: skip
    """A whole run on a fresh copy of the demo workshop, judged at its end."""
    where = folder / f"workshop-{seed}{'-slow' if slow else ''}.sqlite3"
    shutil.copy(template(folder), where)
    run = Run(where, seed, slow=slow, net=net, log=log, tell=tell, guide=guide)
    given = iter(moves) if moves is not None else None
    while run.keys < keys:
        before = run.keys
        asyncio.run(run.live(min(life, keys - run.keys), given))
        tell(f"{run.keys} keys, {len(run.ends)} ends, {run.caught} caught")
        if run.keys == before:
            break
    judge(where)
    return run


def say(line: str) -> None:
    """A line, at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> int:
    """Play, print, judge."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--keys", type=int, default=30_000)
    parser.add_argument("--seed", type=int, default=random.randrange(10**6))
    parser.add_argument("--net", action="store_true", help="with the last net under the app")
    parser.add_argument("--slow", action="store_true", help="rests as long as hands take, beside bursts")
    parser.add_argument("--bare", action="store_true", help="no rest for double taps: every key counts")
    parser.add_argument("--log", type=Path, help="append every move to this file")
    parser.add_argument("--replay", type=Path, help="do the moves of this file")
    parser.add_argument("--guide", action="store_true", help="with the guide through the demo's day")
    parser.add_argument("--life", type=int, default=LIFE, help="keys until the app is left and started again")
    given = parser.parse_args()
    if given.bare:
        tui.bounce.REST = 0.0
    gc.set_threshold(*COLLECTED)
    log = given.log.absolute() if given.log else None
    moves = None
    if given.replay:
        moves = [read(line) for line in given.replay.read_text(encoding="utf-8").splitlines() if line.strip()]
    say(f"seed {given.seed}")
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as name, ground(Path(name)):
        run = play(
            Path(name),
            given.seed,
            given.keys,
            slow=given.slow,
            net=given.net,
            log=log,
            moves=moves,
            life=given.life,
            tell=say,
            guide=given.guide,
        )
    say("\npages: " + ", ".join(f"{page} {count}" for page, count in run.pages.most_common()))
    say(
        f"seed {given.seed}: {run.keys} keys in {run.lives} lives, {len(run.ends)} ends, "
        f"{run.caught} caught by the net, {time.monotonic() - began:.0f} s; check and ledger hold"
    )
    return 1 if run.ends else 0


if __name__ == "__main__":
    sys.exit(main())
