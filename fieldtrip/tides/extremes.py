"""How far a port's tide reaches: over 19 years, and on a day beside its usual range."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from itertools import pairwise

from fieldtrip.tides.constants import HarmonicConstants
from fieldtrip.tides.constituents import canonical_name
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.records import Turn
from fieldtrip.times import Span

NODE_YEARS = 19  # the Moon's node goes round in 18.6
_MIXED_FROM, _MOSTLY_DIURNAL_FROM = 0.25, 1.5  # of the form factor


@dataclass(frozen=True, slots=True)
class AstronomicalTides:
    """The lowest and the highest turn that the astronomy of 19 years brings."""

    lowest: Turn
    highest: Turn


class RangeClass(StrEnum):
    """A day's range beside the usual ones of a port."""

    SPRINGS = "springs"
    BETWEEN = "between springs and neaps"
    NEAPS = "neaps"
    TROPIC = "tropic tides"  # the large ones where one high water a day prevails
    BETWEEN_TROPIC = "between tropic and equatorial tides"
    EQUATORIAL = "equatorial tides"


@dataclass(frozen=True, slots=True)
class UsualRanges:
    """Mean ranges of the large and of the small tides of a fortnight, in metres."""

    large_m: float
    small_m: float
    is_diurnal: bool  # one high water a day prevails: it is the Moon's declination


def astronomical_tides(curve: HarmonicCurve, first_year: int) -> AstronomicalTides:
    """Lowest and highest astronomical tide of the 19 years from a first one."""
    span = Span(
        datetime(first_year, 1, 1, tzinfo=UTC),
        datetime(first_year + NODE_YEARS, 1, 1, tzinfo=UTC),
    )
    turns = curve.turns(span)
    if not turns:
        raise ValueError("a tide that never turns has no lowest and no highest water")
    return AstronomicalTides(
        min(turns, key=lambda turn: turn.height_m),
        max(turns, key=lambda turn: turn.height_m),
    )


def form_factor(constants: HarmonicConstants) -> float | None:
    """(K1 + O1) / (M2 + S2): below 0.25 semidiurnal, above 3 diurnal; None unknown."""
    found = _amplitudes(constants)
    if not {"K1", "O1", "M2", "S2"} <= found.keys():
        return None
    twice_daily = found["M2"] + found["S2"]
    return (found["K1"] + found["O1"]) / twice_daily if twice_daily else None


def usual_ranges(constants: HarmonicConstants) -> UsualRanges | None:
    """Mean spring and neap range, or tropic and equatorial range; None unknown.

    Common practice, no source: twice the sum and twice the difference of M2 and
    S2, or of K1 and O1 where the form factor is 1.5 or more.
    """
    form = form_factor(constants)
    if form is None:
        return None
    found = _amplitudes(constants)
    is_diurnal = form >= _MOSTLY_DIURNAL_FROM
    first, second = ("K1", "O1") if is_diurnal else ("M2", "S2")
    return UsualRanges(
        2.0 * (found[first] + found[second]),
        2.0 * abs(found[first] - found[second]),
        is_diurnal,
    )


def largest_range_m(turns: Iterable[Turn]) -> float | None:
    """The largest rise or fall from a turn to the next; None for fewer than two."""
    steps = [abs(b.height_m - a.height_m) for a, b in pairwise(turns)]
    return max(steps, default=None)


def range_class(range_m: float, usual: UsualRanges) -> RangeClass | None:
    """What a day's range is beside the usual ones; None where those are one.

    The upper and the lower third between them count as springs and as neaps.
    Common practice, no source.
    """
    between_m = usual.large_m - usual.small_m
    if between_m <= 0.0:
        return None
    part = (range_m - usual.small_m) / between_m
    words = (
        (RangeClass.EQUATORIAL, RangeClass.BETWEEN_TROPIC, RangeClass.TROPIC)
        if usual.is_diurnal
        else (RangeClass.NEAPS, RangeClass.BETWEEN, RangeClass.SPRINGS)
    )
    return words[0] if part <= 1 / 3 else words[2] if part >= 2 / 3 else words[1]


def _amplitudes(constants: HarmonicConstants) -> dict[str, float]:
    return {canonical_name(c.name): c.amplitude_m for c in constants.constants}
