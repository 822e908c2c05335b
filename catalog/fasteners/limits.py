"""How large a thread is made: the limits of the crest diameters, by the formulas of the standards.

The standards print these figures rounded; the formulas agree with the printed tables to a few micrometres. Those
of BS 93 (BA threads) are from memory.
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


def whitworth_tolerance(diameter_in: float, per_inch: float) -> float:
    """The T of BS 84, inches: 0.002 ∛D + 0.003 √L + 0.005 √p, with the length of engagement L taken as one diameter."""
    pitch = 1.0 / per_inch
    return float(0.002 * diameter_in ** (1 / 3)) + 0.003 * sqrt(diameter_in) + 0.005 * sqrt(pitch)


def whitworth_external(diameter_in: float, per_inch: float) -> tuple[float, float]:
    """Least and greatest diameter over the crests of a BSW or BSF bolt, inches (BS 84).

    Least: medium class, T + 0.01 √p under the nominal diameter, and up to 3/4 in an allowance of 0.3 T more. Greatest:
    the nominal diameter, which the close class may reach.
    """
    tolerance = whitworth_tolerance(diameter_in, per_inch)
    allowance = 0.3 * tolerance if diameter_in <= 0.75 else 0.0
    return diameter_in - allowance - tolerance - 0.01 * sqrt(1.0 / per_inch), diameter_in


def whitworth_internal(diameter_in: float, per_inch: float) -> tuple[float, float]:
    """Least and greatest diameter across the crests of a BSW or BSF nut, inches (BS 84).

    Least: D - 2 × 0.640327 p, the depth of the Whitworth form. Tolerance 0.2 p and 0.004 in more from 26 threads per
    inch up, 0.005 in at 22 to 25, 0.007 in at 20 and fewer.
    """
    pitch = 1.0 / per_inch
    least = diameter_in - 2.0 * 0.640327 * pitch
    more = 0.004 if per_inch >= 26 else 0.005 if per_inch >= 22 else 0.007
    return least, least + 0.2 * pitch + more


def ba_external(diameter_mm: float, pitch_mm: float) -> tuple[float, float]:
    """Least and greatest diameter over the crests of a BA screw, mm: D less 0.025 and 0.20 p (BS 93, from memory)."""
    return diameter_mm - 0.025 - 0.20 * pitch_mm, diameter_mm


def ba_internal(diameter_mm: float, pitch_mm: float) -> tuple[float, float]:
    """Least and greatest diameter across the crests of a BA nut, mm: D - 1.2 p, + 0.375 p (BS 93, from memory)."""
    least = diameter_mm - 1.2 * pitch_mm
    return least, least + 0.375 * pitch_mm
