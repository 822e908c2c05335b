"""The JSON Schemas of the answers, made from their classes. Only tests and `python -m tui.answers.schema` come here.

python -m tui.answers.schema        writes tui/schemas/*.schema.json anew
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Any

import tui.answers
from tui.answers.answer import SAID, Answer

FOLDER = Path(__file__).parent.parent / "schemas"
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def answers() -> tuple[type[Answer], ...]:
    """Every answer there is, by the name of its schema."""
    for found in iter_modules(tui.answers.__path__):
        import_module(f"tui.answers.{found.name}")
    return tuple(sorted(_below(Answer), key=lambda one: one.SCHEMA))


def _below(base: type[Answer]) -> Iterator[type[Answer]]:
    for one in base.__subclasses__():
        if "SCHEMA" in vars(one):
            yield one
        yield from _below(one)


def file_of(answer: type[Answer]) -> Path:
    """Where an answer's schema stands: `kitwright.stock/2` in `stock.schema.json`."""
    name = answer.SCHEMA.removeprefix("kitwright.").partition("/")[0]
    return FOLDER / f"{name}.schema.json"


def schema_of(answer: type[Answer]) -> dict[str, Any]:
    """The JSON Schema of an answer: closed, every property required, its words' own fields left out."""
    from pydantic import TypeAdapter

    found = TypeAdapter(answer).json_schema(mode="serialization")
    definitions = found.pop("$defs", {})
    for name, part in definitions.items():
        _close(part)
        part.pop("title", None)
        definitions[name] = part
    _close(found)
    for one in fields(answer):
        if one.metadata.get(SAID):
            found["properties"].pop(one.name)
            found["required"].remove(one.name)
    properties = {"schema": {"const": answer.SCHEMA}, **found["properties"]}
    return {
        "$schema": DIALECT,
        "title": answer.SCHEMA,
        **{key: value for key, value in found.items() if key not in ("title", "properties", "required")},
        "properties": properties,
        "required": ["schema", *found["required"]],
        **({"$defs": definitions} if definitions else {}),
    }


def _close(part: dict[str, Any]) -> None:
    """An object has just its own properties, and all of them."""
    if part.get("type") == "object" and "properties" in part:
        part["additionalProperties"] = False
        part["required"] = list(part["properties"])
        for one in part["properties"].values():
            one.pop("title", None)
            one.pop("default", None)
    if "description" in part:
        part["description"] = " ".join(part["description"].split())


def text_of(answer: type[Answer]) -> str:
    """A schema as it stands in its file."""
    return json.dumps(schema_of(answer), indent=2, ensure_ascii=False) + "\n"


def main() -> None:
    """Write every answer's schema."""
    for answer in answers():
        assert is_dataclass(answer)
        file_of(answer).write_text(text_of(answer), encoding="utf-8")


if __name__ == "__main__":
    main()
