"""How one ring does in every standard groove of another: judged once, kept in a table.

`catalog/data/orings/outcomes.bin` holds, for every two standard sizes that may stand in for each other at all, the
verdict of `gland.assess` in each of the grooves of `seats`, without a service. It is worked out by

    python -m catalog.orings.outcomes

which takes some minutes, and is to be run again when a size, a groove table or a rule of the gland changes (a test says
so). With a service, with other groove tables, or for a shop's own sizes and grooves the same is reckoned on the spot.

The file: zlib over, for each size in the order of `all_sizes`, four bytes with how many grooves each kind of joint
has (plug, bore, cover, shaft; the first has 128 more where the size is a port's own ring), two bytes with the number of
rings, and for each ring its place in `all_sizes` (two bytes) and its verdicts, two bits each (0 seals, 1 marginal, 2
will not), in as many bytes as that takes. Little-endian. A ring that will not seal in any of the grooves is left out.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator, Mapping
from functools import cache, lru_cache
from pathlib import Path
from struct import iter_unpack, pack, unpack_from
from typing import TYPE_CHECKING, Final, NamedTuple

from catalog import orings
from catalog.orings.fitted import FITTED
from catalog.orings.joint_kind import JointKind
from catalog.orings.reason import Verdict
from catalog.orings.sizes import RingSize, all_sizes

if TYPE_CHECKING:
    from catalog.orings.figures import Service
    from catalog.orings.seats import Tables

TABLE: Final = Path(__file__).parent.parent / "data" / "orings" / "outcomes.bin"
KINDS: Final = (JointKind.PLUG, JointKind.BORE, JointKind.COVER, JointKind.SHAFT)
_VERDICTS: Final = tuple(Verdict)
_WILL_NOT: Final = 2
_OF_A_PORT: Final = 0x80
_FOUR: Final = tuple(tuple(byte >> 2 * at & 3 for at in range(4)) for byte in range(256))
"""The four verdicts in a byte."""
# How far apart two sizes may be, as shares of ID and width, and still be judged; farther ones never seal.
_ID_SHARE: Final = (0.80, 1.15)
_ID_MM: Final = 0.6
_WIDTH_SHARE: Final = 0.35


class Outcome(NamedTuple):
    """One groove of the old ring: its share of 1 in its kind of joint; whether the new ring is as good there as the old
    one is; whether it is marginal where the old one isn't. Where the old one itself would not seal, another is as good
    only if it is at least marginal.
    """

    share: float
    as_good: bool
    marginal: bool
    seals: bool
    is_marginal: bool


class Row(NamedTuple):
    """One size's grooves: how many in each kind of joint, and the verdicts of each ring by its place.

    `of_a_port`: whether a port takes this size.
    """

    of_a_port: bool
    counts: tuple[int, ...]
    verdicts: Mapping[int, bytes]


def outcomes(
    ring: RingSize, old: RingSize, kind: JointKind, service: Service | None, tables: Tables
) -> tuple[Outcome, ...]:
    """How `ring` does in each groove of this joint that `old` may sit in; nothing where no table has one."""
    if service is None and _as_kept(old, kind, tables):
        at_old, at_ring = place_of(old), place_of(ring)
        if at_old is not None and at_ring is not None:
            return _from_table(at_ring, at_old, KINDS.index(kind))
    return (_reckoned if old.designation else _reckoned_once)(ring, old, kind, service, tables)


def _as_kept(old: RingSize, kind: JointKind, tables: Tables) -> bool:
    """Whether a size sits in the grooves that the table was worked out for."""
    if tables is None or isinstance(tables, frozenset):
        return tables is None
    return orings.seats.are_ours(old, kind, tables)


def is_of_a_port(size: RingSize, tables: Tables = None) -> bool:
    """Whether a port of our tables, or one of the shop's own, takes a ring of this size."""
    if tables is not None and not isinstance(tables, frozenset) and size.key in tables.port_keys:
        return True
    at = _places().get(size.key)
    return at is not None and row_of(at).of_a_port


def summed(
    ring: RingSize,
    old: RingSize,
    kinds: Mapping[JointKind, float],
    service: Service | None,
    tables: Tables,
    *,
    strict: bool = False,
) -> tuple[float, float, float]:
    """Shares over the grooves of all these kinds of joint, each with its weight: of all grooves there are, of those
    where `ring` is as good as `old`, and of those where it is marginal and `old` isn't. A port has no groove here.

    `strict`: of those where it seals and where it is marginal, whatever `old` does there.
    """
    if service is None and (tables is None or all(_as_kept(old, kind, tables) for kind in KINDS if kinds.get(kind))):
        at_old, at_ring = place_of(old), place_of(ring)
        if at_old is not None and at_ring is not None:
            return _summed(at_ring, at_old, tuple(kinds.get(kind, 0.0) for kind in KINDS), strict)
    total = seals = marginal = 0.0
    for kind in KINDS:
        share = kinds.get(kind, 0.0)
        for groove in outcomes(ring, old, kind, service, tables) if share else ():
            total += share * groove.share
            seals += share * groove.share * (groove.seals if strict else groove.as_good)
            marginal += share * groove.share * (groove.is_marginal if strict else groove.marginal)
    return total, seals, marginal


@lru_cache(maxsize=8192)
def _weights(at_old: int, kinds: tuple[float, ...]) -> tuple[float, tuple[tuple[float, int], ...]]:
    """What the grooves of these joints weigh in all, and each one's weight with the size's own verdict there."""
    row = row_of(at_old)
    own = _unpacked(row.verdicts.get(at_old), 0, sum(row.counts))
    found, at, total = [], 0, 0.0
    for share, count in zip(kinds, row.counts, strict=True):
        codes = own[at : at + count]
        fitted = [FITTED[_VERDICTS[code]] for code in codes]
        whole = sum(fitted)
        found += [(share * weight / whole, code) for weight, code in zip(fitted, codes, strict=True)]
        total += share if count else 0.0
        at += count
    return total, tuple(found)


@lru_cache(maxsize=200_000)
def _summed(at_ring: int, at_old: int, kinds: tuple[float, ...], strict: bool) -> tuple[float, float, float]:
    total, weights = _weights(at_old, kinds)
    packed = row_of(at_old).verdicts.get(at_ring)
    seals = marginal = 0.0
    for code, (weight, own) in zip(_unpacked(packed, 0, len(weights)), weights, strict=True):
        if code == 0 if strict else _as_good(code, own, same=at_ring == at_old):
            seals += weight
        elif code == 1:
            marginal += weight
    return total, seals, marginal


def _reckon(
    ring: RingSize, old: RingSize, kind: JointKind, service: Service | None, tables: Tables
) -> tuple[Outcome, ...]:
    found = []
    for groove, share, own in orings.seats.seats(old, kind, tables):
        verdict = orings.gland.verdict_of(ring, groove, service=service)
        as_good = _as_good(_VERDICTS.index(verdict), _VERDICTS.index(own), same=ring.key == old.key)
        is_marginal = verdict is Verdict.MARGINAL
        found.append(Outcome(share, as_good, is_marginal and not as_good, verdict is Verdict.SEALS, is_marginal))
    return tuple(found)


_reckoned: Final = lru_cache(maxsize=100_000)(_reckon)
_reckoned_once: Final = lru_cache(maxsize=2_000)(_reckon)
"""Of a ring of no standard, which is met once."""


@lru_cache(maxsize=100_000)
def _from_table(at_ring: int, at_old: int, kind: int) -> tuple[Outcome, ...]:
    row = row_of(at_old)
    first = sum(row.counts[:kind])
    own = _unpacked(row.verdicts.get(at_old), first, row.counts[kind])
    found = _unpacked(row.verdicts.get(at_ring), first, row.counts[kind])
    weights = [FITTED[_VERDICTS[code]] for code in own]
    total = sum(weights)
    return tuple(
        Outcome(
            weight / total,
            as_good := _as_good(code, own_code, same=at_ring == at_old),
            code == 1 and not as_good,
            code == 0,
            code == 1,
        )
        for weight, code, own_code in zip(weights, found, own, strict=True)
    )


def _as_good(code: int, own: int, *, same: bool) -> bool:
    """Whether a ring of this verdict is as good as one of that: where neither seals, only the ring itself is."""
    return code <= own and (same or code != _WILL_NOT)


def _unpacked(packed: bytes | None, first: int, count: int) -> list[int]:
    if packed is None:
        return [_WILL_NOT] * count
    return [code for byte in packed for code in _FOUR[byte]][first : first + count]


def place_of(size: RingSize) -> int | None:
    """Its place in the table; None for a shop's own size, and for one that the shop has corrected."""
    at = _places().get(size.key)
    if at is None:
        return None
    ours = all_sizes()[at]
    return at if ours is size or _made(ours) == _made(size) else None


def _made(size: RingSize) -> tuple[float, float, float, float]:
    return size.id_mm, size.id_tol_mm, size.cross_section_mm, size.cross_section_tol_mm


@cache
def _places() -> dict[str, int]:
    return {size.key: at for at, size in enumerate(all_sizes())}


@cache
def _file() -> tuple[bytes, tuple[int, ...]]:
    """The table and where each size's part begins."""
    whole = zlib.decompress(TABLE.read_bytes())
    starts, at = [], 0
    while at < len(whole):
        starts.append(at)
        rings = unpack_from("<H", whole, at + 4)[0]
        at += 6 + rings * (2 + _width(whole[at : at + 4]))
    return whole, tuple(starts)


def _counts(head: bytes) -> tuple[int, ...]:
    return head[0] & ~_OF_A_PORT, *head[1:4]


def _width(head: bytes) -> int:
    return -(-sum(_counts(head)) // 4)


@lru_cache(maxsize=4096)
def row_of(at_old: int) -> Row:
    """What the table says of one size, by its place."""
    whole, starts = _file()
    start = starts[at_old]
    head = whole[start : start + 4]
    width = _width(head)
    rings = unpack_from("<H", whole, start + 4)[0]
    body = whole[start + 6 : start + 6 + rings * (2 + width)]
    return Row(bool(head[0] & _OF_A_PORT), _counts(head), dict(iter_unpack(f"<H{width}s", body)))


def reckoned(old: RingSize) -> bytes:
    """The table's part for one size, worked out anew."""
    grooves = [[seat.groove for seat in orings.seats.seats(old, kind)] for kind in KINDS]
    flat = [groove for kind in grooves for groove in kind]
    head = bytes(len(kind) for kind in grooves)
    if old.key in orings.seats.port_keys():
        head = bytes((head[0] | _OF_A_PORT, *head[1:]))
    found = []
    for at, ring in _near(old):
        codes = [_VERDICTS.index(orings.gland.verdict_of(ring, groove)) for groove in flat]
        if ring.key == old.key or any(code != _WILL_NOT for code in codes):
            packed = bytearray(_width(head))
            for place, code in enumerate(codes):
                packed[place // 4] |= code << 2 * (place % 4)
            found.append(pack("<H", at) + bytes(packed))
    return head + pack("<H", len(found)) + b"".join(found)


def kept(old: RingSize) -> bytes:
    """The table's part for one size, as it is kept."""
    whole, starts = _file()
    at = _places()[old.key]
    return whole[starts[at] : starts[at + 1] if at + 1 < len(starts) else len(whole)]


def _near(old: RingSize) -> Iterator[tuple[int, RingSize]]:
    for at, ring in enumerate(all_sizes()):
        if (
            _ID_SHARE[0] * old.id_mm - _ID_MM <= ring.id_mm <= _ID_SHARE[1] * old.id_mm + _ID_MM
            and abs(ring.cross_section_mm / old.cross_section_mm - 1.0) <= _WIDTH_SHARE
        ):
            yield at, ring


def main(write: Callable[[str], None] = print) -> None:
    """Work the table out and write it, on all processors."""
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor() as pool:
        parts = list(pool.map(reckoned, all_sizes(), chunksize=8))
    TABLE.write_bytes(zlib.compress(b"".join(parts), 9))
    write(f"{len(parts)} sizes, {TABLE.stat().st_size:,} bytes")


if __name__ == "__main__":
    main()
