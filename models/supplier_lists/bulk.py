"""Write rows of a list by the thousand: many at once on SQLite, COPY on PostgreSQL. Never an object a row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from types import TracebackType
from typing import Any, Final

from sqlalchemy import Index
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from models.search.index import COLUMNS as INDEXED
from models.search.index import INDEX, TABLES
from models.supplier_lists.batches import COLUMNS, FIGURES, NAMED, OLD_PRICES, Batch
from models.tables import ListRow

_SWITCHES: Final = (
    "SET LOCAL gin_pending_list_limit = '64MB'",
    "SET LOCAL work_mem = '64MB'",
    "SET LOCAL maintenance_work_mem = '128MB'",
)
_INDEXES: Final = tuple(zip(TABLES, INDEXED, strict=True))
INDEX_EVERY: Final = 50_000
"""New rows that go into SQLite's search tables at once: each time a run is written, and runs are merged."""
SORT_FROM: Final = 50_000
"""From so many rows on, and when they may be as many as there were, SQLite sorts an index quicker when all are there.
Readers see the file as it was; on PostgreSQL they would have to wait."""
_MORE_MEMORY: Final = "PRAGMA cache_size = -32000"
_AS_BEFORE: Final = "PRAGMA cache_size = -2000"
_HASH: Final = "INSERT INTO {0} ({0}, rank) VALUES ('hashsize', {1})"
_HASH_LONG, _HASH_USUAL = 8 << 20, 1 << 20


_NOTHING: Final[Mapping[str, Any]] = {}


class Writer:
    """Writes batches of one list, within the caller's transaction."""

    def __init__(self, session: Session, list_id: int, most: int, *, all_new: bool) -> None:
        """`most`: rows that may be written. `all_new`: nothing else is asked of the connection till they are."""
        self._all_new = all_new
        self._copying = ExitStack()
        self._copy_to: tuple[str, Any] = ("", None)
        self._connection = session.connection()
        self._postgresql = self._connection.dialect.name == "postgresql"
        self._list_id = list_id
        self._indexed_to = 0
        self._not_indexed = 0
        self._unsorted: list[Index] = []
        if self._postgresql:
            for switch in _SWITCHES:
                self._connection.exec_driver_sql(switch)
        else:
            self._connection.exec_driver_sql(_MORE_MEMORY)
            self._gather(_HASH_LONG)
            self._indexed_to = self._last_id()
            if most >= SORT_FROM and most >= self._indexed_to:
                self._unsorted = sorted(ListRow.metadata.tables["list_rows"].indexes, key=str)
                for index in self._unsorted:
                    index.drop(self._connection)

    def __enter__(self) -> Writer:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Written or stopped: the connection goes back to the pool with the memory it came with."""
        with self._faults():
            self._copying.__exit__(kind, fault, trace)
        if not self._postgresql:
            self._connection.exec_driver_sql(_AS_BEFORE)

    def write(self, batch: Batch) -> None:
        """Write everything in the batch."""
        self._insert("list_rows", COLUMNS, batch.added, batch.same)
        self._not_indexed += len(batch.added)
        if self._not_indexed >= INDEX_EVERY:
            self._index_new()
        self._index("delete", [row[-1] for row in batch.renamed if row[-1] not in batch.back])
        self._index("delete", batch.withdrawn)
        self._update(FIGURES, batch.changed)
        self._update(NAMED, batch.renamed)
        self._withdraw(batch.withdrawn)
        self._index("insert", [row[-1] for row in batch.renamed])
        self._insert("old_prices", OLD_PRICES, batch.old_prices)

    def finish(self) -> None:
        """All batches are written: sort what is only noted down into the index."""
        if self._postgresql:
            self._copied()
            self._connection.exec_driver_sql(f"SELECT gin_clean_pending_list('{INDEX}')")
        else:
            self._index_new()
            for index in self._unsorted:
                index.create(self._connection)
            self._gather(_HASH_USUAL)

    def _gather(self, most: int) -> None:
        """How many bytes of a run of SQLite's search tables are gathered in memory before it is written."""
        for table in TABLES:
            self._connection.exec_driver_sql(_HASH.format(table, most))

    def _last_id(self) -> int:
        return int(self._connection.exec_driver_sql("SELECT coalesce(max(id), 0) FROM list_rows").scalar_one())

    def _withdraw(self, row_ids: Sequence[int]) -> None:
        words = (None,) if self._postgresql else ()
        columns = ("withdrawn_list_id", "words") if self._postgresql else ("withdrawn_list_id",)
        self._update(columns, [(self._list_id, *words, row_id) for row_id in row_ids])

    def _insert(
        self, table: str, columns: Sequence[str], rows: list[tuple[Any, ...]], same: Mapping[str, Any] = _NOTHING
    ) -> None:
        """Add rows, which have the columns but for those that are the same in all of them."""
        if not rows:
            return
        if self._postgresql:
            self._copy(table, [name for name in columns if name not in same], rows, same)
        else:
            values = ", ".join(_literal(same[name]) if name in same else "?" for name in columns)
            self._connection.exec_driver_sql(f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({values})", rows)

    def _copy(self, table: str, columns: Sequence[str], rows: list[tuple[Any, ...]], same: Mapping[str, Any]) -> None:
        """To PostgreSQL. Where all is new batch follows batch, while the server still works on the one before."""
        into, values = f"COPY {table} ({', '.join([*columns, *same])}) FROM STDIN", tuple(same.values())
        if self._copy_to[0] != into:
            self._copied()
            driver: Any = self._connection.connection.driver_connection
            with self._faults():
                cursor = self._copying.enter_context(driver.cursor())
                self._copy_to = (into, self._copying.enter_context(cursor.copy(into)))
        write = self._copy_to[1].write_row
        with self._faults():
            for row in rows:
                write((*row, *values))
        if not self._all_new:
            self._copied()

    def _copied(self) -> None:
        """All that was handed to the server is written."""
        with self._faults():
            self._copying.close()
        self._copy_to = ("", None)

    @contextmanager
    def _faults(self) -> Iterator[None]:
        """What the driver raises by itself is raised as SQLAlchemy has it, which a unit puts in words."""
        dialect = self._connection.dialect
        driver: Any = dialect.loaded_dbapi
        try:
            yield
        except driver.Error as fault:
            raise DBAPIError.instance("COPY", None, fault, driver.Error, dialect=dialect) from fault

    def _update(self, columns: Sequence[str], rows: list[tuple[Any, ...]]) -> None:
        """Set the columns of rows by their id, the last value of each. A row with a new name is listed again."""
        if not rows:
            return
        mark = "%s" if self._postgresql else "?"
        kinds = {"words": "::tsvector"} if self._postgresql else {}
        setting = ", ".join(f"{name} = {mark}{kinds.get(name, '')}" for name in columns)
        back = ", withdrawn_list_id = NULL" if "name" in columns else ""
        self._connection.exec_driver_sql(f"UPDATE list_rows SET {setting}{back} WHERE id = {mark}", rows)

    def _index_new(self) -> None:
        """Put new rows into SQLite's search tables."""
        if self._postgresql or not self._not_indexed:
            return
        for table, column in _INDEXES:
            self._connection.exec_driver_sql(
                f"INSERT INTO {table} (rowid, {column}) SELECT id, {column} FROM list_rows WHERE id > ?",
                (self._indexed_to,),
            )
        self._indexed_to, self._not_indexed = self._last_id(), 0

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


def _literal(value: str | int | None) -> str:
    """A value as SQLite's SQL has it."""
    if value is None:
        return "NULL"
    return str(value) if isinstance(value, int) else "'" + value.replace("'", "''") + "'"
