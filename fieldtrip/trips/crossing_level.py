"""The level at which a crossing shuts, as typed and as seen since.

"Not passable" lowers it at once.  Raising it takes three times that it was passed,
on different days, each confirmed and corrected for the pressure, none older than
twelve months or from before the last storm.  Source: own rule on common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

import numpy as np

from fieldtrip.places.records import CrossingObservation, Leg
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.margins import RISE_PER_HPA_M, STANDARD_PRESSURE_HPA
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, local_date, to_instant
from fieldtrip.trips.tide_sources import same_datum, sources_in_force

NEEDED = 3
LAPSES_AFTER = timedelta(days=365)  # twelve months, to the safe side in a leap year


@dataclass(frozen=True, slots=True)
class LevelInForce:
    """What a crossing's closing level is taken to be, and what that rests on."""

    level_m: float | None  # None: not known
    typed_m: float | None
    passed_m: tuple[float, ...] = ()  # at which it was passed, corrected; lowest first
    refused_m: tuple[float, ...] = ()  # at which it was not; lowest first
    other_datum: int = 0  # observations that count from another datum

    @property
    def is_lowered(self) -> bool:
        """Whether what was seen put it below what was typed."""
        return _differs(self.level_m, self.typed_m, -1.0)

    @property
    def is_raised(self) -> bool:
        """Whether what was seen put it above what was typed."""
        return _differs(self.level_m, self.typed_m, 1.0)

    @property
    def scatter_m(self) -> float | None:
        """How far what was seen contradicts itself: passed above, refused below.

        0 where it does not; None where one of the two was never seen.
        """
        if not self.passed_m or not self.refused_m:
            return None
        return max(0.0, self.passed_m[-1] - self.refused_m[0])


def level_in_force(
    leg: Leg, seen: Sequence[CrossingObservation], at: datetime, zone: str
) -> LevelInForce:
    """The closing level of a leg at an instant, by what was seen of it.

    That it could not be passed counts whenever it was seen.  `zone` is the place's,
    in which days are counted.
    """
    own = [
        each
        for each in seen
        if each.leg_id == leg.id and (each.instant <= at or not each.is_passable)
    ]
    fitting = [each for each in own if same_datum(each.datum, leg.shut_datum)]
    passed = sorted(_corrected_m(each) for each in fitting if each.is_passable)
    refused = sorted(_corrected_m(each) for each in fitting if not each.is_passable)
    level_m = leg.shut_above_m
    if level_m is not None:
        raised_m = _raised_m(leg, fitting, at, zone)
        level_m = level_m if raised_m is None else max(level_m, raised_m)
        level_m = min([level_m, *refused])
    return LevelInForce(
        level_m,
        leg.shut_above_m,
        tuple(passed),
        tuple(refused),
        len(own) - len(fitting),
    )


def as_told_now(
    seen: Sequence[CrossingObservation], sources: tuple[TideSource, ...]
) -> tuple[CrossingObservation, ...]:
    """What was seen, at no greater height than today's sources tell of that moment.

    A height noted by a former station or table is no height by those in force now, so
    the lower of the two counts.  Where no source knows the moment, that it was passed
    raises nothing, and that it was not counts as noted.
    """
    return tuple(_told_now(each, sources) for each in seen)


def _told_now(
    seen: CrossingObservation, sources: tuple[TideSource, ...]
) -> CrossingObservation:
    moment = Span(seen.instant, seen.instant)
    heights_m = [
        float(source.curve.heights_m(np.array([to_instant(seen.instant)]))[0])
        for source in sources_in_force(sources, moment, seen.datum)
        if source.covers(moment)
        and source.curve.confidence(moment) is not Confidence.UNKNOWN
    ]
    if not heights_m:
        return replace(seen, is_confirmed=False)
    return replace(seen, level_m=min(seen.level_m, *heights_m))


def _raised_m(
    leg: Leg, seen: Sequence[CrossingObservation], at: datetime, zone: str
) -> float | None:
    """The level that three days attest; None where they do not."""
    by_day: dict[date, float] = {}
    for each in seen:
        if not each.is_passable or not each.is_confirmed or each.pressure_hpa is None:
            continue
        day = local_date(each.instant, zone)
        is_before_storm = leg.last_storm is not None and day <= leg.last_storm
        if is_before_storm or at - each.instant > LAPSES_AFTER:
            continue
        by_day[day] = max(by_day.get(day, -99.0), _corrected_m(each))
    best = sorted(by_day.values(), reverse=True)
    return best[NEEDED - 1] if len(best) >= NEEDED else None


def _corrected_m(seen: CrossingObservation) -> float:
    """The level with what the pressure did to it, as far as that is the safe side.

    A high pressure held the sea below its prediction; that a low one lifted it is
    not made use of.
    """
    if seen.pressure_hpa is None:
        return seen.level_m
    sunk_m = (seen.pressure_hpa - STANDARD_PRESSURE_HPA) * RISE_PER_HPA_M
    return seen.level_m - max(0.0, sunk_m)


def _differs(level_m: float | None, typed_m: float | None, sign: float) -> bool:
    return (
        level_m is not None and typed_m is not None and sign * (level_m - typed_m) > 0.0
    )
