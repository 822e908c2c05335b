"""Judging a fluid by what was measured of it. `judge_text` reads `dry=232C wet=157C` and asks the right judge."""

from catalog.fluids.by_figures.asking import NAMES, Read, judge_needs, judge_text
from catalog.fluids.by_figures.figured import Figured, Measured, worst

__all__ = ["NAMES", "Figured", "Measured", "Read", "judge_needs", "judge_text", "worst"]
