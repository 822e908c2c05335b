"""Write rows of a list by the thousand: many at once on SQLite, COPY on PostgreSQL. Never an object a row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from sqlmodel import Session

from models.search.terms import compact, indexed, with_grams
from models.supplier_lists.entries import Entry
from models.supplier_lists.recognise import recognise
from models.supplier_lists.words import ReadingState

BATCH: Final = 5000
_COLUMNS: Final = (
    *("supplier_id", "number", "compact", "name", "words", "pack_quantity", "counted_in", "min_packs", "price_minor"),
    *("price_per", "currency", "breaks", "lead_days", "gtin", "size_key", "ring_id_100nm", "ring_width_100nm"),
    *("rubber", "hardness_shore_a", "thread", "volume_ul", "reading_ppm", "reading_state", "added_list_id"),
    "priced_list_id",
)
_OLD_PRICES: Final = ("row_id", "price_minor", "price_per", "currency", "breaks", "from_list_id", "until_list_id")
_FIGURES: Final = (*Entry._fields[2:], "priced_list_id")
_NAMED: Final = ("name", "words", *_COLUMNS[_COLUMNS.index("size_key") : _COLUMNS.index("reading_state") + 1])
_SWITCHES: Final = (
    "SET LOCAL gin_pending_list_limit = '64MB'",
    "SET LOCAL work_mem = '64MB'",
    "SET LOCAL maintenance_work_mem = '128MB'",
)


class Writer:
    """Collects rows and writes them in batches. `flush` must be called at the end."""

    def __init__(self, session: Session, supplier_id: int, list_id: int) -> None:
        self._connection = session.connection()
        self._postgresql = self._connection.dialect.name == "postgresql"
        self._supplier_id = supplier_id
        self._list_id = list_id
        self._added: list[tuple[Any, ...]] = []
        self._changed: list[tuple[Any, ...]] = []
        self._renamed: list[tuple[Any, ...]] = []
        self._back: list[int] = []
        self._withdrawn: list[int] = []
        self._old: list[tuple[Any, ...]] = []
        if self._postgresql:
            for switch in _SWITCHES:
                self._connection.exec_driver_sql(switch)

    def add(self, entry: Entry) -> None:
        """A row that is new."""
        number, name, figures = entry.number, entry.name, entry[2:]
        squeezed = compact(number)
        found_by = (self._supplier_id, number, squeezed, name, self._words(entry, squeezed))
        self._added.append((*found_by, *figures, *_read(entry), self._list_id, self._list_id))
        if len(self._added) >= BATCH:
            self._write_added()

    def change(self, row_id: int, before: Entry, after: Entry, priced_list_id: int, *, was_withdrawn: bool) -> None:
        """A row with other figures or another name, or one that is back."""
        price = slice(Entry._fields.index("price_minor"), Entry._fields.index("breaks") + 1)
        priced_now = after[price] != before[price] or was_withdrawn
        if priced_now and priced_list_id < self._list_id:
            self._old.append((row_id, *tuple(before)[price], priced_list_id, self._list_id))
        figures = (*after[2:], self._list_id if priced_now else priced_list_id)
        if after.name != before.name or was_withdrawn:
            words = self._words(after, compact(after.number))
            self._renamed.append((*figures, after.name, words, *_read(after), row_id))
            if was_withdrawn:
                self._back.append(row_id)
        else:
            self._changed.append((*figures, row_id))
        if len(self._changed) + len(self._renamed) >= BATCH:
            self._write_changed()

    def withdraw(self, row_id: int) -> None:
        """A row that is no longer listed."""
        self._withdrawn.append(row_id)
        if len(self._withdrawn) >= BATCH:
            self._write_withdrawn()

    def flush(self) -> None:
        """Write what is left."""
        self._write_added()
        self._write_changed()
        self._write_withdrawn()

    def _words(self, entry: Entry, squeezed: str) -> str:
        words = indexed(entry.number, entry.name)
        return with_grams(words, squeezed) if self._postgresql else words

    def _write_added(self) -> None:
        if not self._added:
            return
        last = 0 if self._postgresql else self._last_id()
        self._insert("list_rows", _COLUMNS, self._added)
        if not self._postgresql:
            for table, column in _INDEXES:
                self._connection.exec_driver_sql(
                    f"INSERT INTO {table} (rowid, {column}) SELECT id, {column} FROM list_rows WHERE id > ?", (last,)
                )

    def _last_id(self) -> int:
        return int(self._connection.exec_driver_sql("SELECT coalesce(max(id), 0) FROM list_rows").scalar_one())

    def _write_changed(self) -> None:
        indexed_before = [row[-1] for row in self._renamed if row[-1] not in set(self._back)]
        self._index("delete", indexed_before)
        renamed = [row[-1] for row in self._renamed]
        self._update(_FIGURES, self._changed)
        self._update((*_FIGURES, *_NAMED), self._renamed)
        self._index("insert", renamed)
        self._back.clear()
        self._insert("old_prices", _OLD_PRICES, self._old)

    def _write_withdrawn(self) -> None:
        self._index("delete", self._withdrawn)
        words = (None,) if self._postgresql else ()
        columns = ("withdrawn_list_id", "words") if self._postgresql else ("withdrawn_list_id",)
        self._update(columns, [(self._list_id, *words, row_id) for row_id in self._withdrawn])
        self._withdrawn.clear()

    def _insert(self, table: str, columns: Sequence[str], rows: list[tuple[Any, ...]]) -> None:
        if not rows:
            return
        names = ", ".join(columns)
        if self._postgresql:
            driver: Any = self._connection.connection.driver_connection
            with driver.cursor() as cursor, cursor.copy(f"COPY {table} ({names}) FROM STDIN") as copy:
                for row in rows:
                    copy.write_row(row)
        else:
            marks = ", ".join("?" * len(columns))
            self._connection.exec_driver_sql(f"INSERT INTO {table} ({names}) VALUES ({marks})", rows)
        rows.clear()

    def _update(self, columns: Sequence[str], rows: list[tuple[Any, ...]]) -> None:
        """Set the columns of rows by their id, the last value of each."""
        if not rows:
            return
        mark = "%s" if self._postgresql else "?"
        kinds = {"words": "::tsvector"} if self._postgresql else {}
        setting = ", ".join(f"{name} = {mark}{kinds.get(name, '')}" for name in columns)
        back = ", withdrawn_list_id = NULL" if "name" in columns else ""
        self._connection.exec_driver_sql(f"UPDATE list_rows SET {setting}{back} WHERE id = {mark}", rows)
        rows.clear()

    def _index(self, does: str, row_ids: Sequence[int]) -> None:
        """Take rows out of SQLite's search tables or put them in, as they stand in `list_rows` now."""
        if self._postgresql or not row_ids:
            return
        ids = [(row_id,) for row_id in row_ids]
        for table, column in _INDEXES:
            into = f"{table}, rowid, {column}) SELECT 'delete'," if does == "delete" else f"rowid, {column}) SELECT"
            self._connection.exec_driver_sql(
                f"INSERT INTO {table} ({into} id, {column} FROM list_rows WHERE id = ?", ids
            )


_INDEXES: Final = (("list_words", "words"), ("list_numbers", "compact"))


def _read(entry: Entry) -> tuple[Any, ...]:
    """What is read in the row's free text, in the order of its columns."""
    found = recognise(f"{entry.name} {entry.number}")
    state = ReadingState.READ if found.readings else ReadingState.NONE
    return (*found[:7], found.confidence_ppm, state.value)
