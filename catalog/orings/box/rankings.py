"""A box of rings ranked: `match.rank` for many at once, each ring's ranking as it would be by itself.

The probabilities are those of `names`, which are a single ring's to about 1e-11. A ring for which that might change
more than a last digit (two names equally likely), or of which more is to be said (it is rather of no standard), is left
to be ranked by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

import numpy as np

from catalog.orings.box.names import Entered, Named, names
from catalog.orings.box.normal import Flags
from catalog.orings.box.sizes import arrays_of
from catalog.orings.doubt import doubt
from catalog.orings.evidence import Evidence
from catalog.orings.likelihood import Fit, terms
from catalog.orings.match import Match, Ranking, residuals
from catalog.orings.posterior import Look, Posterior
from catalog.orings.prior import Prior
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import RingSize

ALIKE: Final = 1e-9
"""Two names whose probabilities differ by less may change places by rounding."""
HALF: Final = 0.5 - ALIKE
"""From here on it is rather of no standard, and more is said than its names."""


def rankings(
    evidences: Sequence[Evidence], prior: Prior | None = None, own: SizeBook | None = None, *, limit: int = 10
) -> list[Ranking | None]:
    """Each ring's ranking; None for one that is to be ranked by itself."""
    book = own or built_in()
    found: list[Ranking | None] = [None] * len(evidences)
    for named in names(evidences, prior, own, whole=True)[0]:
        for place, ranking in _ranked(named, evidences, book, limit):
            found[place] = ranking
    return found


def _ranked(named: Named, evidences: Sequence[Evidence], book: SizeBook, limit: int) -> Iterator[tuple[int, Ranking]]:
    entered = named.entered
    assert entered is not None
    count = np.arange(len(named.at) + 1)
    first_name = np.searchsorted(named.ring, count).tolist()
    plain = (named.none < HALF) & ~has_equals(named)
    of_names = named.size.tolist(), named.probability.tolist()
    also = _also(named, entered, book)
    by_look = list(
        zip(
            entered.look.tolist(),
            [book.sizes[one] for one in entered.size.tolist()],
            entered.chance.tolist(),
            strict=True,
        )
    )
    first_entry = np.searchsorted(entered.ring, count).tolist()
    strange = [
        list(zip(*(one.tolist() for one in (look.id_mm, look.width_mm, *look.found)), strict=True))
        for look in entered.strange
    ]
    none, look_chance = entered.none.T.tolist(), entered.look_chance.T.tolist()
    for at, (place, none_whole, may) in enumerate(
        zip(named.at.tolist(), named.none.tolist(), plain.tolist(), strict=True)
    ):
        start, stop = first_name[at], first_name[at + 1]
        if not may or start == stop:
            continue
        evidence = evidences[place]
        given = terms(evidence)
        near: dict[str, RingSize] = {}
        shares: list[dict[str, float]] = [{} for _ in entered.looks]
        for look, size, chance in by_look[first_entry[at] : first_entry[at + 1]]:
            near[size.key] = size
            shares[look][size.key] = chance
        looks = []
        for look, condition in enumerate(entered.looks):
            id_mm, width_mm, *fit = strange[look][at]
            looks.append(
                Look(
                    condition, look_chance[at][look], shares[look], none[at][look],
                    given._replace(evidence=evidence._replace(condition=condition)),
                    Fit._make((*fit, len(evidence.readings))), id_mm, width_mm,
                )
            )  # fmt: skip
        looks.sort(key=lambda look: -look.probability)
        chances: dict[str, float] = {}
        for share in shares:
            for key, chance in share.items():
                chances[key] = chances.get(key, 0.0) + chance
        known = Posterior(evidence, tuple(near.values()), chances, none_whole, tuple(looks), None, book)
        sizes = [book.sizes[one] for one in of_names[0][start:stop]]
        named_so = list(zip(sizes, of_names[1][start:stop], strict=True))
        yield (
            place,
            Ranking(
                evidence,
                tuple(
                    [
                        Match(size, chance, also.get(start + nth, ()), residuals(known, size))
                        for nth, (size, chance) in enumerate(named_so[:limit])
                    ]
                ),
                none_whole,
                doubt(named_so, none_whole, look_said=evidence.look_said),
                None,
                None,
                None,
                None,
                tuple([(look.condition, look.probability) for look in looks]),
                known,
            ),
        )


def has_equals(named: Named) -> Flags:
    """Rings with two names that are as likely as each other."""
    found = np.zeros(len(named.at), dtype=bool)
    close = (named.ring[1:] == named.ring[:-1]) & (named.probability[:-1] - named.probability[1:] < ALIKE)
    found[named.ring[1:][close]] = True
    return found


def on_an_edge(named: Named, parts: Iterable[float], sure_to: float) -> Flags:
    """Rings with a probability that, rounded to one of so many parts, lies where rounding turns; known to `sure_to`."""
    found = np.zeros(len(named.at), dtype=bool)
    for one in parts:
        found |= np.abs(named.none * one % 1.0 - 0.5) < sure_to * one
        found[named.ring[np.abs(named.probability * one % 1.0 - 0.5) < sure_to * one]] = True
    return found


def _also(named: Named, entered: Entered, book: SizeBook) -> dict[int, tuple[RingSize, ...]]:
    """The further names of each name that has some, by its place; whose name goes first stands first."""
    name, size = entered.name, entered.size
    new = np.ones(len(name), dtype=bool)
    new[1:] = (entered.ring[1:] != entered.ring[:-1]) | (size[1:] != size[:-1])
    rows = np.flatnonzero(new & (named.size[name] != size))
    rows = rows[np.lexsort((arrays_of(book).by_lead[size[rows]], name[rows]))]
    found: dict[int, list[RingSize]] = {}
    for leader, other in zip(name[rows].tolist(), size[rows].tolist(), strict=True):
        found.setdefault(leader, []).append(book.sizes[other])
    return {leader: tuple(others) for leader, others in found.items()}
