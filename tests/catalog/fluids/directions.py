"""Stand-in directions checked by hand, each with who says so; the keys are those of the fluid tables' SOURCES.md."""

from __future__ import annotations

from typing import Final, NamedTuple

from catalog.fluids.grade_check import Verdict
from catalog.fluids.stand_in import Refusal

PRACTICE: Final = "common practice, no source"
YES, CARE, NO = Verdict.YES, Verdict.WITH_CARE, Verdict.NO
NEVER, LACKS, LOWER, TWO, SILENT = (
    Refusal.NEVER, Refusal.LACKS, Refusal.DOWNGRADE, Refusal.TWO_CAUTIONS, Refusal.NO_RULE,
)  # fmt: skip


class Direction(NamedTuple):
    """`offered` where `required` is asked: the verdict, who says so, and for a no which kind."""

    offered: str
    required: str
    verdict: Verdict
    source: str
    refusal: Refusal | None = None


DIRECTIONS: Final = (
    # What the issue names.
    Direction("HV", "HL", YES, "S35"),
    Direction("HL", "HV", NO, "S35", LACKS),
    Direction("HVLP", "HLP", YES, "V5"),
    Direction("HLP", "HVLP", CARE, "memory: only within the weather that HLP bears"),
    Direction("CK-4", "CD", YES, "S39; S42"),
    Direction("CD", "CK-4", NO, "S42"),
    Direction("DOT 5.1", "DOT 3", YES, "S61"),
    Direction("DOT 3", "DOT 5.1", NO, "S47", LOWER),
    Direction("ATF", "NLGI 00", NO, PRACTICE, NEVER),
    Direction("STOU", "NLGI 00", NO, PRACTICE, NEVER),
    Direction("FA-4", "HST oil", NO, PRACTICE, SILENT),
    Direction("API SA", "HM", NO, "V8: no additives; S35", LACKS),
    # Hydraulic oil.
    Direction("HM", "HL", YES, "S35"),
    Direction("HL", "HM", NO, "S35", LACKS),
    Direction("HH", "HM", NO, "S35", LACKS),
    Direction("HG", "HM", YES, "S34"),
    Direction("HM", "HG", NO, "S34: HG adds stick-slip control", LACKS),
    Direction("HL", "HH", YES, "S35"),
    Direction("HLPD", "HLP", CARE, "memory: it holds water"),
    Direction("HLP", "HLPD", NO, "V5: HLPD has a detergent", LACKS),
    Direction("HFC", "HM", NO, "memory: they do not mix", NEVER),
    Direction("HM", "HFC", NO, "memory: mineral oil burns", NEVER),
    Direction("HFA", "HM", NO, "V37: over 80 % water", NEVER),
    Direction("HFDR", "HM", NO, "S27", NEVER),
    Direction("HM", "HFDR", NO, "S27", NEVER),
    Direction("HEPG", "HM", NO, PRACTICE, NEVER),
    Direction("HETG", "HEES", NO, "V6: another base", LACKS),
    Direction("CI-4", "HM", CARE, "memory: only where the manual lists engine oil"),
    Direction("resource conserving", "HM", NO, PRACTICE, LACKS),
    Direction("JASO FD", "HM", NO, "V34: two-stroke oil", LACKS),
    Direction("STOU", "HM", CARE, PRACTICE),
    Direction("ATF", "HM", CARE, PRACTICE),
    # Tractor fluids.
    Direction("HM", "UTTO", NO, "S55", LACKS),
    Direction("ATF", "UTTO", NO, "S55: no wet-brake friction, no GL-4 level", LACKS),
    Direction("GL-4", "UTTO", NO, "S55", LACKS),
    Direction("UTTO", "STOU", CARE, "S56: not the engine"),
    Direction("UTTO", "CI-4", NO, "S56", LACKS),
    Direction("UTTO", "ATF", NO, "memory", NEVER),
    Direction("powershift oil", "UTTO", NO, "S54", NEVER),
    Direction("UTTO", "powershift oil", NO, "S54", NEVER),
    Direction("retired-label THF", "UTTO", NO, "S57", NEVER),
    Direction("CI-4", "HST oil", CARE, "V35: SG/CD and newer, where the manual names engine oil"),
    Direction("SJ", "HST oil", CARE, "V35"),
    Direction("ATF", "HST oil", NO, "V36", LOWER),
    Direction("HLPD", "HST oil", NO, PRACTICE, TWO),
    Direction("STOU", "HST oil", NO, PRACTICE, TWO),
    # Gear oil.
    Direction("GL-5", "GL-4", CARE, "memory: yellow metal in a synchromesh gearbox"),
    Direction("GL-4", "GL-5", NO, "S36", LACKS),
    Direction("GL-1", "GL-4", NO, "S36", LACKS),
    Direction("MT-1", "GL-1", YES, "S37"),
    Direction("GL-5", "GL-1", NO, "memory: sulfur-phosphorus on bronze", TWO),
    Direction("GL-4", "GL-3", YES, "S36"),
    Direction("API SA", "GL-3", NO, "V8: no additives", LACKS),
    Direction("GL-5", "HM", NO, PRACTICE, LACKS),
    # Engine oil.
    Direction("CI-4", "CF-4", YES, "S42"),
    Direction("CF-4", "CI-4", NO, "S42"),
    Direction("CF-4", "CF", NO, "S60", LACKS),
    Direction("FA-4", "CK-4", NO, "S39", NEVER),
    Direction("CJ-4", "CK-4", NO, "S40", LOWER),
    Direction("CK-4", "CJ-4", YES, "S39"),
    Direction("SN", "SJ", YES, "S41"),
    Direction("SJ", "SN", NO, "S41"),
    Direction("SN", "CI-4", NO, "S41; S42", LACKS),
    Direction("CI-4", "SN", NO, "S41; S42", LACKS),
    Direction("MB", "MA", NO, "S46", NEVER),
    Direction("MA", "MB", CARE, "S46"),
    Direction("MA2", "MA", YES, "S44"),
    Direction("DH-1", "DH-2", NO, "V4: ash", NEVER),
    Direction("ACEA E7", "ACEA E6", NO, "memory: ash in a filter", NEVER),
    Direction("JASO FC", "JASO FB", YES, "V34"),
    Direction("JASO FB", "JASO FC", NO, "V34", LACKS),
    Direction("CI-4", "JASO FC", NO, "memory", NEVER),
    Direction("JASO FD", "SJ", NO, PRACTICE, NEVER),
    # Brakes.
    Direction("DOT 4", "DOT 3", YES, "S48; S61"),
    Direction("DOT 5", "DOT 4", NO, "S48", NEVER),
    Direction("DOT 5.1", "DOT 5", NO, "S48; S61", NEVER),
    Direction("HSMO", "DOT 4", NO, "S28", NEVER),
    Direction("DOT 4", "HSMO", NO, "memory", NEVER),
    Direction("ATF", "DOT 3", NO, "S28", NEVER),
    Direction("GL-4", "DOT 4", NO, PRACTICE, NEVER),
    Direction("HM", "HSMO", NO, PRACTICE, NEVER),
    # Coolant, reagent, grease.
    Direction("D6210 I-FF", "D3306 I", YES, "S62"),
    Direction("D3306 I", "D6210 I-FF", NO, "S50", LACKS),
    Direction("D3306 I", "D3306 III", CARE, "S49: dilute first"),
    Direction("D3306 I", "D3306 II", NO, "S49: ethylene for propylene glycol"),
    Direction("EG 50 vol %", "UTTO", NO, PRACTICE, NEVER),
    Direction("farm urea", "DEF", NO, "S52", NEVER),
    Direction("DEF", "HM", NO, PRACTICE, NEVER),
    Direction("GC-LB", "NLGI GC", YES, "V11"),
    Direction("NLGI GC", "GC-LB", NO, "V11", LACKS),
    Direction("NLGI 2", "SAE 140", NO, PRACTICE, NEVER),
    Direction("SAE 140", "NLGI 00", NO, PRACTICE, NEVER),
    Direction("NLGI 000", "NLGI 2", NO, "memory: it runs out", LACKS),
    Direction("NLGI 2", "NLGI 00", NO, PRACTICE, TWO),
)  # fmt: skip
