"""How large a thread is made: the limits of the crest diameters, by the formulas of the standards.

The standards print these figures rounded; the formulas agree with the printed tables to a few micrometres.
"""

from __future__ import annotations

from math import sqrt


def metric_external(diameter_mm: float, pitch_mm: float) -> tuple[float, float]:
    """Least and greatest diameter over the crests of a bolt, mm, tolerance 6g (ISO 965-1, formulas of clause 13)."""
    allowance = (15.0 + 11.0 * pitch_mm) / 1000.0
    tolerance = (180.0 * pitch_mm ** (2 / 3) - 3.15 / sqrt(pitch_mm)) / 1000.0
    return diameter_mm - allowance - tolerance, diameter_mm - allowance


def metric_internal(diameter_mm: float, pitch_mm: float) -> tuple[float, float]:
    """Least and greatest diameter across the crests of a nut, mm, 6H (ISO 965-1; D1 = D - 1.0825 P, ISO 724)."""
    least = diameter_mm - 1.082532 * pitch_mm
    coarse = 230.0 * pitch_mm**0.7
    tolerance = (433.0 * pitch_mm - 190.0 * pitch_mm**1.22 if pitch_mm < 1.0 else coarse) / 1000.0
    return least, least + tolerance


def unified_external(diameter_in: float, per_inch: float, series: str) -> tuple[float, float]:
    """Least and greatest diameter over the crests of a bolt, inches, class 2A (ASME B1.1).

    Allowance 0.3 of the pitch diameter tolerance; major diameter tolerance 0.060 p^(2/3). Length of engagement: one
    diameter for UNC and UNF, nine pitches for the constant-pitch series.
    """
    pitch = 1.0 / per_inch
    engagement = diameter_in if series in ("UNC", "UNF") else 9.0 * pitch
    pitch_tolerance = 0.0015 * diameter_in ** (1 / 3) + 0.0015 * sqrt(engagement) + 0.015 * pitch ** (2 / 3)
    greatest = diameter_in - 0.3 * pitch_tolerance
    return greatest - 0.060 * pitch ** (2 / 3), greatest


def unified_internal(diameter_in: float, per_inch: float) -> tuple[float, float]:
    """Least and greatest diameter across the crests of a nut, inches, class 2B (ASME B1.1; D1 = D - 1.0825 p)."""
    pitch = 1.0 / per_inch
    least = diameter_in - 1.082532 * pitch
    basic = 0.25 * pitch - 0.40 * pitch * pitch
    if diameter_in >= 0.25:
        return least, least + (basic if per_inch >= 4 else 0.15 * pitch)
    small = 0.05 * pitch ** (2 / 3) + 0.03 * pitch / diameter_in - 0.002
    return least, least + min(max(small, basic), 0.394 * pitch)
