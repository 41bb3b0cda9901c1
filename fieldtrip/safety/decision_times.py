"""By when a gate must be decided: the latest instant at which going on still works.

Reckoned backwards through the plan, with the windows and margins of the rules on
crossings and on turning back, so that a gate cannot promise what they refuse.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from fieldtrip.places.records import Leg, StartPlace
from fieldtrip.safety.crossings import crossings_of, is_tidal, is_time_known
from fieldtrip.safety.levels import level_tides
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.tide_stand import leave_by
from fieldtrip.sky.events import EventName
from fieldtrip.tides.windows import latest_start
from fieldtrip.times import Span
from fieldtrip.trips.gates import GatePlace, gate_place
from fieldtrip.trips.opening import open_span_at
from fieldtrip.trips.plan import StopFacts, TripFacts, WalkFacts
from fieldtrip.trips.records import Gate
from fieldtrip.trips.waves import wave_margin
from fieldtrip.weather.hours import largest

_LONG = timedelta(days=1)


class Because(StrEnum):
    """What sets a decision time."""

    TIDE = "tide"  # a crossing shuts
    FLOODED = "flooded"  # the spot itself
    DAYLIGHT = "daylight"  # a leg that must not be walked in the dark
    LATEST_RETURN = "latest_return"
    PLACE_SHUTS = "place_shuts"  # the car park or landing where the trip ends
    TYPED = "typed"  # by a person, sooner than the plan asks


class Missing(StrEnum):
    """What is not known, and might make a decision time sooner."""

    NOT_NAMED = "not_named"  # the gate says of no walk or stay that it stands there
    NOT_IN_PLAN = "not_in_plan"  # what it names is planned no more
    NO_WALK_AFTER = "no_walk_after"
    NO_LATEST_RETURN = "no_latest_return"
    LEG_GONE = "leg_gone"
    LEG_TIME = "leg_time"  # climb or ground of a leg
    LEG_LIGHT = "leg_light"  # whether a leg can be walked in the dark
    TIDE = "tide"  # of a crossing, or how far it can be relied on
    SHUT = "shut"  # no window with all margins has opened by then
    FLOODING = "flooding"  # the tide at the spot
    END_NOT_NAMED = "end_not_named"  # where the trip ends
    END_HOURS = "end_hours"  # when that shuts
    BEFORE_WALKING = "before_walking"  # the drive, or the time to kit up


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionTime:
    """When a gate must be decided at the latest, and what sets that."""

    at: datetime | None  # None: nothing that is known sets it, or it is shut anyway
    because: Because | None  # None as `at` is
    about: str = ""  # the leg, spot or place that sets it
    planned: datetime | None = None  # when the plan comes to the gate
    computed: datetime | None = None  # from the plan alone
    typed: datetime | None = None  # by a person
    missing: tuple[Missing, ...] = ()  # in the order of `Missing`, each once

    @property
    def is_known(self) -> bool:
        """Whether nothing that might make it sooner is left unsaid."""
        return self.at is not None and not self.missing

    @property
    def is_late(self) -> bool:
        """Whether the plan comes to the gate only when it must have been decided."""
        return (
            self.at is not None
            and self.planned is not None
            and (self.planned > self.at)
        )

    @property
    def is_typed_too_late(self) -> bool:
        """Whether the typed time is later than the plan allows, and does not count."""
        return (
            self.typed is not None
            and self.computed is not None
            and self.typed > self.computed
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LatestStart:
    """When a walk must begin, so that it and every later one still work."""

    at: datetime | None  # None: nothing that is known sets it, or a way is shut
    because: Because | None  # None as `at` is
    about: str = ""  # the leg or place that sets it
    is_known: bool  # whether nothing that might make it sooner is left unsaid
    is_shut: bool  # a crossing among them does not open in time, as it is planned


def latest_starts(facts: TripFacts, limits: Limits) -> tuple[LatestStart, ...]:
    """The latest start of each walk of a plan, in order, as its gates have it.

    Between them the stops that must be last as long as they are worth at least, so
    that whoever steps on to a crossing by then also comes back over it.
    """
    found = []
    for start in _latest_starts(facts, limits):
        is_shut = Missing.SHUT in start.missing
        bound = None if is_shut else start.bound
        found.append(
            LatestStart(
                at=None if bound is None else bound.at,
                because=None if bound is None else bound.because,
                about="" if bound is None else bound.about,
                is_known=not start.missing,
                is_shut=is_shut,
            )
        )
    return tuple(found)


def decision_time(facts: TripFacts, gate: Gate, limits: Limits) -> DecisionTime:
    """The latest instant at which going on from a gate still works.

    Every walk after it is over in time for the latest return and for the place
    where the trip ends to be open; each crossing is stepped on early enough to be
    off it, with the reserve, before it shuts with all margins; what must not be
    walked in the dark is walked by then; and each stop that must be lasts as long
    as it is worth at least.  A typed time counts where it is sooner.
    """
    return decision_times(facts, (gate,), limits)[0]


def decision_times(
    facts: TripFacts, gates: Sequence[Gate], limits: Limits
) -> tuple[DecisionTime, ...]:
    """The same for several gates, in their order; the tide is looked up once."""
    starts = _latest_starts(facts, limits) if gates else ()
    return tuple(_of_gate(gate, facts, limits, starts) for gate in gates)


def _of_gate(
    gate: Gate, facts: TripFacts, limits: Limits, starts: tuple[_Found, ...]
) -> DecisionTime:
    place = gate_place(facts, gate)
    found = _computed(place, facts, limits, starts)
    computed = None if found.bound is None else found.bound.at
    at, because, about = computed, None, ""
    if found.bound is not None:
        because, about = found.bound.because, found.bound.about
    typed = gate.decide_by
    if typed is not None and (at is None or typed < at):
        at, because, about = typed, Because.TYPED, ""
    return DecisionTime(
        at=at,
        because=because,
        about=about,
        planned=place.planned,
        computed=computed,
        typed=typed,
        missing=tuple(one for one in Missing if one in found.missing),
    )


@dataclass(frozen=True, slots=True)
class _Bound:
    """The latest of something, and what sets it."""

    at: datetime
    because: Because
    about: str

    def less(self, length: timedelta) -> _Bound:
        """So much sooner, for the same reason."""
        return _Bound(self.at - length, self.because, self.about)


@dataclass(frozen=True, slots=True)
class _Found:
    bound: _Bound | None
    missing: frozenset[Missing]


def _computed(
    place: GatePlace, facts: TripFacts, limits: Limits, starts: tuple[_Found, ...]
) -> _Found:
    if not place.is_named:
        return _Found(None, frozenset({Missing.NOT_NAMED}))
    if place.is_gone:
        return _Found(None, frozenset({Missing.NOT_IN_PLAN}))
    missing: set[Missing] = set()
    bounds: list[_Bound] = []
    if place.walk is None:
        missing.add(Missing.NO_WALK_AFTER)
    else:
        way = starts[place.walk]
        missing |= way.missing
        if way.bound is not None:
            stay = _least_stay(place.stop) if place.stop is not None else timedelta()
            bounds.append(way.bound.less(place.ahead + stay))
    if place.stop is not None:
        flooded = _flooded(place.stop, facts, limits)
        missing |= flooded.missing
        if flooded.bound is not None:
            bounds.append(flooded.bound.less(_least_stay(place.stop)))
    if not place.is_ahead_known:
        missing.add(Missing.BEFORE_WALKING)
    if Missing.SHUT in missing:
        bounds = []  # what the sea shuts does not open by deciding sooner
    return _Found(_soonest(*bounds), frozenset(missing))


def _latest_starts(facts: TripFacts, limits: Limits) -> tuple[_Found, ...]:
    """Of each walk, so that it and all later ones still work."""
    missing: set[Missing] = set()
    bound = _end(facts, missing)
    following: WalkFacts | None = None
    found: list[_Found] = []
    for walk in reversed(facts.walks):
        if bound is not None:
            bound = bound.less(_stays_between(walk, following, facts) + walk.needed)
        bound = _soonest(bound, *_of_walk(walk, facts, limits, missing))
        found.append(_Found(bound, frozenset(missing)))
        following = walk
    return tuple(reversed(found))


def _end(facts: TripFacts, missing: set[Missing]) -> _Bound | None:
    """By when the last walk must be over."""
    bounds: list[_Bound] = []
    back = facts.trip.latest_return
    if back is None:
        missing.add(Missing.NO_LATEST_RETURN)
    else:
        bounds.append(_Bound(back, Because.LATEST_RETURN, ""))
    end = facts.end_place
    if end is None:
        missing.add(Missing.END_NOT_NAMED)
    elif end.hours is not None:
        bounds.append(_Bound(_shuts(end, facts), Because.PLACE_SHUTS, end.name))
    elif not end.is_always_open:
        missing.add(Missing.END_HOURS)
    return _soonest(*bounds)


def _shuts(end: StartPlace, facts: TripFacts) -> datetime:
    """Of the hours in which the trip starts."""
    if end.hours is None:
        raise ValueError("a place without hours shuts at no time")
    return open_span_at(end.hours, facts.span.start, facts.location.zone).stop


def _of_walk(
    walk: WalkFacts, facts: TripFacts, limits: Limits, missing: set[Missing]
) -> list[_Bound]:
    """What the leg itself asks for: its tide and its light."""
    leg = walk.leg
    if leg is None:
        missing.add(Missing.LEG_GONE)
        return []
    if not is_time_known(walk):
        missing.add(Missing.LEG_TIME)
    bounds = _of_tide(walk, leg, facts, limits, missing) if is_tidal(leg) else []
    dark = _dark(walk, leg, facts, limits, missing)
    if dark is not None:
        bounds.append(_Bound(dark - walk.needed, Because.DAYLIGHT, leg.name))
    return bounds


def _of_tide(
    walk: WalkFacts,
    leg: Leg,
    facts: TripFacts,
    limits: Limits,
    missing: set[Missing],
) -> list[_Bound]:
    crossings, reason = crossings_of(walk, leg, facts, limits)
    if reason is not None or leg.is_tidal is None:
        missing.add(Missing.TIDE)
    bounds = []
    for crossing in crossings:
        if not crossing.is_known:
            missing.add(Missing.TIDE)
        window = crossing.last_opened(crossing.safe)
        if window is None:
            missing.add(Missing.SHUT)
            continue
        if window.is_open_at_stop:
            if window.stop - walk.span.stop > _LONG:
                continue  # it shuts at no time that matters
            missing.add(Missing.TIDE)  # nothing is known beyond
        start = latest_start(window, walk.needed, limits.tide_reserve)
        if start < window.start:
            missing.add(Missing.SHUT)  # too short for the crossing and its reserve
            continue
        bounds.append(_Bound(start, Because.TIDE, leg.name))
    return bounds


def _dark(
    walk: WalkFacts,
    leg: Leg,
    facts: TripFacts,
    limits: Limits,
    missing: set[Missing],
) -> datetime | None:
    """When it is too dark for a leg, as the rule on daylight has it; None: never.

    Dusk at the latest; on ground where a fall would hurt sunset, unless a forecast
    says that the sky is not overcast.
    """
    is_demanding = bool(leg.is_exposed or leg.daylight_only)
    is_said = is_demanding or None not in (leg.is_exposed, leg.daylight_only)
    if not is_said:
        missing.add(Missing.LEG_LIGHT)
    if not is_demanding and is_said and leg.walked_in_daylight:
        return None
    name, altitude_deg = EventName.CIVIL_DUSK, limits.dusk_deg
    if (is_demanding or not is_said) and _may_be_overcast(walk.span, facts, limits):
        name, altitude_deg = EventName.SUNSET, limits.sunset_deg
    events = [event.instant for event in facts.sun_events if event.name is name]
    if events:
        return min(events, key=lambda instant: abs(instant - walk.span.stop))
    if walk.lowest_sun_deg < altitude_deg:
        missing.add(Missing.LEG_LIGHT)  # a polar night
    return None


def _may_be_overcast(span: Span, facts: TripFacts, limits: Limits) -> bool:
    if facts.forecast is None:
        return True
    cloud = largest(facts.forecast.hours, span, lambda hour: hour.cloud_percent)
    is_clear = cloud.value is not None and cloud.value < limits.overcast_percent
    return not (is_clear and cloud.is_complete)


def _flooded(stop: StopFacts, facts: TripFacts, limits: Limits) -> _Found:
    """When the sea asks one to be gone from a spot."""
    vantage = stop.vantage_point
    if vantage is None or vantage.flooded_above_m is None:
        return _Found(None, frozenset())
    waves = wave_margin(vantage.shore, vantage.beach_slope, facts.trip)
    tides, reason = level_tides(
        stop.span, vantage.flooded_above_m, vantage.level_datum, waves, facts, limits
    )
    if reason is not None or not all(tide.is_known for tide in tides):
        return _Found(_leave_by(stop, facts, limits), frozenset({Missing.FLOODING}))
    if any(tide.last_opened(tide.safe) is None for tide in tides):
        return _Found(None, frozenset({Missing.SHUT}))
    return _Found(_leave_by(stop, facts, limits), frozenset())


def _leave_by(stop: StopFacts, facts: TripFacts, limits: Limits) -> _Bound | None:
    by = leave_by(stop, facts, limits)
    return None if by is None else _Bound(by, Because.FLOODED, stop.name)


def _stays_between(
    walk: WalkFacts, following: WalkFacts | None, facts: TripFacts
) -> timedelta:
    """The least time at the stops that must be, between a walk and the one after."""
    stops = [
        stop
        for stop in facts.stops
        if stop.stop.arrive >= walk.walk.finish
        and (following is None or stop.stop.arrive < following.walk.start)
    ]
    return sum((_least_stay(stop) for stop in stops), timedelta())


def _least_stay(stop: StopFacts) -> timedelta:
    """To set up and to photograph as briefly as is worth it; never over the plan's."""
    if not stop.stop.is_must:
        return timedelta()
    least = timedelta(minutes=stop.stop.setup_min + stop.stop.least_min)
    return min(least, stop.stop.leave - stop.stop.arrive)


def _soonest(*bounds: _Bound | None) -> _Bound | None:
    known = [bound for bound in bounds if bound is not None]
    return min(known, key=lambda bound: bound.at, default=None)
