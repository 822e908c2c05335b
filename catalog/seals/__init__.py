"""Seals that are no O-rings: sealing washers under plugs, lip seals on shafts."""
