"""What a sheet says, before anyone decides where it stands: the PDF and the text copy are both made from this."""

from __future__ import annotations

from typing import NamedTuple

from catalog.languages.tongue import ENGLISH, Tongue
from tui.sheets.paper import A4, Paper
from tui.sheets.records import Pictured

Cell = str | None
"""What stands in a table's cell; None is a blank to write in."""


class Heading(NamedTuple):
    """The title of a part of the sheet."""

    text: str


class Para(NamedTuple):
    """A paragraph. `boxed` puts a frame round it."""

    text: str
    strong: bool = False
    boxed: bool = False


class Facts(NamedTuple):
    """Labels with what belongs to them: `("Machine", "Tractor 2")`. A None is a blank to write in."""

    pairs: tuple[tuple[str, Cell], ...]


class Column(NamedTuple):
    """A column: its title and its share of the width. `right` sets it to the right, for money."""

    title: str
    share: float
    strong: bool = False
    right: bool = False


class Table(NamedTuple):
    """Rows under titles. With `tick` each row begins with a box to tick, big enough for a gloved hand and a marker."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    tick: bool = False


class Step(NamedTuple):
    """One thing to do, with a box to tick."""

    text: str


class Caution(NamedTuple):
    """A caution; `deadly` ones are marked."""

    text: str
    deadly: bool


class Room(NamedTuple):
    """What follows wants this many mm on one page: a new page if less is left. The text copy leaves it out."""

    height: float


class Pictures(NamedTuple):
    """Small pictures side by side, each with its name beneath; the text copy has the names alone."""

    shown: tuple[Pictured, ...]


Block = Heading | Para | Facts | Table | Step | Caution | Room | Pictures


class Sheet(NamedTuple):
    """A whole sheet: its title, what the foot of each page says, and its blocks in order.

    `say`: the language of what the page adds, its number and what a print can't show.
    """

    title: str
    subtitle: str
    foot: str
    blocks: tuple[Block, ...]
    paper: Paper = A4
    say: Tongue = ENGLISH
