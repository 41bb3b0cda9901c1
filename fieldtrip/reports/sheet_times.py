"""Times of a sheet: gates, turn-back times and the timeline from door to door."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from fieldtrip.almanac.day_plan import StepLine as DayLine
from fieldtrip.almanac.day_plan import day_plan
from fieldtrip.almanac.gates import GateWords, because_text, gates_in_words
from fieldtrip.finding_numbers import earlier_minute
from fieldtrip.geo import distance_m
from fieldtrip.reports.sheet import (
    AT_NO_TIME,
    NOT_KNOWN,
    GateLine,
    StepKind,
    StepLine,
)
from fieldtrip.safety.checklist import Checklist
from fieldtrip.safety.crossings import is_tidal
from fieldtrip.safety.decision_times import LatestStart, latest_starts
from fieldtrip.safety.finding import Finding, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.times import local_date
from fieldtrip.trips.door_to_door import StepKind as DayKind
from fieldtrip.trips.door_to_door import door_to_door
from fieldtrip.trips.network import walked_line
from fieldtrip.trips.plan import StopFacts, TripFacts, WalkFacts
from fieldtrip.wording import (
    clock_text,
    distance_text,
    duration_text,
    nearest_minute,
    when_text,
)

_MINUTE = timedelta(minutes=1)
_FIRST = datetime.min.replace(tzinfo=UTC)
_LAST = datetime.max.replace(tzinfo=UTC)
_END = {  # where a step stands whose time is not known
    DayKind.WAKE: _FIRST,
    DayKind.DRIVE_OUT: _FIRST,
    DayKind.KIT_UP: _FIRST,
    DayKind.BACK: _LAST,
    DayKind.DRIVE_BACK: _LAST,
}
_RANK = {  # of what begins at one instant
    DayKind.WAKE: 0,
    DayKind.DRIVE_OUT: 1,
    DayKind.KIT_UP: 2,
    DayKind.WALK: 3,
    DayKind.STOP: 4,
    DayKind.BACK: 6,
    DayKind.DRIVE_BACK: 7,
}
_LIMIT_RANK = 5


@dataclass(frozen=True, slots=True)
class Teller:
    """Writes the times of one trip by the clock of its place."""

    facts: TripFacts
    settings: Settings

    def at(self, instant: datetime) -> str:
        """A time of day, with its date where it is not the trip's."""
        zone, day = self.facts.location.zone, self.facts.trip.day
        return when_text(instant, zone, self.settings, day)

    def span(self, start: datetime, stop: datetime) -> str:
        """From one time to another; a day that is not the trip's is said once."""
        zone, settings = self.facts.location.zone, self.settings
        first, last = (local_date(nearest_minute(at), zone) for at in (start, stop))
        begin = self.at(start)
        if first == last != self.facts.trip.day:
            begin = clock_text(start, zone, settings)
        return f"{begin} to {self.at(stop)}"

    def by(self, instant: datetime) -> str:
        """A time not to be passed: rounded down to its minute."""
        return self.at(earlier_minute(instant))


def gate_lines(
    facts: TripFacts, checklist: Checklist, limits: Limits, tell: Teller
) -> tuple[GateLine, ...]:
    """Gates, crossings and turn-back times as the day comes to them.

    A gate that is nowhere in the plan stands last.
    """
    lines = [
        (
            gate.decision.planned or gate.decision.at or _LAST,
            _gate(gate, tell),
        )
        for gate in gates_in_words(facts, tell.settings, limits)
    ]
    lines += _step_on_lines(facts, checklist, limits, tell)
    lines += _leave_lines(facts, checklist, tell)
    lines.sort(key=lambda each: each[0])
    return tuple(line for _, line in lines)


def leave_by(checklist: Checklist, stop: StopFacts) -> datetime | None:
    """By when a stop must be left, as the checks reckon it; None where not known."""
    found = [
        finding.instant("turn_back")
        for finding in checklist.findings
        if finding.rule is Rule.TURN_BACK and finding.about_id == stop.stop.id
    ]
    return next(iter(found), None)


def timeline(
    facts: TripFacts, checklist: Checklist, limits: Limits, tell: Teller
) -> tuple[StepLine, ...]:
    """Door to door: what is done when, and the times not to be passed, in order."""
    day = door_to_door(facts)
    told = zip(day.steps, day_plan(facts, tell.settings).steps, strict=True)
    timed = [
        *(
            (step.start or _END[step.kind], _RANK[step.kind], _travel(words))
            for step, words in told
            if step.kind in _END
        ),
        *(
            (stop.stop.arrive, _RANK[DayKind.STOP], _stay(stop, tell))
            for stop in facts.stops
        ),
        *(
            (walk.walk.start, _RANK[DayKind.WALK], _walk(walk, tell))
            for walk in facts.walks
        ),
        *(
            (at, _LIMIT_RANK, line)
            for at, line in _limits(facts, checklist, limits, tell)
        ),
    ]
    timed.sort(key=lambda each: each[:2])
    return tuple(line for _, _, line in timed)


def _travel(words: DayLine) -> StepLine:
    return StepLine(
        kind=StepKind.TRAVEL,
        time=words.when,
        what=words.what,
        detail=words.length,
        is_known=NOT_KNOWN not in words.when,
    )


def _gate(gate: GateWords, tell: Teller) -> GateLine:
    at = gate.decision.at
    why = f"{gate.why[:1].upper()}{gate.why[1:]}." if gate.why else ""
    return GateLine(
        time=NOT_KNOWN if at is None else tell.by(at),
        name=gate.gate.name,
        where=gate.where,
        why=" ".join(t for t in (why, gate.planned, *gate.cautions) if t),
        must_see=gate.must_see,
        fallback=gate.fallback,
        is_known=gate.decision.is_known,
        is_late=gate.decision.is_late,
    )


def _step_on_lines(
    facts: TripFacts, checklist: Checklist, limits: Limits, tell: Teller
) -> Iterator[tuple[datetime, GateLine]]:
    """The last time to step on to each crossing from which one also comes back."""
    crossings = {
        finding.about_id: finding
        for finding in checklist.findings
        if finding.rule is Rule.TIDE_CROSSING
        and finding.severity is not Severity.DOES_NOT_APPLY
    }
    for walk, start in zip(facts.walks, latest_starts(facts, limits), strict=True):
        finding = crossings.get(walk.walk.id)
        if finding is not None and (walk.leg is None or is_tidal(walk.leg)):
            yield walk.walk.start, _step_on(walk, finding, start, tell)


def _step_on(
    walk: WalkFacts, finding: Finding, start: LatestStart, tell: Teller
) -> GateLine:
    back = ", back" if walk.walk.is_reversed else ""
    own = finding.instant("latest_start")
    latest = own if start.at is None or (own and own <= start.at) else start.at
    time, why = NOT_KNOWN, "What the tide does there is not known well enough."
    if start.is_shut or (own is None and finding.severity is Severity.STOP):
        time, latest = AT_NO_TIME, None
        why = "As it is planned, it or a crossing after it is shut, with all margins."
    elif own is None and finding.severity is Severity.UNKNOWN:
        latest = None  # what else sets a time says nothing of the sea
    elif latest is not None and latest == own:
        time = tell.by(latest)
        why = "To be off it, with the reserve, before it shuts with all margins."
    elif latest is not None and start.because is not None:
        time = tell.by(latest)
        said = because_text(start.because, start.about)
        why = f"Later, what follows no longer works: {said}."
    is_known = start.is_known and finding.severity is not Severity.UNKNOWN
    return GateLine(
        time=time,
        name=f"Step on to {walk.name}{back}",
        where="crossing",
        why=f"{why} The plan steps on at {tell.at(walk.walk.start)}.",
        must_see="the way dry, and the sea calm on it",
        fallback=_instead(walk),
        is_known=is_known,
        is_late=time == AT_NO_TIME or (latest is not None and walk.walk.start > latest),
    )


def _instead(walk: WalkFacts) -> str:
    """What to do before a crossing that is shut; a refuge beyond it is no help."""
    refuge, leg = walk.refuge, walk.leg
    if refuge is None or leg is None:
        return "do not cross"
    way = walked_line(leg, walk.walk)
    near_m, far_m = (distance_m(refuge.position, end) for end in (way[0], way[-1]))
    return f"do not cross; wait at {refuge.name}" if near_m < far_m else "do not cross"


def _leave_lines(
    facts: TripFacts, checklist: Checklist, tell: Teller
) -> Iterator[tuple[datetime, GateLine]]:
    unsure = {
        finding.about_id
        for finding in checklist.findings
        if finding.rule is Rule.TURN_BACK and finding.severity is Severity.UNKNOWN
    }
    for stop in facts.stops:
        at = leave_by(checklist, stop)
        planned = tell.at(stop.stop.leave)
        line = GateLine(
            time=NOT_KNOWN if at is None else tell.by(at),
            name=f"Turn back at {stop.name}",
            where=f"stop {stop.stop.number}",
            why=f"The plan leaves at {planned}. "
            + (
                "What would set a later limit is not known."
                if at is None
                else "Later, a walk or a crossing after it no longer works."
            ),
            must_see="the clock, whatever the light does",
            fallback="leave at once",
            is_known=at is not None and stop.stop.id not in unsure,
            is_late=at is not None and stop.stop.leave > at,
        )
        yield stop.stop.leave, line


def _stay(stop: StopFacts, tell: Teller) -> StepLine:
    ready = stop.stop.arrive + timedelta(minutes=stop.stop.setup_min)
    detail = f"set up by {tell.at(min(ready, stop.stop.leave))}"
    if stop.stop.wanted.strip():
        detail += f"; {stop.stop.wanted.strip()}"
    return StepLine(
        kind=StepKind.STAY,
        time=tell.span(stop.stop.arrive, stop.stop.leave),
        what=f"{stop.stop.number}. {stop.name}",
        detail=detail,
        is_known=stop.vantage_point is not None,
    )


def _walk(walk: WalkFacts, tell: Teller) -> StepLine:
    back = ", back" if walk.walk.is_reversed else ""
    detail = duration_text(walk.walk.finish - walk.walk.start)
    if walk.leg is not None:
        detail += f", {distance_text(walk.leg.length_m, tell.settings)}"
    if walk.by_rule is not None:
        rule = -(-walk.by_rule.length // _MINUTE) * _MINUTE
        if rule > walk.walk.finish - walk.walk.start:
            detail += f"; by the walking rule {duration_text(rule)}"
        if not walk.by_rule.is_climb_known:
            detail += "; climb not known"
    return StepLine(
        kind=StepKind.WALK,
        time=tell.span(walk.walk.start, walk.walk.finish),
        what=f"Walk {walk.name}{back}",
        detail=detail,
        is_known=walk.leg is not None,
    )


def _limits(
    facts: TripFacts, checklist: Checklist, limits: Limits, tell: Teller
) -> Iterator[tuple[datetime, StepLine]]:
    def limit(at: datetime, what: str, detail: str = "") -> tuple[datetime, StepLine]:
        line = StepLine(kind=StepKind.LIMIT, time=tell.by(at), what=what, detail=detail)
        return at, line

    for gate in gates_in_words(facts, tell.settings, limits):
        if gate.decision.at is not None:
            yield limit(
                gate.decision.at, f"Decide: {gate.gate.name}", "else the fallback"
            )
    for stop in facts.stops:
        at = leave_by(checklist, stop)
        if at is not None:
            yield limit(at, f"Leave {stop.name} at the latest")
    trip = facts.trip
    if trip.latest_return is not None:
        yield limit(trip.latest_return, "Latest return")
    if trip.raise_alarm is not None:
        yield limit(trip.raise_alarm, "The contact raises the alarm")
