"""Walking over ground that the sea shuts: inside a window with all margins, or not."""

from __future__ import annotations

from fieldtrip.places.records import Leg
from fieldtrip.safety.crossings import (
    crossings_of,
    is_tidal,
    is_time_known,
    level_of,
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
from fieldtrip.safety.levels import (
    LevelTide,
    basis_of,
    judge,
    level_notes,
    level_numbers,
    nearest_window,
)
from fieldtrip.safety.limits import SOURCE_CROSSING, Limits
from fieldtrip.tides.windows import latest_start
from fieldtrip.trips.crossing_level import LevelInForce
from fieldtrip.trips.plan import TripFacts, WalkFacts

TIDE_REMEDIES = {
    Reason.TIDAL_NOT_SAID: Remedy.RECORD_LEG,
    Reason.TIME_NOT_KNOWN: Remedy.RECORD_LEG,
    Reason.LEVEL_NOT_KNOWN: Remedy.RECORD_LEG,
    Reason.DATUM_NOT_SAID: Remedy.RECORD_LEG,
    Reason.DATUM_DIFFERS: Remedy.RECORD_LEG,
    Reason.NO_TABLE: Remedy.TYPE_TIDES,
    Reason.OUTSIDE_TABLE: Remedy.TYPE_TIDES,
    Reason.EXPOSURE_NOT_SAID: Remedy.RECORD_PORT,
    Reason.SEA_NOT_SAID: Remedy.SAY_SEA,
    Reason.SHORE_NOT_SAID: Remedy.SAY_SHORE,
    Reason.ROCK_PLATFORM: Remedy.WATCH_SEA,
    Reason.PORT_DISTORTED: Remedy.TYPE_TIDES,
    Reason.PORT_NOT_SAID: Remedy.RECORD_PORT,
    Reason.GAP_IN_TABLE: Remedy.TYPE_TIDES,
    Reason.ROUGH_CURVE: Remedy.TYPE_TIDES,
    Reason.CURVE_LACKS: Remedy.TYPE_TIDES,
    Reason.STATION_PLACE_NOT_SAID: Remedy.RECORD_PORT,
    Reason.STATION_FAR: Remedy.NEARER_STATION,
    Reason.STATION_TOO_FAR: Remedy.NEARER_STATION,
    Reason.STATION_BEYOND_HEADLAND: Remedy.NEARER_STATION,
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
            remedy=TIDE_REMEDIES[missing],
            source=SOURCE_CROSSING,
            span=walk.span,
        )
    found = [_of_source(crossing, walk, leg, facts, limits) for crossing in crossings]
    return min(found, key=lambda finding: finding.severity.rank)


def _of_source(
    tide: LevelTide, walk: WalkFacts, leg: Leg, facts: TripFacts, limits: Limits
) -> Finding:
    severity, reason = judge(tide, limits, _not_said(walk, leg))
    return Finding(
        rule=Rule.TIDE_CROSSING,
        about=leg.name,
        about_id=walk.walk.id,
        severity=severity,
        reason=reason,
        remedy=TIDE_REMEDIES.get(reason, Remedy.CHANGE_TIMES),
        source=SOURCE_CROSSING,
        basis=basis_of(tide.source),
        numbers=_numbers(tide, walk, limits),
        notes=_notes(tide, walk, level_of(walk, leg, facts)),
        span=walk.span,
    )


def _not_said(walk: WalkFacts, leg: Leg) -> Reason | None:
    if leg.is_tidal is None:
        return Reason.TIDAL_NOT_SAID
    return None if is_time_known(walk) else Reason.TIME_NOT_KNOWN


def _numbers(tide: LevelTide, walk: WalkFacts, limits: Limits) -> tuple[Number, ...]:
    numbers = level_numbers(tide, limits)
    numbers.append(Number("crossing_time", walk.needed.total_seconds() / 60.0, "min"))
    nearest = nearest_window(tide)
    if nearest is not None:
        latest = latest_start(nearest, walk.needed, limits.tide_reserve)
        numbers += [
            Number("opens", nearest.start, "UTC"),
            Number("shuts", nearest.stop, "UTC"),
        ]
        if latest >= nearest.start:
            numbers.append(Number("latest_start", latest, "UTC"))
    return tuple(numbers)


def _notes(tide: LevelTide, walk: WalkFacts, level: LevelInForce) -> tuple[Note, ...]:
    notes = (*walk_notes(walk), *level_notes(tide))
    if level.is_lowered:
        notes += (Note.LEVEL_LOWERED,)
    if level.is_raised:
        notes += (Note.LEVEL_RAISED,)
    return notes
