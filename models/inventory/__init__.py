"""What stands behind the shelf: items, bins and lots, the ledger that moves them, counting, boxes, reorder points."""
