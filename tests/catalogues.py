"""The sheets' messages and their translations: `python -m tests.catalogues` compiles them and says what is missing.

A message is what a tongue is called with (`say("Pick list")`), found by reading the code; what is called with a name
is listed here by hand, and a test holds that no other name is.
"""

from __future__ import annotations

import ast
import re
import string
import struct
from collections.abc import Iterator
from pathlib import Path

from catalog import cautions
from catalog.languages.tongue import CATALOGUES, ENGLISH_CODE, MARK, NAMES
from tui.sheets import from_kit, job_sheet, labels, letters, order_list

ROOT = Path(__file__).parents[1]
SPOKEN = (*sorted((ROOT / "tui" / "sheets").glob("*.py")), ROOT / "models" / "purchasing" / "order_text.py")
BY_NAME = {
    "DEFERS": (cautions.DEFERS,),
    "TORQUE_DEFERS": (cautions.TORQUE_DEFERS,),
    "one.text": tuple(one.text for one in cautions.all_cautions()),
    "heading(kind)": tuple(map(job_sheet.heading, cautions.Step)),
    "UNREVIEWED": (job_sheet.UNREVIEWED,),
    "FOOT": (order_list.FOOT,),
    "LOST_NOTE": (letters.LOST_NOTE,),
    "TOO_FINE": (labels.TOO_FINE,),
    "LOST": (labels.LOST,),
    "SCALE": (labels.SCALE,),
    "READ_AGAIN[reading.what]": tuple(from_kit.READ_AGAIN.values()),
}
"""What a tongue is called with by a name, as it stands in the code, and all that the name may mean."""
TRANSLATED = tuple(code for code in NAMES if code != ENGLISH_CODE)


def asked(tree: ast.AST) -> Iterator[ast.expr]:
    """What tongues are called with."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and node.args:
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called == MARK:
                yield node.args[0]


def messages() -> tuple[str, ...]:
    """Every message, in the order of the code, each once."""
    found: list[str] = []
    for file in SPOKEN:
        for one in asked(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(one, ast.Constant) and isinstance(one.value, str):
                found.append(one.value)
            else:
                found += BY_NAME.get(ast.unparse(one), ())
    return tuple(dict.fromkeys(found))


def parts(message: str) -> tuple[str, ...]:
    """The names of a message's parts, sorted. Raises ValueError where it is no format."""
    return tuple(sorted(name for _, name, _, _ in string.Formatter().parse(message) if name is not None))


def read(code: str) -> dict[str, str]:
    """A catalogue: every message with its translation; under "" its head."""
    text = (CATALOGUES / f"{code}.po").read_text(encoding="utf-8")
    pairs = re.findall(r'^msgid ((?:"(?:[^"\\]|\\.)*"\s*)+)msgstr ((?:"(?:[^"\\]|\\.)*"\s*)+)', text, re.MULTILINE)
    return {_plain(message): _plain(said) for message, said in pairs}


def _plain(quoted: str) -> str:
    return "".join(ast.literal_eval(one) for one in re.findall(r'"(?:[^"\\]|\\.)*"', quoted))


def compiled(catalogue: dict[str, str]) -> bytes:
    """The catalogue as gettext reads it, sorted, without a hash table (GNU gettext manual, "MO Files")."""
    pairs = [(message.encode(), said.encode()) for message, said in sorted(catalogue.items()) if said]
    head, tables = 28, 16 * len(pairs)
    texts, lengths = b"", []
    for column in (0, 1):
        for pair in pairs:
            lengths.append((len(pair[column]), head + tables + len(texts)))
            texts += pair[column] + b"\0"
    numbers = [number for entry in lengths for number in entry]
    start = struct.pack("<7I", 0x950412DE, 0, len(pairs), head, head + 8 * len(pairs), 0, 0)
    return start + struct.pack(f"<{len(numbers)}I", *numbers) + texts


def main() -> None:
    """Compile all, and say what is missing or no longer asked for."""
    for code in TRANSLATED:
        catalogue = read(code)
        (CATALOGUES / f"{code}.mo").write_bytes(compiled(catalogue))
        for message in messages():
            if message not in catalogue:
                print(f"{code} lacks: {message}")  # noqa: T201
        for message in catalogue.keys() - {*messages(), ""}:
            print(f"{code} has, and nobody asks for: {message}")  # noqa: T201


if __name__ == "__main__":
    main()
