"""One import under way: it runs in one thread from reading to writing, and waits in between for a yes."""

from __future__ import annotations

import threading
from collections import Counter
from enum import StrEnum
from typing import TYPE_CHECKING, Final, NamedTuple

import models
from models import supplier_lists

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.acts import Act
    from models.supplier_lists.changes import Change
    from models.supplier_lists.layout import Layout
    from models.supplier_lists.loading import Loaded
    from models.supplier_lists.progress import Progress
    from models.supplier_lists.source import Source
    from models.supplier_lists.staging import Staged
    from models.supplier_lists.suppliers import SupplierRow
    from tui.workshop import Workshop

MOST_OF_EACH: Final = 500
"""Changes of each kind kept to be shown; all are counted."""


class Phase(StrEnum):
    """Where the import stands."""

    LOOKING = "looking"
    ASKING = "asking"
    WRITING = "writing"
    DONE = "done"
    STOPPED = "stopped"
    FAILED = "failed"


class DryRun(NamedTuple):
    """How many rows each kind of change has, how many lines were read, and the first changes of each kind."""

    counts: dict[str, int]
    entries: int
    shown: tuple[Change, ...]


class Import:
    """The import, for the screen to look at. `run` is called in a thread; everything else by the screen."""

    def __init__(self, workshop: Workshop, source: Source, layout: Layout, supplier: SupplierRow) -> None:
        self._workshop = workshop
        self._source = source
        self._layout = layout
        self.supplier = supplier
        self.phase = Phase.LOOKING
        self.progress: Progress | None = None
        self.dry_run: DryRun | None = None
        self.loaded: Loaded | None = None
        self.fault = ""
        self._stop = threading.Event()
        self._answer = threading.Event()

    @property
    def file_name(self) -> str:
        """The file's name."""
        return self._source.file.name

    @property
    def over(self) -> bool:
        """Whether nothing more will happen."""
        return self.phase in (Phase.DONE, Phase.STOPPED, Phase.FAILED)

    def go(self) -> None:
        """Write what the dry run showed."""
        self._answer.set()

    def stop(self) -> None:
        """Stop; the list stays as it was."""
        self._stop.set()
        self._answer.set()

    def run(self) -> None:
        """Read, compare, wait, write. Never raises a `WorkshopError`: `phase` and `fault` say how it ended."""
        try:
            with supplier_lists.staging.stage(
                self._source, self._layout, self.supplier.currency, watch=self._watch
            ) as staged:
                self.dry_run = self._workshop.read(lambda session: self._compare(session, staged))
                self.phase = Phase.ASKING
                self._answer.wait()
                if self._stop.is_set():
                    self.phase = Phase.STOPPED
                    return
                self.progress = None
                self.phase = Phase.WRITING
                self.loaded = self._workshop.change(lambda session, act: self._write(session, act, staged))
            self.phase = Phase.DONE
        except supplier_lists.progress.CancelledError:
            self.phase = Phase.STOPPED
        except models.errors.WorkshopError as problem:
            self.fault = str(problem)
            self.phase = Phase.FAILED
        except OSError as problem:
            self.fault = f"{self.file_name} can't be read any more ({problem.strerror or problem}). Try it again."
            self.phase = Phase.FAILED

    def _watch(self, progress: Progress) -> bool:
        self.progress = progress
        return self._stop.is_set()

    def _compare(self, session: Session, staged: Staged) -> DryRun:
        counts: Counter[str] = Counter()
        shown: list[Change] = []
        for change in supplier_lists.changes.changes(session, staged, self.supplier.supplier_id, watch=self._watch):
            counts[change.does.value] += 1
            if counts[change.does.value] <= MOST_OF_EACH:
                shown.append(change)
        return DryRun(dict(counts), staged.entries, tuple(shown))

    def _write(self, session: Session, act: Act, staged: Staged) -> Loaded:
        columns = act._replace(key=f"{act.key}/columns")
        supplier_lists.suppliers.remember_layout(session, columns, self.supplier.supplier_id, self._layout)
        return supplier_lists.loading.load(session, act, self.supplier.supplier_id, staged, watch=self._watch)
