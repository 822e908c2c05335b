"""What was asked about one ring, as text from the command line or from a row of a file, and its reading as evidence."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from catalog.orings.contradiction import contradiction
from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.instruments import reading
from catalog.orings.sizes import Series
from catalog.quantity import QuantityError, length_mm
from tui.commands.parsing import UsageError, shown, unknown

DEFAULT_TOOLS = {
    Dimension.ID: Tool.CALIPER,
    Dimension.OD: Tool.CALIPER,
    Dimension.WIDTH: Tool.CALIPER,
    Dimension.AROUND: Tool.TAPE,
    Dimension.CUT_LENGTH: Tool.RULE,
}
"""What a reading is taken with when nobody says so."""

MOST_READINGS = {dimension: 2 if dimension is Dimension.WIDTH else 1 for dimension in Dimension}
LONGEST_LIST = 1000
# The person may say every tool but this one: it stands for a ± of their own.
_TOOLS = [tool.value for tool in Tool if tool is not Tool.STATED]


class Asked(NamedTuple):
    """One ring as typed. Every field may be empty; `evidence` says what is missing or wrong."""

    readings: Mapping[str, tuple[str, ...]]
    tools: tuple[str, ...] = ()
    condition: str | None = None
    series: tuple[str, ...] = ()
    unit: str = "mm"
    limit: str | None = None


def option(dimension: Dimension) -> str:
    """The option that takes this reading, such as `--cut-length`."""
    return f"--{dimension.value.replace('_', '-')}"


def evidence(asked: Asked) -> Evidence:
    """The evidence that was typed. Raises UsageError with one sentence that names the option."""
    tools = _tools(asked.tools)
    readings = tuple(
        _reading(dimension, text, tools[dimension], asked.unit)
        for dimension in Dimension
        for text in _texts(asked, dimension)
    )
    if not readings:
        raise UsageError("no reading given; type at least one, such as --id 24.9mm --width 3.5mm")
    clash = contradiction(readings)
    if clash is not None:
        wrong, other = (option(one.dimension) for one in (clash.wrong, clash.other))
        raise UsageError(f"{wrong} does not go with {other}: {clash.why}; look whether each is in its place")
    return Evidence(readings, _condition(asked.condition))


def series(asked: Asked) -> tuple[Series, ...] | None:
    """The series asked for, each once, or None for all."""
    words = [word for text in asked.series for word in re.split(r"[,\s]+", text.strip().lower()) if word]
    known = [one.value for one in Series]
    for word in words:
        if word not in known:
            raise UsageError(f"--series: {unknown(word, known)}")
    return tuple(dict.fromkeys(map(Series, words))) or None


def limit(asked: Asked) -> int:
    """How many sizes to list."""
    if asked.limit is None:
        return 10
    if not re.fullmatch(r"[0-9]{1,4}", asked.limit.strip()) or not 1 <= int(asked.limit) <= LONGEST_LIST:
        raise UsageError(f"--limit: {shown(asked.limit)} is not a whole number from 1 to {LONGEST_LIST}")
    return int(asked.limit)


def _texts(asked: Asked, dimension: Dimension) -> tuple[str, ...]:
    texts = asked.readings.get(dimension.value, ())
    most = MOST_READINGS[dimension]
    if len(texts) > most:
        often = "twice" if most == 2 else "once"
        raise UsageError(f"{option(dimension)} was given {len(texts)} times; give it {often} at most")
    return texts


def _reading(dimension: Dimension, text: str, tool: Tool, unit: str) -> Reading:
    try:
        value_mm, plus_minus_mm = length_mm(text, unit)
        return reading(dimension, value_mm, tool, plus_minus_mm)
    except (QuantityError, ValueError) as problem:
        raise UsageError(f"{option(dimension)}: {problem}") from problem


def _tools(texts: tuple[str, ...]) -> dict[Dimension, Tool]:
    """`rule` is for every reading, `id=cone` for one; the particular wins over the general."""
    words = [word for text in texts for word in re.split(r"[,\s]+", text.strip().lower()) if word]
    general = [word for word in words if "=" not in word]
    if len(set(general)) > 1:
        raise UsageError("--tool: two tools for every reading; say which is which, as in --tool id=cone,width=caliper")
    tools = dict(DEFAULT_TOOLS)
    if general:
        tools = dict.fromkeys(Dimension, _tool(general[0]))
    for word in words:
        name, equals, tool = word.partition("=")
        if equals:
            known = [dimension.value.replace("_", "-") for dimension in Dimension]
            name = name.replace("_", "-")
            if name not in known:
                raise UsageError(f"--tool: {unknown(name, known)}")
            tools[Dimension(name.replace("-", "_"))] = _tool(tool)
    return tools


def _tool(word: str) -> Tool:
    if word not in _TOOLS:
        raise UsageError(f"--tool: {unknown(word, _TOOLS)}")
    return Tool(word)


def _condition(word: str | None) -> Condition:
    if word is None or not word.strip():
        return Condition.NEW
    clean = word.strip().lower()
    known = [condition.value for condition in Condition]
    if clean not in known:
        raise UsageError(f"--condition: {unknown(clean, known)}")
    return Condition(clean)
