"""The time by which each stop must be left, whatever the light does."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from fieldtrip.safety.crossings import (
    crossings_of,
    is_tidal,
    is_time_known,
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
from fieldtrip.safety.levels import LevelTide
from fieldtrip.safety.limits import SOURCE_TURN_BACK, Limits
from fieldtrip.safety.tide_stand import leave_by
from fieldtrip.safety.way_joined import gaps_of
from fieldtrip.tides.windows import Window, latest_start
from fieldtrip.trips.plan import StopFacts, TripFacts, WalkFacts

_Crossings = dict[UUID, tuple[tuple[LevelTide, ...], Reason | None]]  # of walks


def turn_back(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each stop: is it left in time for every walk after it?

    Reckoned from the latest return backwards, so that every walk is over in
    time, and every crossing is stepped on early enough to be off it, with the
    reserve, before it shuts with all margins.  Walks up to the next stop must
    themselves start in time; later ones are the next stop's business.
    """
    if not facts.stops:
        return (_of_trip(facts, Reason.NO_STOPS, Remedy.PLAN_WALKS),)
    followers = (*facts.stops[1:], None)
    gaps = [gap.before.stop for gap in gaps_of(facts)]
    crossings = {
        walk.walk.id: crossings_of(walk, walk.leg, facts, limits)
        for walk in facts.walks
        if walk.leg is not None and is_tidal(walk.leg)
    }
    return tuple(
        _of_stop(
            stop,
            follower,
            crossings,
            facts,
            limits,
            is_joined=all(at < stop.stop.leave for at in gaps),
        )
        for stop, follower in zip(facts.stops, followers, strict=True)
    )


@dataclass(frozen=True, slots=True)
class _WayBack:
    """The walks after a stop, reckoned backwards."""

    turn_back: datetime | None  # with all margins; None where nothing sets it
    is_late: bool  # the plan leaves later, even with the smallest possible margins
    may_be_late: bool  # it leaves later, or walks too late, with all margins
    late_walk: tuple[datetime, datetime] | None  # start of one too late; the latest
    is_shut: bool  # no window for a crossing has opened by then
    is_known: bool  # every walk and crossing on the way is known well enough
    is_odd: bool  # a crossing's tide is of unusual length


def _of_stop(
    stop: StopFacts,
    follower: StopFacts | None,
    known: _Crossings,
    facts: TripFacts,
    limits: Limits,
    *,
    is_joined: bool,
) -> Finding:
    walks = [w for w in facts.walks if w.walk.start >= stop.stop.leave]
    during = [
        w for w in facts.walks if w not in walks and w.span.stop > stop.stop.leave
    ]
    own = [w for w in walks if follower is None or w.walk.start < follower.stop.arrive]
    way = _reckon(stop, walks, own, known, facts, limits)
    if not is_joined:
        way = replace(way, is_known=False)
    severity, reason, remedy = _judge(way, bool(walks) and not during, facts)
    numbers = [
        Number("leave", stop.stop.leave, "UTC"),
        Number("reserve", limits.tide_reserve.total_seconds() / 60, "min", True),
    ]
    times = [at for at in (way.turn_back, leave_by(stop, facts, limits)) if at]
    if times:
        numbers.append(Number("turn_back", min(times), "UTC"))
    if way.late_walk is not None:
        numbers.append(Number("late_walk", way.late_walk[0], "UTC"))
        numbers.append(Number("late_walk_by", way.late_walk[1], "UTC"))
    if facts.trip.latest_return is not None:
        numbers.append(Number("latest_return", facts.trip.latest_return, "UTC", True))
    return Finding(
        rule=Rule.TURN_BACK,
        about=stop.name,
        about_id=stop.stop.id,
        severity=severity,
        reason=reason,
        remedy=remedy,
        source=SOURCE_TURN_BACK,
        numbers=tuple(numbers),
        notes=_notes(walks),
        span=stop.span,
    )


def _judge(
    way: _WayBack, has_walks: bool, facts: TripFacts
) -> tuple[Severity, Reason, Remedy]:
    """A proven stop first, whatever else is missing."""
    if way.is_shut:
        return Severity.STOP, Reason.BACK_SHUT, Remedy.CHANGE_TIMES
    if way.is_late:
        return Severity.STOP, Reason.TOO_LATE, Remedy.LEAVE_EARLIER
    if way.late_walk is not None:
        return Severity.STOP, Reason.WALK_TOO_LATE, Remedy.CHANGE_TIMES
    if not has_walks:
        return Severity.UNKNOWN, Reason.NO_WALK_AFTER, Remedy.PLAN_WALKS
    if facts.trip.latest_return is None:
        return Severity.UNKNOWN, Reason.NO_LATEST_RETURN, Remedy.SAY_LATEST_RETURN
    if way.may_be_late or not way.is_known:
        return Severity.UNKNOWN, Reason.BACK_NOT_KNOWN, Remedy.RECORD_LEG
    if way.is_odd:
        return Severity.CAUTION, Reason.BACK_ODD, Remedy.NOTHING
    return Severity.CLEAR, Reason.IN_TIME, Remedy.NOTHING


def _reckon(
    stop: StopFacts,
    walks: list[WalkFacts],
    own: list[WalkFacts],
    known: _Crossings,
    facts: TripFacts,
    limits: Limits,
) -> _WayBack:
    by, by_loosest = facts.trip.latest_return, facts.trip.latest_return
    may_be_late = is_shut = is_odd = False
    is_known = True
    late_walk = None
    for walk in reversed(walks):
        by = None if by is None else by - walk.needed
        by_loosest = None if by_loosest is None else by_loosest - walk.needed
        is_known &= is_time_known(walk)
        if walk.leg is not None and is_tidal(walk.leg):
            crossings, missing = known[walk.walk.id]
            is_known &= missing is None and walk.leg.is_tidal is not None
            for crossing in crossings:
                is_known &= crossing.is_known
                is_odd |= crossing.is_odd
                window = crossing.last_opened(crossing.safe)
                loosest = crossing.last_opened(crossing.loosest)
                is_shut |= loosest is None
                may_be_late |= window is None
                by = _sooner(by, window, walk, limits)
                # Where the table ends nothing is proven about what follows.
                if loosest is not None and not loosest.is_open_at_stop:
                    by_loosest = _sooner(by_loosest, loosest, walk, limits)
        if walk in own and by_loosest is not None and walk.walk.start > by_loosest:
            late_walk = (walk.walk.start, by_loosest)
        may_be_late |= walk in own and by is not None and walk.walk.start > by
    leave = stop.stop.leave
    return _WayBack(
        turn_back=by if walks else None,
        is_late=by_loosest is not None and leave > by_loosest,
        may_be_late=may_be_late or (by is not None and leave > by),
        late_walk=late_walk,
        is_shut=is_shut,
        is_known=is_known,
        is_odd=is_odd,
    )


def _sooner(
    by: datetime | None, window: Window | None, walk: WalkFacts, limits: Limits
) -> datetime | None:
    """The sooner of a time and the latest start before a window closes."""
    if window is None:
        return by
    start = latest_start(window, walk.needed, limits.tide_reserve)
    return start if by is None else min(by, start)


def _notes(walks: list[WalkFacts]) -> tuple[Note, ...]:
    found = [note for walk in walks for note in walk_notes(walk)]
    return tuple(dict.fromkeys(found))


def _of_trip(facts: TripFacts, reason: Reason, remedy: Remedy) -> Finding:
    return Finding(
        rule=Rule.TURN_BACK,
        about=facts.trip.name,
        about_id=None,
        severity=Severity.UNKNOWN,
        reason=reason,
        remedy=remedy,
        source=SOURCE_TURN_BACK,
        span=facts.span,
    )
