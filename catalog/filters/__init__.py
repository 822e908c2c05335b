"""Filters: does this element fit this housing, and what does its medium hold back."""
