"""Fields: one reader a quantity, the same in every form and every option. Start with `field.py`."""
