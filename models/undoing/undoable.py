"""Every action that can be undone, what it is called and how it is undone; and the few that can't be."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Any, Final

from sqlmodel import Session, col, select

from models import fluid_rules, notes, own_grooves, own_ports, own_sizes
from models.errors import CannotUndoError
from models.inventory import bar_codes
from models.kitting import changing, fluid_tally, job_opening, sealing
from models.orders import undoing as orders
from models.pictures import keeping
from models.tables import Action, Bin, FitOutcome, FitRecord, Item, ItemGtin, Job, Machine, Position, Supplier
from models.undoing import additions, kit_undo, snapshot, template_undo
from models.undoing.additions import Added, Look
from models.undoing.declaring import BACK, POUR_PUT_BACK, PUT_BACK, Reversal, Undo
from models.undoing.snapshot import Over
from models.upkeep import merge, merge_noted, rename
from models.upkeep.named import TABLES, What
from models.words import LineState, Moved


def _has_row(*tables: type[FitRecord] | type[FitOutcome] | type[ItemGtin]) -> Callable[[Session, Action], bool]:
    def has_row(session: Session, done: Action) -> bool:
        asked = (select(table.action_id).where(col(table.action_id) == done.id) for table in tables)
        return any(session.exec(one).first() is not None for one in asked)

    return has_row


def _written_over(called: str, over: Over, names: Collection[str]) -> Undo:
    """Of an action that writes over columns of its subject, as all those of the names do."""
    return Undo(
        called,
        lambda session, done: snapshot.is_last(session, done, names),
        before=lambda session, reversal: snapshot.put_back(session, reversal, over, names),
    )


def _added(called: str, table: type[Added], hanging: Look) -> Undo:
    return Undo(
        called,
        lambda session, done: additions.is_there(session, done, table),
        lambda session, done: additions.is_bare(session, done, table, hanging),
        before=lambda session, reversal: additions.withdraw(session, reversal, table, hanging),
    )


def _open_job(session: Session, reversal: Reversal) -> None:
    job_opening.take_back(session, reversal.act, reversal.action_id, reversal.done)


def _tally(session: Session, reversal: Reversal) -> None:
    fluid_tally.undo(session, reversal.action_id, reversal.done, reversal.called)


def _own_rules(session: Session, reversal: Reversal) -> None:
    fluid_rules.undo(session, reversal.action_id, reversal.done, reversal.called)


def _own_sizes(session: Session, reversal: Reversal) -> None:
    own_sizes.undo(session, reversal.action_id, reversal.done, reversal.called)


def _own_ports(session: Session, reversal: Reversal) -> None:
    own_ports.undo(session, reversal.action_id, reversal.done, reversal.called)


def _own_grooves(session: Session, reversal: Reversal) -> None:
    own_grooves.undo(session, reversal.action_id, reversal.done, reversal.called)


def _bar_code(session: Session, reversal: Reversal) -> None:
    bar_codes.undo(session, reversal.done, reversal.called)


def _seal(session: Session, reversal: Reversal) -> None:
    sealing.refuse_undo(session, reversal.done, reversal.called)


def _on_orders(rule: Callable[[Session, Action], Any]) -> Callable[[Session, Reversal], None]:
    def before(session: Session, reversal: Reversal) -> None:
        rule(session, reversal.done)

    return before


def _moved(called: str) -> Undo:
    """Of an action that is its movements: one that moved nothing changed nothing."""
    return Undo(called, kit_undo.has_moved)


def _asked(called: str) -> Undo:
    return Undo(called, kit_undo.is_asked, before=kit_undo.hold_added, after=kit_undo.strike_added)


def _noted(called: str, lines: Mapping[Moved, tuple[LineState, LineState]] = BACK) -> Undo:
    return Undo(called, fluid_tally.stands, before=_tally, lines=lines)


def _own_rule(called: str) -> Undo:
    return Undo(called, fluid_rules.stands, before=_own_rules)


def _listed(called: str) -> Undo:
    return Undo(called, template_undo.is_on_list, before=template_undo.take_off)


def _turned(called: str, names: Collection[str]) -> Undo:
    return Undo(
        called,
        lambda session, done: template_undo.is_turned(session, done, names),
        before=lambda session, reversal: template_undo.turn_back(session, reversal, names),
    )


def _together(declare: Callable[[str, Collection[str]], Undo], called: Mapping[str, str]) -> dict[str, Undo]:
    """Actions that write over the same: the last of them has the word."""
    return {name: declare(one, tuple(called)) for name, one in called.items()}


def _over(
    table: type[Item] | type[Bin] | type[Job] | type[Machine] | type[Position] | type[Supplier],
    subject: str,
    *columns: str,
) -> Callable[[str, Collection[str]], Undo]:
    return lambda called, names: _written_over(called, Over(table, columns, subject), names)


def _named(what: What) -> dict[str, Undo]:
    """Renaming, retiring and merging of what has a name."""
    table, word = TABLES[what], what.value
    over = Over(table, rename.columns_of(what), word)
    names = (f"{word}s.rename",)

    def refuse(session: Session, reversal: Reversal) -> None:
        rename.refuse_undo(session, reversal.done, what)
        snapshot.put_back(session, reversal, over, names)
        if what is What.BIN:
            notes.fold_bin(session, notes.What.BIN, reversal.done.subject_id or 0)

    renamed = _written_over(f"renaming the {word}", over, names)._replace(before=refuse)
    return {
        names[0]: renamed,
        f"{word}s.merge": Undo(
            f"merging the {word}",
            lambda session, done: merge.stands(session, done, what),
            before=lambda session, reversal: merge.part(session, reversal, what),
        ),
        **_together(
            _over(table, word, "retired_at"),
            {f"{word}s.retire": f"retiring the {word}", f"{word}s.bring_back": f"bringing the {word} back"},
        ),
    }


def _noted_on(what: notes.What) -> dict[str, Undo]:
    """A note written anew."""
    names = (f"{what.value}s.note",)
    over = Over(notes.TABLES[what], ("note",), what.value)

    def before(session: Session, reversal: Reversal) -> None:
        done_id, row_id = reversal.done.id or 0, reversal.done.subject_id or 0
        handed = merge_noted.handed_to(session, what, row_id)
        if any(one.by > done_id and one.back_by is None for one in handed):
            raise CannotUndoError(f"That has changed since {reversal.called}.", "Look at it and set it again.")
        snapshot.put_back(session, reversal, over, names)
        row = notes.noted(session, what, row_id)
        # Another's note, which went back to it since.
        if any(one.note == row.note and one.by < done_id < (one.back_by or 0) for one in handed):
            row.note = ""
            session.add(row)
            session.flush()
        notes.fold_bin(session, what, row_id)

    return {names[0]: _written_over(f"the note on the {what.value}", over, names)._replace(before=before)}


def _pictured(what: notes.What) -> dict[str, Undo]:
    """A picture added, replaced or taken away."""
    return {
        keeping.NAMED[what]: Undo(
            f"the picture of the {what.value}",
            keeping.stands,
            before=lambda session, reversal: keeping.undo(session, reversal, what),
        )
    }


UNDOABLE: Final[Mapping[str, Undo]] = {
    "shelf.receive": _moved("receiving")._replace(after=additions.withdraw_made_with),
    "shelf.count": _moved("the count"),
    "shelf.use": _moved("the use"),
    "shelf.scrap": _moved("scrapping"),
    "shelf.move": _moved("the move"),
    "kits.add_need": _asked("the need"),
    "kits.accept_match": _asked("accepting the match"),
    "kits.allocate": _moved("looking on the shelf"),
    "kits.release": _moved("the release"),
    "kits.pick": _moved("the pick"),
    "kits.pin": _moved("the choice by hand"),
    "kits.unpin": _moved("unpinning"),
    "kits.scrap": _moved("scrapping from the kit"),
    "kits.give_back": _moved("giving back"),
    "kits.put_back": _moved("putting back")._replace(lines=PUT_BACK),
    "kits.withdraw_need": Undo("removing the need", kit_undo.is_struck, before=kit_undo.ask_again),
    "jobs.open": Undo("opening the job", job_opening.stands, job_opening.is_bare, before=_open_job),
    **_together(_over(Job, "job", "due_on"), {"jobs.set_due": "the due day"}),
    changing.WHAT: Undo("changing the need", changing.stands, after=changing.put_back),
    "jobs.close": Undo("closing the job", before=kit_undo.reopen),
    "fit_records.record": Undo("noting the fit", _has_row(FitRecord)),
    "fit_records.went": Undo("noting how it went", _has_row(FitOutcome)),
    "fit_records.import": Undo("taking in fit records", _has_row(FitRecord, FitOutcome)),
    "tally.note": _noted("the noted pour"),
    "tally.take_back": _noted("taking it back", POUR_PUT_BACK),
    sealing.NOTED: Undo("the sealing", before=_seal),
    "items.add": _added("adding the item", Item, additions.on_item),
    "bins.add": _added("adding the bin", Bin, additions.on_bin),
    "items.bar_code": Undo("the bar code", _has_row(ItemGtin), before=_bar_code),
    "fluid_rules.add": _own_rule("the rule of the shop's own"),
    "fluid_rules.add_class": _own_rule("the class of the shop's own"),
    "fluid_rules.remove": _own_rule("withdrawing the rule"),
    "fluid_rules.remove_class": _own_rule("withdrawing the class"),
    "fluid_rules.take_in": _own_rule("taking in the rules"),
    "own_sizes.load": Undo("loading the table of sizes", own_sizes.stands, before=_own_sizes),
    "own_sizes.drop": Undo("dropping the table of sizes", own_sizes.stands, before=_own_sizes),
    "own_ports.load": Undo("loading the table of ports", own_ports.stands, before=_own_ports),
    "own_ports.drop": Undo("dropping the table of ports", own_ports.stands, before=_own_ports),
    "own_grooves.load": Undo("loading the table of grooves", own_grooves.stands, before=_own_grooves),
    "own_grooves.drop": Undo("dropping the table of grooves", own_grooves.stands, before=_own_grooves),
    **_together(_over(Item, "item", "element"), {"items.set_element": "noting the element"}),
    **_together(_over(Item, "item", "container"), {"items.set_container": "noting the container"}),
    "machines.add": _added("adding the machine", Machine, additions.on_machine),
    "machines.add_position": _added("adding the position", Position, additions.on_position),
    **_together(_over(Machine, "machine", "built"), {"machines.set_built": "noting where it was built"}),
    **_together(_over(Position, "position", "housing"), {"machines.set_housing": "noting the housing"}),
    **_together(_over(Position, "position", "critical"), {"machines.set_critical": "setting whether it is critical"}),
    **_together(_over(Position, "position", "meets", "hottest_c"), {"machines.set_meets": "noting the fluid"}),
    **_together(
        _over(Item, "item", "reorder_at", "reorder_up_to", "reorder_lead_days"),
        {"reorder.set_rule": "setting the reorder point", "reorder.drop_rule": "dropping the reorder point"},
    ),
    **_together(
        _over(
            Supplier,
            "supplier",
            "currency",
            "freight_minor",
            "free_from_minor",
            "minimum_order_minor",
            "lead_days",
            "language",
        ),
        {"suppliers.set_terms": "setting the supplier's terms"},
    ),
    **_named(What.ITEM),
    **_named(What.BIN),
    **_named(What.MACHINE),
    **_named(What.SUPPLIER),
    **_noted_on(notes.What.ITEM),
    **_noted_on(notes.What.BIN),
    **_noted_on(notes.What.MACHINE),
    **_noted_on(notes.What.POSITION),
    **_pictured(notes.What.ITEM),
    **_pictured(notes.What.BIN),
    **_pictured(notes.What.MACHINE),
    **_pictured(notes.What.POSITION),
    "suppliers.add": _added("adding the supplier", Supplier, additions.on_supplier),
    "templates.add": _listed("the template"),
    "templates.copy": _listed("the template's copy"),
    "templates.edit": Undo("the template's new version", template_undo.holds, before=template_undo.repeat),
    **_together(
        _turned,
        {
            "templates.put_back": "putting the template back",
            "templates.retire": "taking the template off the list",
        },
    ),
    "orders.plan": Undo("the plan", before=_on_orders(orders.drop_plan)),
    "orders.order": Undo("ordering", before=_on_orders(orders.refuse_received)),
    "orders.receive": Undo(
        "receiving the order", before=_on_orders(orders.hold_orders), after=additions.withdraw_made_with
    ),
    "orders.call_off": Undo("calling off", before=_on_orders(orders.hold_orders)),
}
"""By the action's name in the log."""

PART_OF: Final = {"templates.open_job": "jobs.open"}
"""What is written beside another action and goes back with it."""

FINAL: Final = {
    "lists.load": ("Taking the list over", "load the list before it again"),
    "undo": ("Taking back what was noted", "note it again"),
}
"""What a person may do that can't be undone: what it is called, and what to do instead."""
