"""A fill that is worked out: where the level stands against its marks, and which packs to open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final

from tui.answers.advice import ADVICE, cautions
from tui.answers.answer import Answer, said
from tui.answers.levels import TROUBLE, State, rests_on, state_words, stayed_words, still_to_pour, volume

if TYPE_CHECKING:
    from catalog.fluids import packs
    from catalog.fluids.fill import Level, Marks

CAUTIONS: Final = ("fill-between", "hot-oil", "keep-apart")


@dataclass(frozen=True)
class Pack:
    """A size of pack in whole microlitres, and how many of it to open."""

    pack: str
    volume_ul: int
    count: int


@dataclass(frozen=True)
class Opened:
    """What to open for one mark: least left over, then fewest packs. Whole microlitres."""

    packs: tuple[Pack, ...]
    total_ul: int
    left_over_ul: int
    missing_ul: int

    def said(self, first: str) -> str:
        """The packs, and what is left over or short; the units of `first` come first."""
        what = ", ".join(f"{one.count} × {one.pack}" for one in self.packs)
        if self.missing_ul:
            short = f"SHORT {volume(self.missing_ul, first)}"
            return f"{what}, all there is: {short}." if what else f"{short}: nothing is there."
        left = f"{volume(self.left_over_ul, first)} left over" if self.left_over_ul else "nothing left over"
        return f"{what}; {left}."


@dataclass(frozen=True)
class Open:
    """What to open for each mark. `usual`: nobody said which packs there are, so the usual ones are taken."""

    low: Opened
    full: Opened
    usual: bool


@dataclass(frozen=True)
class Fill(Answer):
    """A fill against its marks, in whole microlitres. `share`: 1 at the full mark.

    `left_in_ul`: what stayed in after draining; `to_dispose_ul`: what was drained and not poured back. `open` is null
    where the need is too large for the usual packs.
    """

    SCHEMA: ClassVar[str] = "kitwright.fill/2"

    state: State
    share: float
    low_ul: int
    full_ul: int
    held_ul: int
    left_in_ul: int
    poured_ul: int
    fresh_ul: int
    reused_ul: int
    to_dispose_ul: int
    to_low_ul: int
    to_full_ul: int
    over_ul: int
    open: Open | None
    cautions: tuple[str, ...]
    first: str = said()
    still: str = said()
    stayed: str = said()
    rests_on: str = said()

    @property
    def found(self) -> bool:
        """Whether the level is between the marks or at one."""
        return self.state not in TROUBLE

    @property
    def to_open(self) -> tuple[tuple[str, Opened], ...]:
        """What to open, by the mark that it is for, where something is still to be poured."""
        if self.open is None:
            return ()
        needs = (
            ("low", self.open.low, self.to_low_ul if self.low_ul < self.full_ul else 0),
            ("full", self.open.full, self.to_full_ul),
        )
        return tuple((mark, opened) for mark, opened, need in needs if need)

    def called(self, mark: str) -> str:
        """What a mark is called; where there is one only, nobody said whether it is the low or the full one."""
        return "the mark" if self.low_ul == self.full_ul else f"the {mark} mark"

    def words(self) -> list[str]:
        """The level, how much more, which packs, what it rests on, what was understood, the cautions."""
        marks = f"{volume(self.full_ul, self.first)}"
        if self.low_ul < self.full_ul:
            marks = f"low {volume(self.low_ul, self.first)}, full {marks}"
        reused = f", {volume(self.reused_ul, self.first)} reused" if self.reused_ul else ""
        stands = state_words(self.state, single=self.low_ul == self.full_ul)
        return [
            f"{stands}: it holds {volume(self.held_ul, self.first)}",
            self.still,
            *(f"To open for {self.called(mark)}: {opened.said(self.first)}" for mark, opened in self.to_open),
            self.rests_on,
            "",
            f"Understood: marks {marks}; poured {volume(self.fresh_ul, self.first)} fresh{reused}.",
            *self.cautions,
        ]


# From the catalog's records


def fill_of(at: Marks, level: Level, opened: Open | None, first: str, *, known: bool) -> Fill:
    """A fill as answers tell it; in words the units of `first` come first. `known`: what it held before was said."""
    return Fill(
        state=level.state.value,
        share=round(level.share(at), 6),
        low_ul=round(at.low),
        full_ul=round(at.full),
        held_ul=round(level.held),
        left_in_ul=round(level.left_in),
        poured_ul=round(level.poured),
        fresh_ul=round(level.fresh),
        reused_ul=round(level.reused),
        to_dispose_ul=round(level.lost),
        to_low_ul=round(level.to_low),
        to_full_ul=round(level.to_full),
        over_ul=round(level.over),
        open=opened,
        cautions=(*cautions(*CAUTIONS), ADVICE),
        first=first,
        still=still_to_pour(level, first, single=at.low == at.full),
        stayed=stayed_words(level, first, known=known),
        rests_on=rests_on(level, first, known=known),
    )


def opened_of(found: packs.Opened) -> Opened:
    """What to open as answers tell it."""
    return Opened(
        tuple(Pack(pack.name, round(pack.volume), count) for pack, count in found.packs),
        round(found.total),
        round(found.left_over),
        round(found.missing),
    )
