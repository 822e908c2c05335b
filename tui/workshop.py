"""The screens' way to the workshop's database: each method is one unit of work, called from a worker's thread.

What costs time of `models` is reached through its door: nothing here loads SQLModel before it is called.
Answers are frozen rows; no session and no table object ever reaches a widget.
"""

from __future__ import annotations

import getpass
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import models
from catalog import orings
from models import glance, inventory, storage, undoing

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlmodel import Session

    from catalog.orings.evidence import Evidence
    from catalog.orings.groove import Groove
    from catalog.orings.on_shelf import ShelfRing
    from catalog.orings.port_book import PortBook
    from catalog.orings.size_book import SizeBook
    from catalog.orings.would_do import WouldDo
    from models.acts import Act, Clock
    from models.database import Workshop as Database
    from models.glance.asking import Look
    from models.glance.on_hand import OnHand
    from models.job_rows import JobRow
    from models.kitting.kit_view import KitView, NeedView
    from models.kitting.needs import NeedSpec
    from models.orders.short_rows import Short
    from models.search.found import Page
    from models.shelf import MovementRow
    from models.stock_rows import StockPage, StockRow
    from models.storage.address import Server

Answer = TypeVar("Answer")

OWN_KEYS = 1_000
"""Keys of the last changes made here that are remembered, to tell them from what others book."""
# A list on screen is cut here, and says so.
MOST_ROWS = 500


class ChosenRing(NamedTuple):
    """A ring somebody wants on a kit: its size and other names for it, how it was found, and where it goes.

    `critical`: the place is; it is asked once more before the kit takes it. `doubt`: its chance, and what may be wrong.
    `seals`: the chance that it seals, `would_do`: the other rings that would do; see `catalog.orings.would_do`.
    `rubbers`: those that may go in, best first, where the fluid was said; `lying`: those of such rings on the shelf.
    `note`: whose ring it is, in the user's own words. `meets`: the fluid and the heat (°C), where they are new at the
    position.
    """

    label: str
    size_key: str
    equivalents: tuple[str, ...] = ()
    probability: float | None = None
    evidence: Evidence | None = None
    groove: Groove | None = None
    position_id: int | None = None
    machine_id: int | None = None
    machine: str = ""
    critical: bool = False
    doubt: str = ""
    seals: float | None = None
    would_do: tuple[WouldDo, ...] = ()
    rubbers: tuple[str, ...] = ()
    lying: tuple[str, ...] = ()
    note: str = ""
    meets: tuple[str, int | None] | None = None

    def spec(self, pieces: int, spares: int) -> NeedSpec:
        """It as a need."""
        found = "chosen from the catalog" if self.evidence is None else "measured"
        return models.kits.NeedSpec(
            models.words.Kind.RING,
            pieces,
            spares,
            self.label,
            self.size_key,
            equivalents=self.equivalents,
            rubbers=self.rubbers,
            groove=self.groove,
            position_id=self.position_id,
            probability=self.probability if self.probability is not None else 1.0,
            why=f"{found}: {self.note}" if self.note else found,
            evidence=self.evidence,
            seals=self.seals,
            would_do=self.would_do,
            others=models.words.Others.NEVER if self.critical else models.words.Others.WOULD_DO,
        )


class Known(NamedTuple):
    """Item names, each with what it is counted in, and bin codes."""

    items: dict[str, str]
    bins: tuple[str, ...]


def user() -> str:
    """Who works here: the login name, or a word where there is none."""
    try:
        return getpass.getuser() or "bench"
    except (OSError, KeyError, ImportError):
        return "bench"


_LOADING = threading.Lock()


def load() -> None:
    """Import what all models stand on, one thread at a time.

    Every thread calls this before its first call into `models`. SQLAlchemy's modules import each other in a circle, and
    two threads that enter the circle at different places find a module half made.
    """
    with _LOADING:
        import_module("models.database")


class Workshop:
    """Opens the database at the first call, and remembers what this session did so that it can be undone."""

    def __init__(self, data: str | None, demo: bool, who: str | None = None) -> None:
        self._data = data
        self._demo = demo
        self._who = who or user()
        self._opening = threading.Lock()
        self._undoing = threading.Lock()
        self._database: Database | None = None
        self._done: list[str] = []
        self._own: deque[str] = deque(maxlen=OWN_KEYS)
        self._refused = ""
        self._in_doubt = ""
        """The key of a change in the middle of which the workshop could not be reached any more."""
        self._noticed: tuple[str, ...] = ()

    def open(self) -> Database:
        """The open database. Raises `WorkshopError` with sentences for the screen."""
        with self._opening:
            if self._database is None:
                self._database = self._open()
            return self._database

    def wrong_value(self) -> models.errors.WorkshopError | None:
        """What stands in the database that can't be where it is, in sentences; None where nothing does."""
        try:
            return self.open().wrong_value()
        except models.errors.WorkshopError as problem:
            return problem

    @property
    def named(self) -> str | None:
        """Where its data is, as `--data` said it; None for the usual place."""
        return self._data

    @property
    def is_demo(self) -> bool:
        """Whether it is the invented one."""
        return self._demo

    def place(self) -> Path | Server:
        """Where it lies, for what only glances at it. Raises `WorkshopError`."""
        return storage.locations.place(self._data, self._demo)

    @property
    def file(self) -> Path | None:
        """The file that it is or will be in; None for one on a server. Raises `WorkshopError`."""
        place = self.place()
        return place if isinstance(place, Path) else None

    def _open(self) -> Database:
        if self._demo:
            return models.demo.orchard.open_demo(Path(self._data) if self._data else None)
        if self._data is not None:
            return models.database.open_workshop(self._data)
        file: Path = storage.locations.workshop_file()
        storage.locations.make_folder(file.parent)
        return models.database.open_workshop(file)

    def today(self) -> date:
        """The workshop's day."""
        return self._clock().date()

    def now(self) -> datetime:
        """The moment, in the zone of the clock on the wall."""
        return self._clock().astimezone(models.moments.WALL)

    @property
    def _clock(self) -> Clock:
        """The open database's clock; before it is open, the one that it will have."""
        return models.acts.now if self._database is None else self._database.clock

    def warm(self) -> None:
        """Load what the lists need and open the database before anybody asks (0.6 s, nearly all of it imports)."""
        load()
        for module in ("models.jobs", "models.kits", "models.shelf"):
            import_module(module)
        self.open()
        if trouble := self.keep_backup():
            self._noticed = (*self._noticed, trouble)

    @property
    def has_booked(self) -> bool:
        """Whether anything was written and committed here."""
        return self.commits > 0

    @property
    def commits(self) -> int:
        """How often anything was written and committed here."""
        return 0 if self._database is None else self._database.commits

    def noticed(self) -> tuple[str, ...]:
        """What was set right or looked alike in names typed since the last call, in sentences."""
        if self._database is None:
            return ()

        said, self._noticed = (*self._noticed, *models.noticing.taken()), ()
        return said

    def keep_backup(self) -> str:
        """Make the day's backup where there is none yet; says why it could not be made, mostly nothing."""
        database = self._database
        # The demo is no shop: it is made again if lost.
        if database is None or database.file is None or self._demo:
            return ""
        return storage.daily.keep(database.file, database.clock())

    def close(self) -> None:
        """Let go of the database."""
        with self._opening:
            if self._database is not None:
                self._database.close()
                self._database = None

    @contextmanager
    def _read(self) -> Iterator[Session]:
        with self.open().read() as session:
            yield session

    def read(self, look: Callable[[Session], Answer]) -> Answer:
        """What a screen's own function finds in the workshop."""
        with self._read() as session:
            return look(session)

    def change(self, change: Callable[[Session, Act], Answer]) -> Answer:
        """Make one change under a fresh key, and note the key for undo once it is committed."""
        database = self.open()
        models.noticing.taken()
        self._settle_doubt(database)
        act = self._act(database)
        try:
            with database.write() as session:
                answer = change(session, act)
        except models.errors.WorkshopUnavailableError:
            self._in_doubt = act.key
            raise
        self._done.append(act.key)
        # Told by another thread, once the screen has shown the answer.
        self._noticed = (*self._noticed, *models.noticing.taken())
        return answer

    @property
    def who(self) -> str:
        """Who works here."""
        return self._who

    def _settle_doubt(self, database: Database) -> None:
        """Where the line was lost in the middle of a change, nobody knows whether it was booked until it is looked up.

        Raises `AlreadyThereError` where it was: done once more, it would be booked twice.
        """
        if not self._in_doubt:
            return
        with database.read() as session:
            booked = models.actions.is_booked(session, self._in_doubt)
        key, self._in_doubt = self._in_doubt, ""
        if booked:
            self._done.append(key)
            raise models.errors.AlreadyThereError(
                "What you did as the line was lost was booked after all.",
                "Look before you do it again; F9 takes it back.",
            )

    def _act(self, database: Database) -> Act:
        """A fresh act; its key is known for one of ours before anybody can see it in the log."""
        act = models.acts.by(self._who, clock=database.clock)
        self._own.append(act.key)
        return act

    def is_own(self, key: str) -> bool:
        """Whether an action of that key was booked here; what one change books beside it has a key made of its own."""
        return any(own in key for own in tuple(self._own))

    @property
    def done(self) -> int:
        """How many changes of this session undo still knows, for a window that takes back only its own."""
        return len(self._done)

    def undo(self, since: int = 0) -> str:
        """Take back this session's last change; says what was undone, or "" when there is nothing left.

        `since`: a count `done` gave before; what was done before that stays. What has no effect any more is passed
        over. A change that can't be taken back is refused in words, and the next call goes on to the one before it;
        one that only something in its way keeps from it is tried once more first.
        """
        # One after the other: F9 twice in a burst runs in two threads, and a change may be made meanwhile in a third.
        with self._undoing:
            return self._undo_last(since)

    def _undo_last(self, since: int) -> str:
        while len(self._done) > since:
            database = self.open()
            key = self._done[-1]
            before = "; F9 again goes on to the change before it" if len(self._done) > since + 1 else ""
            with database.read() as session:
                why = undoing.undo.why_final(session, key)
                empty = not why and not undoing.undo.has_effect(session, key)
            if why:
                self._done.remove(key)
                raise models.errors.CannotUndoError(f"{why}{before}.")
            if empty:
                self._done.remove(key)
                continue
            try:
                with database.write() as session:
                    undone = undoing.undo.undo(session, self._act(database), key)
            except models.errors.CannotUndoError as refused:
                if self._refused != key:
                    self._refused = key
                    raise
                self._done.remove(key)
                raise models.errors.CannotUndoError(f"{refused.happened} It stays as it is{before}.") from refused
            self._done.remove(key)
            return undone.what
        return ""

    # Kits

    def jobs(self) -> tuple[JobRow, ...]:
        """The open jobs, most urgent first."""
        with self._read() as session:
            return models.jobs.listed(session, limit=MOST_ROWS)

    def open_job(self, title: str, machine_id: int | None = None) -> JobRow:
        """Open a job, on a machine or on the bench."""
        return self.change(lambda session, act: models.jobs.open_job(session, act, title=title, machine_id=machine_id))

    def kit(self, job_id: int) -> KitView:
        """A job's kit as it stands."""
        with self._read() as session:
            return models.kits.view(session, job_id)

    def accept(self, job_id: int, chosen_ring: ChosenRing, pieces: int, spares: int) -> NeedView:
        """A size becomes a need on a job's kit and is looked for on the shelf, in one change."""
        self._note_meets(chosen_ring)
        spec = chosen_ring.spec(pieces, spares)
        return self.change(lambda session, act: models.kits.put_on(session, act, job_id, spec, measured=True))

    def _note_meets(self, chosen_ring: ChosenRing) -> None:
        """What was said of a position's fluid stays with it, in a change of its own before the ring's."""
        position_id, meets = chosen_ring.position_id, chosen_ring.meets
        if position_id is not None and meets is not None:
            fluid, hottest_c = meets
            self.change(
                lambda session, act: models.machines.set_meets(
                    session, act, position_id, fluid=fluid, hottest_c=hottest_c
                )
            )

    # Shelf

    def rings_on_shelf(self) -> tuple[ShelfRing, ...] | None:
        """The rings that lie on the shelf and have not expired, read at a glance; None where they can't be seen so."""
        try:
            found = glance.shelf_rings.rings_on_shelf(self.place())
        except models.errors.WorkshopError:
            return None
        today = self.today()
        return None if found is None else tuple(one for one in found if not one.has_expired(today))

    def is_new(self) -> bool | None:
        """Whether nothing was ever booked, by a glance; None where it can't tell, as while the database is made."""
        try:
            return glance.newness.is_new(self.place())
        except models.errors.WorkshopError:
            return False  # who asks for it is told why

    def on_hand(self, gather: Callable[[Iterable[OnHand]], Answer]) -> Answer | None:
        """What `gather` makes of all that lies on the shelf and has not expired; None where it can't be seen so.

        It is read at a glance and handed over one after another: a large shop's is tens of thousands of rows.
        """
        today = self.today()
        try:
            return glance.on_hand.gathered(
                self.place(), lambda found: gather(one for one in found if not one.has_expired(today))
            )
        except models.errors.WorkshopError:
            return None

    def size_book(self) -> SizeBook:
        """Every ring size there is, the shop's own among them, read at a glance; the standard ones where it can't."""
        return self.own_sizes() or orings.size_book.built_in()

    def own_sizes(self) -> SizeBook | None:
        """The same; None where the shop's own can't be read."""
        return self._seen(glance.own_sizes.book_seen, orings.size_book.built_in())

    def port_book(self) -> PortBook:
        """Every port there is, the shop's own among them, read at a glance; the standard ones where it can't."""
        return self.own_ports() or orings.port_book.built_in()

    def own_ports(self) -> PortBook | None:
        """The same; None where the shop's own can't be read."""
        return self._seen(glance.own_ports.book_seen, orings.port_book.built_in())

    def _seen(self, seen: Callable[[Look], Answer], built_in: Answer) -> Answer | None:
        """What a glance sees of the shop's own rows; the built-in ones alone where there is no workshop yet."""
        try:
            place = self.place()
        except models.errors.WorkshopError:
            return None
        if isinstance(place, Path) and not (place.is_file() and place.stat().st_size):
            return built_in
        return glance.asking.ask(place, seen)

    def first_stock(self) -> StockPage | None:
        """What `stock("")` gives, read at a glance while the database is not open yet; None where `stock` has to be
        asked. It and its like may come before `load`, and load nothing that costs time.
        """
        page = self._glanced(lambda place: glance.first_rows.first_rows(place, MOST_ROWS))
        # Nothing there: it may be a demo that was never filled.
        return page if page is not None and page.total else None

    def first_jobs(self) -> tuple[JobRow, ...] | None:
        """What `jobs` gives, as `first_stock` is read; None where `jobs` has to be asked."""
        return self._glanced(lambda place: glance.jobs.open_jobs(place, MOST_ROWS)) or None

    def first_found(self, limit: int) -> Page | None:
        """The first rows that a search for nothing gives, as `first_stock` is read; None where it has to be asked."""
        page = self._glanced(lambda place: glance.found.first_found(place, limit))
        return page if page is not None and page.rows else None

    def first_shorts(self, *, by_date: bool = True) -> tuple[Short, ...] | None:
        """What is short by what stands written, as `first_stock` is read; None where `Buying.shorts` must be asked."""
        today = self.today()
        return self._glanced(lambda place: glance.shorts.first_shorts(place, today, by_date=by_date)) or None

    def _glanced(self, question: Callable[[Path | Server], Answer | None]) -> Answer | None:
        """What a glance tells while the database is not open yet; None where the ordinary way has to be taken."""
        if self._database is not None:
            return None
        try:
            place = self.place()
        except models.errors.WorkshopError:
            return None  # the ordinary way says why
        return question(place)

    def stock(self, text: str) -> StockPage:
        """What lies where, narrowed by `text`."""
        with self._read() as session:
            return models.shelf.stock_rows(session, text, limit=MOST_ROWS)

    def stock_of_sizes(self, size_keys: Sequence[str]) -> tuple[StockRow, ...]:
        """What lies on the shelf of rings of any of these sizes."""
        found: dict[int, StockRow] = {}
        with self._read() as session:
            for key in size_keys:
                for row in models.shelf.stock_rows(
                    session, key.partition(":")[2], kind=models.words.Kind.RING, limit=MOST_ROWS
                ).rows:
                    if row.size_key == key:
                        found[row.stock_id] = row
        return tuple(found.values())

    def movements(self, stock_id: int) -> tuple[MovementRow, ...]:
        """The last entries of one stock row's ledger, newest first."""
        with self._read() as session:
            return inventory.history.movements(session, stock_id, limit=20)

    def known(self) -> Known:
        """Items and bins there are, for a form to offer."""
        with self._read() as session:
            page = inventory.items.page(session, limit=MOST_ROWS)
            found = {row.name: str(row.counted_in) for row in page.rows}
            return Known(found, tuple(row.code for row in inventory.bins.page(session, limit=MOST_ROWS)))

    def count(self, stock_id: int, counted: int) -> StockRow:
        """Set right what a bin holds."""
        return self.change(lambda session, act: models.shelf.count(session, act, stock_id=stock_id, counted=counted))
