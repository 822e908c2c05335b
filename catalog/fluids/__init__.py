"""Fluids: classes and what may stand in for what, viscosity, filling."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.fluids import ambiguous as ambiguous
    from catalog.fluids import answers as answers
    from catalog.fluids import blend as blend
    from catalog.fluids import by_figures as by_figures
    from catalog.fluids import classes as classes
    from catalog.fluids import fill as fill
    from catalog.fluids import grade_check as grade_check
    from catalog.fluids import grades as grades
    from catalog.fluids import grease_check as grease_check
    from catalog.fluids import greases as greases
    from catalog.fluids import packs as packs
    from catalog.fluids import paths as paths
    from catalog.fluids import properties as properties
    from catalog.fluids import rules as rules
    from catalog.fluids import shop_rules as shop_rules
    from catalog.fluids import stand_in as stand_in
    from catalog.fluids import tables as tables
    from catalog.fluids import viscosity as viscosity
    from catalog.fluids import viscosity_index as viscosity_index
else:
    from catalog.door import door

    __getattr__ = door(__name__)
