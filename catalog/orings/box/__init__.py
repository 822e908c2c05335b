"""Many rings at once: what `match` and `decide` say of one, worked out for a whole box as arrays.

The same answers to the last digits that matter; a ring that needs more than arrays (readings that clash, trade
fractions, a width alone) is asked about by itself. Needs numpy, which nothing else of the catalog does.
"""
