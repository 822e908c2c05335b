"""An invented job with everything a sheet can hold, to print from; and text that people and files bring."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Final

from catalog.cautions import Step
from tests.models.a_picture import a_picture
from tui.sheets import job_sheet, labels, order_list, pick_list, ring_sheet
from tui.sheets.paper import Paper
from tui.sheets.records import (
    Again,
    BinLabel,
    Cure,
    JobSheet,
    OrderLine,
    OrderList,
    PickLine,
    PickList,
    Pictured,
    Ring,
    ShortLine,
    Tally,
    Torque,
    WorkStep,
)

DAY: Final = date(2026, 11, 25)
PICTURE: Final = a_picture()

HOSTILE: Final = (
    "[/foo] x [red] <b>&amp;</b> $pn {0} %s (a)b) \\n",
    "\N{WRENCH}\N{VARIATION SELECTOR-16} ring \N{MAN}\N{ZERO WIDTH JOINER}\N{PERSONAL COMPUTER}",
    "油圧ポンプ入口 O リング 25×3.5",
    "NUL\x00 bell\a escape\x1b[2J back\b",
    "\N{RIGHT-TO-LEFT OVERRIDE}53 gnir\N{POP DIRECTIONAL FORMATTING} \u05d8\u05d1\u05e2\u05ea",
    "half a pair \ud83d, combining Z\u0300\u0301\u0302, ą ę ő",
    "W" * 1_000,
    "many words of a note that never ends " * 30,
    "line\nbreak\r\nand\ttab",
    "",
    "   ",
)


def job(words: str | None = None) -> JobSheet:
    """The example job; with `words`, every text in it is that."""

    def say(text: str) -> str:
        return text if words is None else words

    picks = (
        PickLine(
            say("Box 10"), say("O-ring AS568 214 NBR 70"), "4", say("inlet flange ring"), reason=say("stands the oil")
        ),
        PickLine(
            say("Box 2"), say("O-ring AS568 116 HNBR 70"), "2", say("screen cover"), say("H-26"), date(2031, 5, 31)
        ),
        PickLine(say("Drum 1"), say("UTTO, drum"), "9.46 L", say("transmission sump"), picked=True),
    )
    return JobSheet(
        say("500 h service"),
        say("Tractor 2"),
        say("Ilse"),
        DAY,
        say("Orchard co-op workshop"),
        date(2026, 11, 27),
        picks,
        (ShortLine(say("spin-on element"), "1", say("Drawer F1 holds another gasket diameter")),),
        (
            WorkStep(say("Raise the rear axle."), (Step.WORK_UNDER,)),
            WorkStep(say("Drain the transmission."), (Step.OPEN_PRESSURE, Step.DRAIN, Step.USED_OIL)),
            WorkStep(say("Take out the flange ring."), (Step.OLD_SEAL, Step.CLEAN)),
        ),
        (Step.ANY, Step.OPEN_PRESSURE, Step.COOLANT),
        (Torque(say("Pump inlet flange"), 25.0, say("oiled"), say("4 × M8"), say("crosswise")),),
        (Tally(say("Transmission sump"), say("UTTO 10W-30"), 10_409_882, 11_356_235),),
        (
            Cure(say("side cover"), say("Flange sealant"), 24 * 60, datetime(2026, 11, 25, 16, 0)),
            Cure(say("top cover"), say("Flange sealant"), 90),
        ),
        (Again(say("Inlet flange groove"), say("depth"), say("2.79 mm")),),
        pictures=tuple(Pictured(say(name), *PICTURE) for name in ("Inlet flange", "Lift", "Screen", "Axle", "Sump")),
    )


def picking(words: str | None = None) -> PickList:
    made = job(words)
    return PickList(made.job, made.who, DAY, made.picks, made.shorts, made.shop)


def order(words: str | None = None) -> OrderList:
    def say(text: str) -> str:
        return text if words is None else words

    return OrderList(
        say("Valley Seals"),
        say("Ilse"),
        DAY,
        "EUR",
        (
            OrderLine(say("VS-214"), say("O-ring AS568 214 NBR 70"), say("bag of 25"), 2, 415, say("Tractor 2")),
            OrderLine(say("VS-112"), say("element, spin-on"), "", 1, 1890),
            OrderLine(say("OIL-20"), say("UTTO 10W-30"), say("20 L pail"), 1, None, note=say("ask for the price")),
        ),
        say("Orchard co-op workshop"),
        say("2026-117"),
        date(2026, 12, 1),
        950,
        say("Deliver to the back gate."),
    )


def rings(words: str | None = None) -> tuple[Ring, ...]:
    sizes = ((25.4, 0.0), (24.99, 3.53), (2.9, 1.78), (85.09, 5.33), (158.12, 3.53), (240.67, 5.33))
    return tuple(Ring(words if words is not None else f"size {n}", *size) for n, size in enumerate(sizes))


def bins(words: str | None = None) -> tuple[BinLabel, ...]:
    if words is not None:
        return (BinLabel(words if words.strip() else "x", words), BinLabel("Box 1", words))
    return (BinLabel("Box 1", "inch rings, NBR"), BinLabel("Drawer F1", "elements, spin-on"), BinLabel("R-02-17"))


FLOWING: Final[dict[str, Callable[[str | None, Paper], bytes]]] = {
    "job sheet": lambda words, paper: job_sheet.as_pdf(job(words), paper),
    "pick list": lambda words, paper: pick_list.as_pdf(picking(words), paper),
    "order list": lambda words, paper: order_list.as_pdf(order(words), paper),
    "ring sheet": lambda words, paper: ring_sheet.as_pdf(rings(words), paper),
}
TEXTS: Final[dict[str, Callable[[str | None], str]]] = {
    "job sheet": lambda words: job_sheet.as_text(job(words)),
    "pick list": lambda words: pick_list.as_text(picking(words)),
    "order list": lambda words: order_list.as_text(order(words)),
    "ring sheet": lambda words: ring_sheet.as_text(rings(words)),
    "bin labels": lambda words: labels.as_text(bins(words)),
}
