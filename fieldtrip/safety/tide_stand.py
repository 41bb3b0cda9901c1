"""Standing where the sea comes: dry with all margins for the whole stay, or not."""

from __future__ import annotations

from datetime import datetime

from fieldtrip.places.records import VantagePoint
from fieldtrip.safety.finding import (
    Finding,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
    short_form,
)
from fieldtrip.safety.gaps import does_not_apply, record_gone
from fieldtrip.safety.levels import (
    LevelTide,
    basis_of,
    judge,
    level_notes,
    level_numbers,
    level_tides,
    nearest_window,
)
from fieldtrip.safety.limits import SOURCE_CROSSING, Limits
from fieldtrip.safety.tide_crossing import TIDE_REMEDIES
from fieldtrip.trips.plan import StopFacts, TripFacts
from fieldtrip.trips.waves import wave_margin

_ELSEWHERE = {
    Remedy.RECORD_LEG: Remedy.RECORD_VANTAGE,
    Remedy.CHANGE_TIMES: Remedy.CHANGE_STAY,
}


def tide_stand(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each stay at a vantage point that the sea floods, or may.

    High ground is taken for dry.  Of a low spot, or one of unknown height, nobody
    knows until a level is given, or somebody ticks that the sea never reaches it.
    """
    found: dict[str, Finding] = {}  # what is unsaid of a spot, once
    for stop in facts.stops:
        vantage = stop.vantage_point
        if vantage is None:
            gone = record_gone(
                Rule.TIDE_STAND, stop.name, stop.stop.id, stop.span, SOURCE_CROSSING
            )
            found[gone.key] = gone
        elif vantage.flooded_above_m is not None:
            level_m = vantage.flooded_above_m
            told = _of_stop(stop, vantage, level_m, facts, limits)
            found[told.key] = told
        elif vantage.ground_m is None or vantage.ground_m < limits.low_ground_m:
            unsaid = _level_not_said(stop, vantage, limits)
            found.setdefault(unsaid.key, unsaid)
    return tuple(found.values()) or (
        does_not_apply(Rule.TIDE_STAND, facts, SOURCE_CROSSING),
    )


def _level_not_said(stop: StopFacts, vantage: VantagePoint, limits: Limits) -> Finding:
    numbers = [Number("low_ground", limits.low_ground_m, "m", is_limit=True)]
    if vantage.ground_m is not None:
        numbers.append(Number("ground", vantage.ground_m, "m"))
    return Finding(
        rule=Rule.TIDE_STAND,
        about=stop.name,
        about_id=vantage.id,
        severity=Severity.UNKNOWN,
        reason=Reason.STAND_LEVEL_NOT_SAID,
        remedy=Remedy.SAY_FLOODING,
        source=SOURCE_CROSSING,
        numbers=tuple(numbers),
        span=stop.span,
        can_be_ticked=True,
        stands_for=short_form(vantage.position, vantage.ground_m),
    )


def leave_by(stop: StopFacts, facts: TripFacts, limits: Limits) -> datetime | None:
    """When the sea asks one to leave a spot that it floods, the reserve kept.

    None where it floods at no time that is known.
    """
    vantage = stop.vantage_point
    if vantage is None or vantage.flooded_above_m is None:
        return None
    waves = wave_margin(vantage.shore, vantage.beach_slope, facts.trip)
    tides, _ = level_tides(
        stop.span, vantage.flooded_above_m, vantage.level_datum, waves, facts, limits
    )
    opened = [tide.last_opened(tide.safe) for tide in tides]
    shut = [w.stop - limits.tide_reserve for w in opened if w and not w.is_open_at_stop]
    return min(shut, default=None)


def _of_stop(
    stop: StopFacts,
    vantage: VantagePoint,
    level_m: float,
    facts: TripFacts,
    limits: Limits,
) -> Finding:
    waves = wave_margin(vantage.shore, vantage.beach_slope, facts.trip)
    tides, missing = level_tides(
        stop.span, level_m, vantage.level_datum, waves, facts, limits
    )
    if missing is not None:
        return Finding(
            rule=Rule.TIDE_STAND,
            about=stop.name,
            about_id=stop.stop.id,
            severity=Severity.UNKNOWN,
            reason=missing,
            remedy=_remedy(missing),
            source=SOURCE_CROSSING,
            span=stop.span,
        )
    found = [_of_source(tide, stop, limits) for tide in tides]
    return min(found, key=lambda finding: finding.severity.rank)


def _of_source(tide: LevelTide, stop: StopFacts, limits: Limits) -> Finding:
    severity, reason = judge(tide, limits)
    numbers = level_numbers(tide, limits)
    nearest = nearest_window(tide)
    if nearest is not None:
        numbers += [
            Number("opens", nearest.start, "UTC"),
            Number("shuts", nearest.stop, "UTC"),
        ]
    return Finding(
        rule=Rule.TIDE_STAND,
        about=stop.name,
        about_id=stop.stop.id,
        severity=severity,
        reason=_REASONS.get(reason, reason),
        remedy=_remedy(reason),
        source=SOURCE_CROSSING,
        basis=basis_of(tide.source),
        numbers=tuple(numbers),
        notes=level_notes(tide),
        span=stop.span,
    )


_REASONS = {
    Reason.OPEN: Reason.STAND_DRY,
    Reason.SHUT: Reason.STAND_FLOODED,
    Reason.NO_MARGIN: Reason.STAND_NO_MARGIN,
    Reason.NO_RESERVE: Reason.STAND_NO_RESERVE,
}


def _remedy(reason: Reason) -> Remedy:
    remedy = TIDE_REMEDIES.get(reason, Remedy.CHANGE_TIMES)
    return _ELSEWHERE.get(remedy, remedy)
