"""Answers: what a command prints, a screen says and `--json` gives, each one frozen dataclass with its words.

Every answer has a `SCHEMA` of its own, `words()` once, and is its own JSON. The JSON Schemas in `tui/schemas` are made
from the classes; a test holds them equal.
"""
