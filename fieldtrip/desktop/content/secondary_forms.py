"""The three forms of differences of a secondary port, figure by figure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, timedelta, timezone
from enum import StrEnum

from fieldtrip.desktop.content.tide_typing import METRES_PER_UNIT
from fieldtrip.faults import finite
from fieldtrip.tides.secondary import (
    ClockDifferences,
    HighAndLowOffsets,
    InterpolatedDifferences,
    Offset,
    RatioAboutMeanLevel,
)
from fieldtrip.tides.stations import KnownDifferences

Figures = Mapping[str, float | None]
_HIGHEST_M = 30.0


class Form(StrEnum):
    """How a table gives the differences, in the words of the window."""

    RATIO = "mean time differences, and a ratio about mean level"
    OFFSETS = "high and low water each with a time, and a ratio or a height"
    CLOCK = "differences by the clock, and by springs and neaps"


class Sort(StrEnum):
    """What a figure is; the value is its unit, empty for a ratio."""

    MINUTES = "min"
    RATIO = ""
    HEIGHT = "height"  # in the unit that was chosen
    HOURS = "h"


_LIMITS = {
    Sort.MINUTES: (-720.0, 720.0, "minutes"),
    Sort.RATIO: (0.01, 10.0, "times the standard port's"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """A figure by itself, or the same for high and for low water."""

    label: str
    sort: Sort
    keys: tuple[str, ...]  # one; or that of high water, then that of low water
    tip: str = ""
    is_optional: bool = False

    def name_of(self, key: str) -> str:
        """What one of its figures is called where it stands alone."""
        if len(self.keys) == 1:
            return self.label
        return f"{self.label}, {'high' if key == self.keys[0] else 'low'} water"


def _pair(label: str, sort: Sort, key: str, tip: str = "") -> Row:
    return Row(label, sort, (f"high_{key}", f"low_{key}"), tip)


ROWS: dict[Form, tuple[Row, ...]] = {
    Form.RATIO: (
        _pair("Time difference", Sort.MINUTES, "later"),
        Row("Ratio of the rise and fall", Sort.RATIO, ("ratio",)),
        Row(
            "Mean level at the standard port",
            Sort.HEIGHT,
            ("standard_mean",),
            "Above the standard port's own datum.",
        ),
        Row(
            "Mean level here",
            Sort.HEIGHT,
            ("mean",),
            "Above the datum of the secondary port.",
        ),
    ),
    Form.OFFSETS: (
        _pair("Time difference", Sort.MINUTES, "later"),
        Row("Ratio of heights", Sort.RATIO, ("high_factor", "low_factor"), "", True),
        Row("Height to add", Sort.HEIGHT, ("high_add", "low_add"), "", True),
    ),
    Form.CLOCK: (
        _pair(
            "First column is for",
            Sort.HOURS,
            "hour",
            "The first clock time above the column: 6 for 0600 and 1800.",
        ),
        _pair("Time difference, first column", Sort.MINUTES, "first"),
        _pair("Time difference, 6 h later", Sort.MINUTES, "second"),
        _pair("Standard port's height, springs", Sort.HEIGHT, "springs"),
        _pair("Standard port's height, neaps", Sort.HEIGHT, "neaps"),
        _pair("Height difference, springs", Sort.HEIGHT, "at_springs"),
        _pair("Height difference, neaps", Sort.HEIGHT, "at_neaps"),
        Row(
            "Standard port's clock, ahead of UTC",
            Sort.HOURS,
            ("clock",),
            "As its table is printed, without summer time: 0 for UTC, 1 for UTC+1.",
        ),
        Row(
            "Change with the season, standard port",
            Sort.HEIGHT,
            ("standard_season",),
            "Taken off before the differences are sought.",
            True,
        ),
        Row(
            "Change with the season, here",
            Sort.HEIGHT,
            ("season",),
            "Added last.",
            True,
        ),
    ),
}
_TIMES = (
    "Times are minutes to add to the standard port's: 75 for +0115, and −22 where the "
    "tide comes 22 minutes earlier here. Both ports' times are meant in one zone; "
    "where the table keeps two, take the hours between them off first."
)
HINTS = {
    Form.RATIO: f"{_TIMES} The ratio is that of the rise above and the fall below "
    "mean level.",
    Form.OFFSETS: f"{_TIMES} The standard port's height times the ratio, and the "
    "height to add after that; with a minus where the water stands lower here. "
    "Leave empty what the table does not give of the two.",
    Form.CLOCK: f"{_TIMES} Heights to add have a minus where the water stands lower "
    "here. The first column's hour is 6 for 0600 and 1800, and the second's six "
    "hours later: other tables cannot be typed here. The changes "
    "with the season are those of the month; leave them empty if there are none.",
}


def differences_typed(
    form: Form, figures: Figures, unit: str
) -> tuple[KnownDifferences | None, tuple[str, ...]]:
    """The differences that figures make, or what keeps them from it, in sentences."""
    rows = [(row, key) for row in ROWS[form] for key in row.keys]
    missing = [
        row.name_of(key).lower()
        for row, key in rows
        if not row.is_optional and figures.get(key) is None
    ]
    faults = [f"Still to type: {'; '.join(missing)}."] if missing else []
    per_unit_m = METRES_PER_UNIT[unit]
    known: dict[str, float] = {}
    for row, key in rows:
        figure = figures.get(key)
        least, most, words = _limits(row.sort, key, unit)
        faults += finite(row.name_of(key), figure, least, most, words)
        if figure is not None:
            known[key] = figure * (per_unit_m if row.sort is Sort.HEIGHT else 1.0)
    if form is Form.OFFSETS:
        faults += [
            f"Type a ratio or a height to add for {side} water; a ratio of 1 where "
            "the heights are the same."
            for side in ("high", "low")
            if f"{side}_factor" not in known and f"{side}_add" not in known
        ]
    if form is Form.CLOCK and not faults:
        faults += _upside_down(known)
    return (None, tuple(faults)) if faults else (_made(form, known), ())


def figures_of(differences: KnownDifferences, unit: str) -> tuple[Form, Figures]:
    """Kept differences as they would be typed: the inverse of `differences_typed`."""
    values: dict[str, float] = {}
    match differences:
        case RatioAboutMeanLevel():
            form = Form.RATIO
            values = {
                "high_later": _count(differences.high),
                "low_later": _count(differences.low),
                "ratio": differences.ratio,
                "standard_mean": differences.standard_mean_level_m,
                "mean": differences.mean_level_m,
            }
        case HighAndLowOffsets():
            form = Form.OFFSETS
            for side, offset in (("high", differences.high), ("low", differences.low)):
                values |= {
                    f"{side}_later": _count(offset.later),
                    f"{side}_factor": offset.factor,
                    f"{side}_add": offset.higher_m,
                }
        case InterpolatedDifferences():
            form = Form.CLOCK
            for side, by in (("high", differences.high), ("low", differences.low)):
                values |= {
                    f"{side}_hour": by.first_hour,
                    f"{side}_first": _count(by.at_first),
                    f"{side}_second": _count(by.at_second),
                    f"{side}_springs": by.springs_m,
                    f"{side}_neaps": by.neaps_m,
                    f"{side}_at_springs": by.at_springs_m,
                    f"{side}_at_neaps": by.at_neaps_m,
                }
            ahead = differences.clock.utcoffset(None) / timedelta(hours=1)
            values |= {
                "clock": ahead,
                "standard_season": differences.standard_season_m,
                "season": differences.season_m,
            }
    per_unit_m = METRES_PER_UNIT[unit]
    heights = {key for row in ROWS[form] if row.sort is Sort.HEIGHT for key in row.keys}
    # A tenth of a foot is stored as metres, and comes back as what was typed.
    return form, {
        key: round(value / per_unit_m, 6) if key in heights else value
        for key, value in values.items()
    }


def figure_notes(form: Form, figures: Figures) -> tuple[str, ...]:
    """What is odd about the figures, though they may be right."""
    seasons = ("standard_season", "season")
    if form is Form.CLOCK and any(figures.get(key) is None for key in seasons):
        return (
            "Where a change with the season is left empty, none is counted: heights "
            "may be wrong by as much as it is.",
        )
    if form is Form.CLOCK:
        return (
            "The changes with the season hold for the month that they were read for.",
        )
    return ()


def _limits(sort: Sort, key: str, unit: str) -> tuple[float, float, str]:
    if sort is Sort.HEIGHT:
        most = _HIGHEST_M / METRES_PER_UNIT[unit]
        return -round(most), round(most), unit
    if sort is Sort.HOURS:
        return (-12.0, 14.0, "h") if key == "clock" else (0.0, 23.99, "h")
    return _LIMITS[sort]


def _upside_down(known: Mapping[str, float]) -> list[str]:
    found = []
    if known["high_springs"] <= known["high_neaps"]:
        found.append("High water at springs must be higher than at neaps.")
    if known["low_springs"] >= known["low_neaps"]:
        found.append("Low water at springs must be lower than at neaps.")
    return found


def _made(form: Form, known: Mapping[str, float]) -> KnownDifferences:
    match form:
        case Form.RATIO:
            return RatioAboutMeanLevel(
                high=_minutes(known["high_later"]),
                low=_minutes(known["low_later"]),
                ratio=known["ratio"],
                standard_mean_level_m=known["standard_mean"],
                mean_level_m=known["mean"],
            )
        case Form.OFFSETS:
            return HighAndLowOffsets(_offset("high", known), _offset("low", known))
        case Form.CLOCK:
            ahead = _hours(known["clock"])
            return InterpolatedDifferences(
                high=_by_clock("high", known),
                low=_by_clock("low", known),
                clock=timezone(ahead) if ahead else UTC,
                standard_season_m=known.get("standard_season", 0.0),
                season_m=known.get("season", 0.0),
            )


def _offset(side: str, known: Mapping[str, float]) -> Offset:
    return Offset(
        _minutes(known[f"{side}_later"]),
        factor=known.get(f"{side}_factor", 1.0),
        higher_m=known.get(f"{side}_add", 0.0),
    )


def _by_clock(side: str, known: Mapping[str, float]) -> ClockDifferences:
    return ClockDifferences(
        first_hour=known[f"{side}_hour"],
        at_first=_minutes(known[f"{side}_first"]),
        at_second=_minutes(known[f"{side}_second"]),
        springs_m=known[f"{side}_springs"],
        neaps_m=known[f"{side}_neaps"],
        at_springs_m=known[f"{side}_at_springs"],
        at_neaps_m=known[f"{side}_at_neaps"],
    )


def _minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


def _count(later: timedelta) -> float:
    return later / timedelta(minutes=1)


def _hours(count: float) -> timedelta:
    return timedelta(hours=count)
