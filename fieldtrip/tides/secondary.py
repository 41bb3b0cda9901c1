"""High and low waters of a secondary port from those of its standard port.

Three forms, as almanacs print them.  A turn may fall on the neighbouring date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta, timezone
from typing import Protocol

from fieldtrip.errors import UserError
from fieldtrip.tides.records import Turn, turn_faults

_HALF_DAY_H = 12.0
_STAND_M = 0.10  # own judgement: less than tables are good for


class Differences(Protocol):
    """How one high or low water of the secondary port follows from the standard's."""

    def applied(self, turn: Turn) -> Turn:
        """The turn at the secondary port."""


def secondary_turns(
    turns: Sequence[Turn], differences: Differences
) -> tuple[Turn, ...]:
    """The turns of a secondary port, as many and in the same order.

    A high and a low water that differ by centimetres may change places, as in the
    authorities' own tables: such a tide stands (`without_stands`).  Raises
    `UserError` where more than that would no longer follow each other.
    """
    moved = tuple(differences.applied(turn) for turn in turns)
    kept = without_stands(moved)
    is_lost = len(moved) > 1 and len(kept) < 2
    faults = turn_faults(kept) if len(kept) > 1 else []
    if is_lost or faults:
        why = faults[0] if faults else "No high water is higher than the low waters."
        raise UserError(f"With these differences the tides cannot be told. {why}")
    return moved


def without_stands(turns: Sequence[Turn]) -> tuple[Turn, ...]:
    """Turns without the pairs that differ by centimetres the wrong way round."""
    kept: list[Turn] = []
    for turn in turns:
        if kept and (turn.height_m > kept[-1].height_m) != turn.is_high:
            before = kept[-1]
            if abs(turn.height_m - before.height_m) <= _STAND_M:
                kept.pop()
                continue
        kept.append(turn)
    return tuple(kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioAboutMeanLevel:
    """Mean time differences, and the rise about mean level times a ratio.

    Source: New Zealand Nautical Almanac 2013-14, pp. 30-31 (LINZ).
    """

    high: timedelta  # added to the standard port's times
    low: timedelta
    ratio: float
    standard_mean_level_m: float  # above the standard port's datum
    mean_level_m: float  # above the secondary port's datum

    def applied(self, turn: Turn) -> Turn:
        """The turn at the secondary port."""
        rise_m = self.ratio * (turn.height_m - self.standard_mean_level_m)
        later = self.high if turn.is_high else self.low
        return Turn(turn.instant + later, self.mean_level_m + rise_m, turn.is_high)


@dataclass(frozen=True, slots=True)
class Offset:
    """One column of a table of differences: a time, and a factor or a height."""

    later: timedelta
    factor: float = 1.0
    higher_m: float = 0.0


@dataclass(frozen=True, slots=True)
class HighAndLowOffsets:
    """Times and heights for high and for low water by themselves.

    Source: NOAA CO-OPS, tide tables, differences of subordinate stations; factor
    and height as in Queensland's tables.
    """

    high: Offset
    low: Offset

    def applied(self, turn: Turn) -> Turn:
        """The turn at the secondary port."""
        offset = self.high if turn.is_high else self.low
        height_m = turn.height_m * offset.factor + offset.higher_m
        return Turn(turn.instant + offset.later, height_m, turn.is_high)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockDifferences:
    """Differences of high or of low water by the standard port's clock and height.

    Of time at two clock hours six hours apart, and the same twelve hours on, by
    the line between them; of height at mean springs and neaps, by the line through
    them and beyond.
    """

    first_hour: float  # of the standard port's clock: 0 for 0000 and 1200
    at_first: timedelta
    at_second: timedelta  # six hours later
    springs_m: float  # the standard port's mean spring height
    neaps_m: float
    at_springs_m: float
    at_neaps_m: float

    def later(self, turn: Turn, clock: timezone) -> timedelta:
        """The difference of time for a turn."""
        local = turn.instant.astimezone(clock)
        hour = local.hour + local.minute / 60.0 + local.second / 3600.0
        beyond = (hour - self.first_hour) % _HALF_DAY_H
        part = min(beyond, _HALF_DAY_H - beyond) / 6.0
        return self.at_first + (self.at_second - self.at_first) * part

    def higher_m(self, height_m: float) -> float:
        """The difference of height for a height above the standard port's datum."""
        if self.springs_m == self.neaps_m:
            return self.at_springs_m
        part = (height_m - self.neaps_m) / (self.springs_m - self.neaps_m)
        return self.at_neaps_m + (self.at_springs_m - self.at_neaps_m) * part


@dataclass(frozen=True, slots=True, kw_only=True)
class InterpolatedDifferences:
    """The Admiralty's form: differences by the clock and by the height.

    The standard port's change with the season is taken off first, the secondary
    port's added last.  Source: Admiralty Tide Tables, method of secondary ports.
    """

    high: ClockDifferences
    low: ClockDifferences
    clock: timezone  # of the standard port's table, without summer time
    standard_season_m: float = 0.0
    season_m: float = 0.0

    def applied(self, turn: Turn) -> Turn:
        """The turn at the secondary port, to the minute as the tables have it."""
        by = self.high if turn.is_high else self.low
        minutes = round(by.later(turn, self.clock) / timedelta(minutes=1))
        plain_m = turn.height_m - self.standard_season_m
        return replace(
            turn,
            instant=turn.instant + timedelta(minutes=minutes),
            height_m=plain_m + by.higher_m(plain_m) + self.season_m,
        )
