"""Putting names right, the same for items, bins, machines and suppliers: rename, retire, merge, what looks alike."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

import models
from tui.answers.upkeep import DoneWord, LookAlike, NameChanged, WhatWord
from tui.fields.named import NameOf
from tui.fields.plain import Flag, Text
from tui.operations.operation import Operation, Then

if TYPE_CHECKING:
    from collections.abc import Callable

    from models.upkeep.named import Changed


def _changed(what: WhatWord, done: DoneWord) -> Callable[[Then], NameChanged]:
    def answer(then: Then) -> NameChanged:
        made: Changed = then.result
        word: DoneWord = "brought back" if done == "retired" and not made.retired else done
        return NameChanged(word, what, made.name, made.other or None, made.both_have)

    return answer


def _like(what: WhatWord) -> Callable[[Then], LookAlike]:
    def answer(then: Then) -> LookAlike:
        return LookAlike(what, then.values["name"], tuple(then.result))

    return answer


HANDED_OVER: Final[dict[str, str]] = {
    "item": "What lies there is booked over lot by lot, with bar codes, rows of lists and its history. Both must be\n"
    "the same kind of thing; of rings the same size, rubber and hardness. Note and picture go over where the\n"
    "other has none.",
    "bin": "What lies there is booked over, with its history and the sizes a box has places for. Note and\n"
    "picture go over where the other has none.",
    "machine": "Its positions with what fitted there, its jobs and their history go over. A position that\n"
    "both have is called after its machine, too. Note and picture go over where the other has none.",
    "supplier": "Its list goes over; its orders stay under the name they were sent to. Not where both have\n"
    "sent lists: retire one of them then.",
}


def upkeep(what: WhatWord, one: str, another: str, *, before: tuple[str, ...] = ()) -> tuple[Operation, ...]:
    """The four operations of an area. `one`, `another`: of the demo, for the examples; `before`: what adds them."""
    thing = NameOf(what, what.capitalize(), f"the {what} by its name", placed=True, what=what)
    return (
        Operation(
            area=what,
            name="rename",
            label=f"Rename a {what}" if what != "item" else "Rename an item",
            help=f"give a {what} another name",
            about="Give it another name. All that hangs on it stays where it is.",
            fields=(
                thing,
                Text("name", "New name", "its new name", what="its new name", placed=True, metavar="NEW"),
            ),
            change=lambda: partial(models.upkeep.rename.rename, what=models.upkeep.named.What(what)),
            answer=_changed(what, "renamed"),
            examples=(f'{what} rename "{one}" "{one} (old)"',),
            before=before,
        ),
        Operation(
            area=what,
            name="retire",
            label=f"Retire a {what}" if what != "item" else "Retire an item",
            help=f"stop offering a {what}; its history stays",
            about="Stop offering it in lists, forms and plans. What was done with it stays on record.\n"
            "--back brings it back.",
            fields=(
                NameOf(what, what.capitalize(), f"the {what} by its name", placed=True, what=what, retired=True),
                Flag("back", "Bring back", "offer it again"),
            ),
            change=lambda: partial(models.upkeep.retire.retire, what=models.upkeep.named.What(what)),
            answer=_changed(what, "retired"),
            examples=(f'{what} retire "{another}" --back',),
            before=before,
        ),
        Operation(
            area=what,
            name="merge",
            label=f"Merge two {what}s",
            help=f"merge a {what} into another that is the same",
            about=f"Merge it into another that is the same, and retire it. {HANDED_OVER[what]}",
            fields=(
                thing,
                NameOf("into", "Into", "the one that stays", placed=True, what=what, parameter="into_id"),
            ),
            change=lambda: partial(models.upkeep.merge.merge, what=models.upkeep.named.What(what)),
            answer=_changed(what, "merged"),
            examples=(f'{what} merge "{one}" "{another}"',),
            before=before,
        ),
        Operation(
            area=what,
            name="alike",
            label=f"{what.capitalize()}s with names alike",
            help=f"which {what}s have a name like this one",
            about="List the names that look like this one or are spelled nearly so.",
            fields=(Text("name", "Name", "the name", what="the name", placed=True),),
            question=lambda: partial(models.upkeep.named.alike, what=models.upkeep.named.What(what)),
            answer=_like(what),
            examples=(f'{what} alike "{one}"',),
        ),
    )
