"""The report of a fault in the program: where it happened and of what kind, and nothing of the shop's.

Neither variables nor what an error says of them: a message may quote what was typed, an item, a path or an address.
"""

from __future__ import annotations

import os
import platform
import sys
import time
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from types import TracebackType
from typing import Final

from tui.version import __version__

KEPT: Final = 20
"""Reports kept; older ones are taken away."""
MOST_FRAMES: Final = 60
ROOT: Final = Path(__file__).resolve().parents[1]
# Their messages name our own widgets by id or class, and nothing that was typed.
SAYS_NO_DATA: Final = frozenset({"NoMatches", "ScreenStackError", "NoScreen", "NoWidget", "DuplicateIds", "MountError"})
LIBRARIES: Final = ("textual", "rich", "sqlalchemy", "sqlmodel")


def write(fault: BaseException, folder: Path) -> Path | None:
    """Write a report for its owner alone into `folder` and give its path; None where it can't be written."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        name = f"fault-{time.strftime('%Y%m%d-%H%M%S')}-{os.getpid()}"
        for number in range(1, 100):
            file = folder / f"{name}-{number}.txt"
            try:
                handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            except FileExistsError:
                continue
            with os.fdopen(handle, "w", encoding="utf-8", errors="replace") as out:
                out.write(text(fault))
            _forget_old(folder)
            return file
    except OSError:
        pass
    return None


def _forget_old(folder: Path) -> None:
    for old in sorted(folder.glob("fault-*.txt"), key=lambda file: file.stat().st_mtime)[:-KEPT]:
        old.unlink(missing_ok=True)


def text(fault: BaseException) -> str:
    """The report."""
    lines = [
        "Kitwright: a fault in the program. Nothing of the workshop is in this report.",
        "",
        f"Kitwright {__version__}",
        f"Python {platform.python_version()} on {platform.system()} {platform.release()} {platform.machine()}",
        *(f"{name} {_version(name)}" for name in LIBRARIES),
        "",
        *_story(fault, set()),
    ]
    return "\n".join(lines) + "\n"


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not there"


def _story(fault: BaseException, told: set[int]) -> Iterator[str]:
    """What came before first, as Python tells it."""
    told.add(id(fault))
    before = fault.__cause__ or (None if fault.__suppress_context__ else fault.__context__)
    if before is not None and id(before) not in told and len(told) < 8:
        yield from _story(before, told)
        yield "and then"
    yield from _frames(fault.__traceback__)
    yield f"{type(fault).__module__}.{type(fault).__qualname__}: {said(fault)}"


def _frames(traceback: TracebackType | None) -> Iterator[str]:
    frames = []
    while traceback is not None:
        code = traceback.tb_frame.f_code
        frames.append(f"  {_place(code.co_filename)}:{traceback.tb_lineno} in {code.co_name}")
        traceback = traceback.tb_next
    yield from frames[:10]
    if len(frames) > MOST_FRAMES:
        yield f"  … {len(frames) - MOST_FRAMES} more …"
    yield from frames[10:][-(MOST_FRAMES - 10) :]


def _place(name: str) -> str:
    """A file within the program or a library: folders above would name the person."""
    path = Path(name)
    if path.is_relative_to(ROOT) and "site-packages" not in path.relative_to(ROOT).parts:
        return path.relative_to(ROOT).as_posix()
    parts = path.parts
    if "site-packages" in parts:
        return "/".join(parts[len(parts) - parts[::-1].index("site-packages") :])
    base = Path(sys.base_prefix)
    return path.relative_to(base).as_posix() if path.is_relative_to(base) else path.name


def said(fault: BaseException) -> str:
    """What the error says, as far as it can't be the shop's: names from the program, else only kinds and lengths."""
    if type(fault).__name__ in SAYS_NO_DATA and type(fault).__module__.startswith("textual."):
        return str(fault)[:300]
    if isinstance(fault, AttributeError | NameError) and _is_ours(fault.name, fault.__traceback__):
        of = f" of {type(fault.obj).__name__}" if isinstance(fault, AttributeError) else ""
        return f"{fault.name}{of}"
    kinds = [f"{type(one).__name__} of {len(one)}" if isinstance(one, str | bytes) else type(one).__name__
             for one in fault.args]  # fmt: skip
    return f"left out ({', '.join(kinds)})" if kinds else "nothing"


def _is_ours(name: object, traceback: TracebackType | None) -> bool:
    """Whether a name stands in the code of the last frame, and so was written by a programmer."""
    while traceback is not None and traceback.tb_next is not None:
        traceback = traceback.tb_next
    return traceback is not None and isinstance(name, str) and name in traceback.tb_frame.f_code.co_names
