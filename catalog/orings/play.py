"""The play of a piston or rod in words, and the play that would turn a verdict where nobody measured it."""

from __future__ import annotations

from typing import NamedTuple

from catalog.orings.back_up import BackUps, back_ups
from catalog.orings.figures import Service
from catalog.orings.gland import Sealing, assess
from catalog.orings.groove import Groove, Guiding, depth_range
from catalog.orings.reason import Verdict
from catalog.orings.saying import MM_PER_INCH
from catalog.orings.sizes import RingSize

# Halvings of the widest play: from a few millimetres to far below what anybody measures.
_HALVINGS = 40


class Turn(NamedTuple):
    """Up to `play_mm` on diameter the better verdict holds; with more play it is `verdict`."""

    play_mm: float
    verdict: Verdict


class Guide(NamedTuple):
    """How a part was taken to lie: in words, and the plays that would turn the verdict where nobody knows the play."""

    words: str
    turns: tuple[Turn, ...]
    back_ups: BackUps | None


def turns(ring: RingSize, groove: Groove, *, service: Service | None = None) -> tuple[Turn, ...]:
    """The plays at which the verdict of a ring turns for the worse, least first; () unless the play is unknown.

    More play never makes a verdict better (`verdict`), so each turn is found by halving.
    """
    if groove.guiding is not Guiding.UNKNOWN:
        return ()

    def verdict(play: float) -> Verdict:
        return assess(ring, groove._replace(play=play), service=service).verdict

    # A play of twice the depth is more than the groove has; the gap on the closed side is then nothing.
    widest = 2 * depth_range(groove).minimum * (1 - 1e-9)
    last, found, low = verdict(widest), [], 0.0
    now = verdict(0.0)
    while now.rank < last.rank:
        good, bad = low, widest
        for _ in range(_HALVINGS):
            middle = (good + bad) / 2
            if verdict(middle).rank > now.rank:
                bad = middle
            else:
                good = middle
        now = verdict(bad)
        found.append(Turn(good, now))
        low = bad
    return tuple(found)


def guide_of(groove: Groove, sealing: Sealing | None, service: Service | None = None) -> Guide:
    """What an answer says beside its verdict: how the part lies, what play would turn it, room for back-up rings."""
    if sealing is None:
        return Guide(guided_words(groove), (), None)
    ring = sealing.ring
    return Guide(guided_words(groove), turns(ring, groove, service=service), back_ups(ring, groove))


def guided_words(groove: Groove) -> str:
    """How the part was taken to lie, in a sentence; "" where a groove has no play."""
    pushed = groove.pushed_mm
    match groove.guiding:
        case Guiding.NONE:
            return ""
        case Guiding.CENTRED:
            return "Judged as guided centred, as you said: nothing may push the part over."
        case Guiding.UNKNOWN:
            return "The play is unknown: the part is taken as centred."
        case _ if pushed <= 0:
            return "Judged without play."
    whose = " (the clearance, as no play was given)" if groove.guiding is Guiding.CLEARANCE else ""
    return (
        f"Judged pushed over: a play of {pushed:.3g} mm{whose} opens the gap by {pushed / 2:.3g} mm on one side "
        "and closes it by as much on the other."
    )


def turning_words(found: tuple[Turn, ...]) -> str:
    """Which play would turn the verdict, no full stop; "" where none would. Rounded down, so that it stays true."""
    if not found:
        return ""
    words = {Verdict.MARGINAL: "it is marginal", Verdict.WILL_NOT: "it will not seal"}
    return ", ".join(f"with more than {_down(one.play_mm)} {words[one.verdict]}" for one in found)


def _down(mm: float) -> str:
    return f"{int(mm * 100 + 1e-6) / 100:.2f} mm ({int(mm / MM_PER_INCH * 1000 + 1e-6) / 1000:.3f} in)"
