"""A tide file and what a person adds to it, into turns, heights or constants.

What neither the file nor a person says is asked for, never supposed; what the file
says cannot be said otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timezone

import numpy as np

from fieldtrip.arrays import Array, Instants
from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_file import (
    FIRST_YEAR,
    LAST_YEAR,
    METRES,
    Reading,
    TideFile,
    TideKind,
)
from fieldtrip.exchange.tide_lines import Row
from fieldtrip.exchange.tide_rows import TurnsRead, choices_of, turns_of_rows
from fieldtrip.exchange.tide_text import clock_zone, read_turns, zone_name
from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.records import Turn, turn_faults
from fieldtrip.times import to_instant

LOWEST_M, HIGHEST_M = -10.0, 20.0
# Nowhere do tides span more: Minas Basin 16 m (common knowledge).  From 9 m on few
# ports do, and metres may be feet (own judgement).
LARGEST_RANGE_M, RARE_RANGE_M = 17.0, 9.0
# Feet taken for metres give 3.28 times the range, but springs give twice that of
# neaps (own judgement).
_FAR_APART = 2.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What a person says that a file does not; empty or None: not said."""

    zone: str = ""
    unit: str = ""
    datum: str = ""
    port: str = ""
    z0_m: float | None = None


@dataclass(frozen=True, slots=True)
class SeriesRead:
    """Heights in order of time; arrays of one shape."""

    instants: Instants
    heights_m: Array
    notes: tuple[str, ...]


def asked(file: TideFile) -> tuple[str, ...]:
    """Which of zone, unit, datum, port and z0 the file does not say."""
    found = []
    if file.is_timed and not file.zone and not _is_aware(file):
        found.append("zone")
    if not file.unit:
        found.append("unit")
    if not file.datum:
        found.append("datum")
    if not file.port:
        found.append("port")
    if file.kind is TideKind.CONSTANTS and not file.levels:
        found.append("z0")
    return tuple(found)


def settled(file: TideFile, facts: Facts) -> Facts:
    """All facts of a file.

    Raises `UserError` for one that is missing, or that the file states otherwise;
    of datum and port the program that asks decides whether they may be missing.
    """
    if not file.is_timed:
        zone = ""
    elif _is_aware(file) and not file.zone:
        zone = facts.zone or "UTC"
    else:
        zone = _zone(file, facts.zone)
    unit = _said("unit", file.unit, facts.unit)
    if not unit:
        raise UserError("The file does not say in which unit its heights are.")
    if unit not in METRES:
        raise UserError("The unit of heights is m, cm or ft.")
    z0_m = _z0_m(file, facts.z0_m, unit) if file.kind is TideKind.CONSTANTS else None
    return Facts(
        zone=zone,
        unit=unit,
        datum=_said("datum", file.datum, facts.datum),
        port=facts.port or file.port,  # a person may call it otherwise
        z0_m=z0_m,
    )


def turns_of(files: Sequence[TideFile], facts: Facts) -> TurnsRead:
    """The turns of tables of one port, in order of time; shared ones once.

    Raises `UserError` naming the file and the line at fault.
    """
    found: dict[datetime, Turn] = {}
    notes: list[str] = []
    for file in files:
        try:
            read = _turns_of(file, settled(file, facts))
        except UserError as error:
            raise UserError(f"{file.name}: {error}") from error
        notes += [f"{file.name}: {note}" for note in (*file.notes, *read.notes)]
        for turn in read.turns:
            other = found.setdefault(turn.instant, turn)
            if other != turn:
                raise UserError(
                    f"{file.name}: at {turn.instant:%Y-%m-%d %H:%M} UTC another file "
                    "has another height."
                )
    turns = tuple(found[instant] for instant in sorted(found))
    if faults := turn_faults(turns):
        raise UserError(faults[0])
    return TurnsRead(turns, tuple(notes))


def series_of(files: Sequence[TideFile], facts: Facts) -> SeriesRead:
    """The even heights of files of one port, in order of time; shared ones once.

    Raises `UserError` naming the file and the line at fault.
    """
    at: dict[datetime, float] = {}
    notes: list[str] = []
    for file in files:
        try:
            known = settled(file, facts)
            found = zip(_instants(file, known), _heights(file, known), strict=True)
            for instant, height_m in found:
                if at.setdefault(instant, height_m) != height_m:
                    raise UserError(
                        f"at {instant:%Y-%m-%d %H:%M} UTC another height was read."
                    )
        except UserError as error:
            raise UserError(f"{file.name}: {error}") from error
        notes += [f"{file.name}: {note}" for note in file.notes]
    order = sorted(at)
    return SeriesRead(
        np.array([to_instant(instant) for instant in order]),
        np.array([at[instant] for instant in order]),
        tuple(notes),
    )


def constants_of(file: TideFile, facts: Facts) -> HarmonicConstants:
    """The constants of a file with its mean level above its datum.

    Raises `UserError` where something is missing or unsound.
    """
    known = settled(file, facts)
    assert known.z0_m is not None
    made = HarmonicConstants(
        port=known.port or file.name,
        datum=known.datum,
        z0_m=known.z0_m,
        constants=tuple(
            Constant(c.name, c.amplitude * METRES[known.unit], c.greenwich_phase_deg)
            for c in file.constants
        ),
    )
    if faults := made.faults():
        raise UserError(f"{file.name}: {faults[0]}")
    return made


def mean_range_m(heights_m: Array) -> float | None:
    """The mean rise or fall of turns, or of even heights; None where there is none."""
    if len(heights_m) < 2:
        return None
    steps = np.diff(heights_m)
    steps = steps[steps != 0.0]
    turned = np.flatnonzero(np.diff(np.sign(steps)) != 0.0)
    # Steps the same way belong to one rise or fall.
    parts = np.split(steps, turned + 1)
    return float(np.mean([abs(part.sum()) for part in parts])) if len(steps) else None


def range_doubt(heights_m: Array, known_mean_m: float | None) -> str:
    """A question where heights span what hardly any port has, or not that one.

    `known_mean_m` is the mean range there by another source.  Empty: no doubt.
    """
    mean_m = mean_range_m(heights_m)
    if mean_m is not None and known_mean_m:
        ratio = mean_m / known_mean_m
        told = (
            f"The mean range is {mean_m:.2f} m, but {known_mean_m:.2f} m by what is "
            "known of this place already."
        )
        if ratio >= _FAR_APART:
            return f"{told} Are these heights in feet?"
        if ratio <= 1.0 / _FAR_APART:
            return f"{told} Are these heights in metres, not in feet?"
    span_m = float(heights_m.max() - heights_m.min())
    if span_m > RARE_RANGE_M:
        return (
            f"The heights span {span_m:.1f} m, which few ports have. Is the unit right?"
        )
    return ""


def _turns_of(file: TideFile, known: Facts) -> TurnsRead:
    if file.text:
        return read_turns(file.text, known.zone, known.unit)
    clock = clock_zone(known.zone)
    rows = [
        Row(reading.place, reading.clock, height_m, reading.is_high)
        for reading, height_m in zip(
            file.turns, _metres(file.turns, file, known), strict=True
        )
    ]
    read = turns_of_rows(rows, clock, may_stand=file.may_stand, place=file.place)
    _refuse_range([turn.height_m for turn in read.turns], known.unit)
    return read


def _instants(file: TideFile, known: Facts) -> list[datetime]:
    """Instants that follow one another; in a repeated hour, the first that does."""
    clock = clock_zone(known.zone)
    found: list[datetime] = []
    for reading in file.series:
        choices = choices_of(reading.clock, clock)
        after = [c for c in choices if not found or c > found[-1]]
        if not after:
            raise UserError(
                f"{file.place} {reading.place}: {reading.clock:%H:%M on %Y-%m-%d} does "
                "not come after the time before it."
            )
        found.append(after[0])
    return found


def _heights(file: TideFile, known: Facts) -> list[float]:
    heights = _metres(file.series, file, known)
    _refuse_range(heights, known.unit)
    return heights


def _metres(readings: Sequence[Reading], file: TideFile, known: Facts) -> list[float]:
    heights = []
    for reading in readings:
        if not FIRST_YEAR <= reading.clock.year <= LAST_YEAR:
            raise UserError(
                f"{file.place} {reading.place} is of the year {reading.clock.year}."
            )
        height_m = round(reading.height * METRES[known.unit], 6)
        if not LOWEST_M <= height_m <= HIGHEST_M:
            raise UserError(
                f"{file.place} {reading.place} has the height {reading.height:g} "
                f"{known.unit}, which no tide has; is the unit right?"
            )
        heights.append(height_m)
    return heights


def _refuse_range(heights_m: Sequence[float], unit: str) -> None:
    span_m = max(heights_m) - min(heights_m)
    if span_m > LARGEST_RANGE_M:
        raise UserError(
            f"The heights span {span_m:.1f} m as {unit}, which no port has; is the "
            "unit right?"
        )


def _is_aware(file: TideFile) -> bool:
    readings = file.turns or file.series
    return bool(readings) and all(r.clock.tzinfo is not None for r in readings)


def _zone(file: TideFile, given: str) -> str:
    if file.zone:
        if given and zone_name(given) != zone_name(file.zone):
            raise UserError(
                f"The file says that its times are in {file.zone}, not in {given}."
            )
        return file.zone
    if not given:
        raise UserError("The file does not say in which zone its times are.")
    if file.has_summer_time and _is_offset(given):
        raise UserError(
            "The file says that its times follow summer time: give the zone by its "
            "name, such as Pacific/Auckland, not as an offset."
        )
    if file.has_summer_time is False and not _is_fixed(given, file):
        raise UserError(
            "The file says that its times keep standard time all year: give the zone "
            "as an offset, such as UTC-8."
        )
    return given


def _is_offset(given: str) -> bool:
    """Whether a zone is one offset for ever, by its own name or another."""
    is_plain = given in ("UTC", "GMT") or given.startswith("Etc/")
    return is_plain or isinstance(clock_zone(given), timezone)


def _is_fixed(given: str, file: TideFile) -> bool:
    """Whether a zone has one offset throughout the file."""
    clock = clock_zone(given)
    readings = file.turns or file.series
    offsets = {reading.clock.replace(tzinfo=clock).utcoffset() for reading in readings}
    return len(offsets) < 2


def _said(what: str, stated: str, given: str) -> str:
    if stated and given and stated.casefold() != given.casefold():
        raise UserError(f"The file says that its {what} is {stated}, not {given}.")
    return stated or given


def _z0_m(file: TideFile, given_m: float | None, unit: str) -> float:
    if not file.levels:
        if given_m is None:
            raise UserError(
                "The file does not say how far mean sea level lies above the datum."
            )
        return given_m
    if given_m is not None:
        raise UserError(
            "The file says where mean sea level lies; do not give it again."
        )
    levels = dict(file.levels)
    scale = METRES[file.levels_unit or unit]
    return (levels["MSL"] - levels[file.datum]) * scale
