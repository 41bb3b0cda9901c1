"""Walking over ground that the sea shuts: inside a window with all margins, or not."""

from __future__ import annotations

from fieldtrip.places.records import Leg
from fieldtrip.safety.crossings import (
    Crossing,
    crossings_of,
    inside,
    is_tidal,
    is_time_known,
    tidal_legs,
    walk_notes,
)
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.gaps import does_not_apply, no_walks, walk_gone
from fieldtrip.safety.limits import SOURCE_CROSSING, Limits
from fieldtrip.tides.curve import Confidence
from fieldtrip.trips.plan import TripFacts, WalkFacts

_REMEDIES = {
    Reason.TIDAL_NOT_SAID: Remedy.RECORD_LEG,
    Reason.TIME_NOT_KNOWN: Remedy.RECORD_LEG,
    Reason.LEVEL_NOT_KNOWN: Remedy.RECORD_LEG,
    Reason.DATUM_NOT_SAID: Remedy.RECORD_LEG,
    Reason.DATUM_DIFFERS: Remedy.RECORD_LEG,
    Reason.NO_TABLE: Remedy.TYPE_TIDES,
    Reason.OUTSIDE_TABLE: Remedy.TYPE_TIDES,
    Reason.EXPOSURE_NOT_SAID: Remedy.RECORD_PORT,
    Reason.PORT_DISTORTED: Remedy.TYPE_TIDES,
    Reason.PORT_NOT_SAID: Remedy.RECORD_PORT,
    Reason.GAP_IN_TABLE: Remedy.TYPE_TIDES,
    Reason.OPEN: Remedy.NOTHING,
    Reason.ODD_TIDE: Remedy.NOTHING,
}


def tide_crossing(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each walk over a leg that the sea shuts or may shut.

    The water must stay below the closing level, less what the prediction may
    be wrong by and what the weather may add, from the first step to the last
    and for a reserve after it.
    """
    if not facts.walks:
        return (no_walks(Rule.TIDE_CROSSING, facts, SOURCE_CROSSING),)
    found = []
    for walk in facts.walks:
        if walk.leg is None:
            found.append(walk_gone(Rule.TIDE_CROSSING, walk, SOURCE_CROSSING))
        elif is_tidal(walk.leg):
            found.append(_of_walk(walk, walk.leg, facts, limits))
    return tuple(found) or (does_not_apply(Rule.TIDE_CROSSING, facts, SOURCE_CROSSING),)


def tide_way_back(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each tidal leg: is it walked back, once it was walked?

    Whoever stands beyond a crossing without a way back planned has no time by
    which to leave.  A way back is never better than its own crossing.
    """
    found = []
    for leg, walks in tidal_legs(facts):
        back = [w for w in walks if w.walk.is_reversed != walks[0].walk.is_reversed]
        is_planned = walks[-1] in back
        severity, reason = Severity.UNKNOWN, Reason.NO_WAY_BACK
        remedy = Remedy.PLAN_WAY_BACK
        if is_planned:
            crossing = _of_walk(walks[-1], leg, facts, limits)
            severity, remedy = crossing.severity, crossing.remedy
            is_clear = severity is Severity.CLEAR
            reason = Reason.BACK_PLANNED if is_clear else Reason.BACK_CROSSING
        found.append(
            Finding(
                rule=Rule.TIDE_WAY_BACK,
                about=leg.name,
                about_id=leg.id,
                severity=severity,
                reason=reason,
                remedy=remedy,
                source=SOURCE_CROSSING,
                numbers=(Number("last_walk", walks[-1].walk.start, "UTC"),),
                span=walks[-1].span,
                can_be_ticked=not is_planned,
            )
        )
    return tuple(found)


def _of_walk(walk: WalkFacts, leg: Leg, facts: TripFacts, limits: Limits) -> Finding:
    crossings, missing = crossings_of(walk, leg, facts, limits)
    if missing is not None:
        return Finding(
            rule=Rule.TIDE_CROSSING,
            about=leg.name,
            about_id=walk.walk.id,
            severity=Severity.UNKNOWN,
            reason=missing,
            remedy=_REMEDIES[missing],
            source=SOURCE_CROSSING,
            span=walk.span,
        )
    found = [_of_table(crossing, leg, limits) for crossing in crossings]
    return min(found, key=lambda finding: finding.severity.rank)


def _of_table(crossing: Crossing, leg: Leg, limits: Limits) -> Finding:
    severity, reason = _judge(crossing, leg, limits)
    table = crossing.table
    return Finding(
        rule=Rule.TIDE_CROSSING,
        about=leg.name,
        about_id=crossing.walk.walk.id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.CHANGE_TIMES),
        source=SOURCE_CROSSING,
        basis=f"{table.port}, {table.datum} ({table.source})",
        numbers=_numbers(crossing, limits),
        notes=_notes(crossing),
        span=crossing.walk.span,
    )


def _judge(crossing: Crossing, leg: Leg, limits: Limits) -> tuple[Severity, Reason]:
    """A proven stop first, then what is not known, then what is merely odd."""
    span = crossing.walk.span
    if inside(crossing.bare, span) is None:
        return Severity.STOP, Reason.SHUT
    if inside(crossing.loosest, span) is None:
        return Severity.STOP, Reason.NO_MARGIN
    window = inside(crossing.safe, span)
    if window is None:
        return Severity.UNKNOWN, Reason.EXPOSURE_NOT_SAID
    if span.stop + limits.tide_reserve > window.stop:
        if window.is_open_at_stop:
            return Severity.UNKNOWN, Reason.OUTSIDE_TABLE
        if _is_proven_late(crossing, limits):
            return Severity.STOP, Reason.NO_RESERVE
        return Severity.UNKNOWN, Reason.EXPOSURE_NOT_SAID
    if leg.is_tidal is None:
        return Severity.UNKNOWN, Reason.TIDAL_NOT_SAID
    if not is_time_known(crossing.walk):
        return Severity.UNKNOWN, Reason.TIME_NOT_KNOWN
    if crossing.table.exposure is None:
        return Severity.UNKNOWN, Reason.EXPOSURE_NOT_SAID
    match crossing.confidence:
        case Confidence.UNKNOWN if crossing.table.is_distorted:
            return Severity.UNKNOWN, Reason.PORT_DISTORTED
        case Confidence.UNKNOWN if crossing.table.is_distorted is None:
            return Severity.UNKNOWN, Reason.PORT_NOT_SAID
        case Confidence.UNKNOWN:
            return Severity.UNKNOWN, Reason.GAP_IN_TABLE
        case Confidence.LOW:
            return Severity.CAUTION, Reason.ODD_TIDE
        case Confidence.GOOD:
            return Severity.CLEAR, Reason.OPEN


def _is_proven_late(crossing: Crossing, limits: Limits) -> bool:
    """Whether the reserve is missing even with the smallest possible margins."""
    span = crossing.walk.span
    window = inside(crossing.loosest, span)
    return window is None or span.stop + limits.tide_reserve > window.stop


def _numbers(crossing: Crossing, limits: Limits) -> tuple[Number, ...]:
    numbers = [
        Number("shut_above", crossing.shut_above_m, "m", is_limit=True),
        Number("highest", crossing.highest_m, "m"),
        Number("prediction_margin", crossing.prediction_margin_m, "m", is_limit=True),
        Number("weather_margin", crossing.weather_margin_m, "m", is_limit=True),
        Number("crossing_time", _minutes(crossing.walk), "min"),
        Number("reserve", limits.tide_reserve.total_seconds() / 60, "min", True),
    ]
    if crossing.pressure_hpa is not None:
        numbers.append(Number("pressure", crossing.pressure_hpa, "hPa"))
    start = crossing.walk.span.start
    nearest = min(
        crossing.safe,
        key=lambda w: max(w.start - start, start - w.stop),
        default=None,
    )
    if nearest is not None:
        latest = nearest.stop - limits.tide_reserve - crossing.walk.needed
        numbers += [
            Number("opens", nearest.start, "UTC"),
            Number("shuts", nearest.stop, "UTC"),
        ]
        if latest >= nearest.start:
            numbers.append(Number("latest_start", latest, "UTC"))
    return tuple(numbers)


def _minutes(walk: WalkFacts) -> float:
    return walk.needed.total_seconds() / 60.0


def _notes(crossing: Crossing) -> tuple[Note, ...]:
    notes = walk_notes(crossing.walk)
    if crossing.table.exposure is None:
        notes += (Note.LARGEST_WEATHER,)
    if crossing.pressure_hpa is not None:
        notes += (Note.PRESSURE_RAISED,)
    return notes
