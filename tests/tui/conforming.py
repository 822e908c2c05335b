"""Check a command's JSON against its schema."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema

import tui

SCHEMAS = Path(tui.__file__).parent / "schemas"


def validator(name: str) -> jsonschema.Draft202012Validator:
    """The validator of one command's schema; the schema itself is checked first."""
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def conforms(name: str, value: Any) -> None:
    """Fail unless the value is what the command's schema promises; an answer of version 2 names its own schema."""
    own, _, version = str(value.get("schema", "")).removeprefix("kitwright.").partition("/")
    validator(own if version == "2" else name).validate(value)
