"""What undo takes back, what it calls it, and the few things it can't take back."""

from __future__ import annotations

from typing import Final

from models.kitting.sealing import NOTED

UNDOABLE: Final = {
    "shelf.receive": "receiving",
    "shelf.count": "the count",
    "shelf.use": "the use",
    "shelf.scrap": "scrapping",
    "shelf.move": "the move",
    "kits.add_need": "the need",
    "kits.accept_match": "accepting the match",
    "kits.resolve": "looking on the shelf",
    "kits.release": "the release",
    "kits.pick": "the pick",
    "kits.pin": "the choice by hand",
    "kits.unpin": "unpinning",
    "kits.scrap": "scrapping from the kit",
    "kits.give_back": "giving back",
    "kits.put_back": "putting back",
    "kits.withdraw_need": "striking the need",
    "jobs.open": "opening the job",
    "jobs.close": "closing the job",
    "fit_records.record": "noting the fit",
    "fit_records.import": "taking in fit records",
    "tally.note": "the tally's entry",
    "tally.take_back": "taking it back",
    NOTED: "the sealing",
    "items.bar_code": "the bar code",
    "fluid_rules.add": "the rule of the shop's own",
    "fluid_rules.add_class": "the class of the shop's own",
    "fluid_rules.remove": "withdrawing the rule",
    "fluid_rules.remove_class": "withdrawing the class",
    "fluid_rules.take_in": "taking in the rules",
    "items.set_element": "noting the element",
    "items.set_container": "noting the container",
    "machines.add": "adding the machine",
    "machines.add_position": "adding the position",
    "machines.set_built": "noting where it was built",
    "machines.set_housing": "noting the housing",
    "reorder.set_rule": "setting the reorder point",
    "reorder.drop_rule": "dropping the reorder point",
    "suppliers.add": "adding the supplier",
    "templates.add": "the template",
    "templates.copy": "the template's copy",
    "templates.edit": "the template's new version",
    "templates.put_back": "putting the template back",
    "templates.retire": "taking the template off the list",
    "orders.plan": "the plan",
    "orders.order": "ordering",
    "orders.receive": "receiving the order",
    "orders.call_off": "calling off",
}
"""What can be undone, and what it is called."""

PART_OF: Final = {"templates.open_job": "jobs.open"}
"""What is written beside another action and goes back with it."""

FINAL: Final = {
    "lists.load": ("Taking the list over", "load the list before it again"),
    "undo": ("Taking back what was noted", "note it again"),
}
"""What a person may do that can't be undone: what it is called, and what to do instead."""
