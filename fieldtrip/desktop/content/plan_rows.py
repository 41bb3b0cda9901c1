"""A plan step by step, in words: what is done when, and by when at the latest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import Enum, auto
from uuid import UUID

from fieldtrip.almanac.gates import GateWords
from fieldtrip.plan_phrasing import spare_text
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.answer import Plan, PlannedStop, PlannedWalk
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.question import WayKind
from fieldtrip.trips.records import Trip
from fieldtrip.wording import duration_text, when_text

_SHORT = timedelta(minutes=2)  # a gap that is nothing but rounding


class RowKind(Enum):
    """What a line of a plan is about."""

    START = auto()
    WALK = auto()
    NO_ROUTE = auto()  # nobody knows what lies there
    WAIT = auto()
    STOP = auto()
    GATE = auto()
    FINISH = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRow:
    """One line."""

    kind: RowKind
    at: datetime
    when: str  # "12:59 to 14:00"
    what: str
    more: tuple[str, ...] = ()  # each a sentence or part of one


def plan_rows(
    dossier: Dossier,
    trip: Trip,
    plan: Plan,
    gates: Sequence[GateWords],
    settings: Settings,
) -> tuple[PlanRow, ...]:
    """A plan from the first step until back, with its gates where it comes to them."""
    say = _Sayer(dossier, trip, plan, settings)
    rows = [say.start()]
    last = plan.start
    for part in _parts(plan):
        begins = part.arrive if isinstance(part, PlannedStop) else part.start
        if begins - last >= _SHORT:
            rows.append(say.wait(Span(last, begins)))
        if isinstance(part, PlannedStop):
            rows.append(say.stop(part))
            last = part.leave
        else:
            rows.append(say.walk(part))
            last = part.finish
    if plan.finish - last >= _SHORT:
        rows.append(say.wait(Span(last, plan.finish)))
    rows.append(say.finish())
    return _with_gates(rows, [say.gate(gate) for gate in gates])


def joined_walks(walks: Sequence[PlannedWalk]) -> list[PlannedWalk]:
    """Walks, with the pieces of one leg walked one after another as one."""
    found: list[PlannedWalk] = []
    for walk in walks:
        if found and _goes_on(found[-1], walk):
            found[-1] = _joined(found[-1], walk)
        else:
            found.append(walk)
    return found


def _goes_on(before: PlannedWalk, walk: PlannedWalk) -> bool:
    meets = (
        before.from_share == walk.to_share
        if walk.is_reversed
        else before.to_share == walk.from_share
    )
    return (
        walk.leg_id is not None
        and before.leg_id == walk.leg_id
        and before.is_reversed == walk.is_reversed
        and before.finish == walk.start
        and meets
    )


def _joined(before: PlannedWalk, walk: PlannedWalk) -> PlannedWalk:
    late = [w.latest_start - w.start for w in (before, walk) if w.latest_start]
    return replace(
        before,
        finish=walk.finish,
        distance_m=before.distance_m + walk.distance_m,
        from_share=min(before.from_share, walk.from_share),
        to_share=max(before.to_share, walk.to_share),
        latest_start=before.start + min(late) if late else None,
    )


def _parts(plan: Plan) -> list[PlannedStop | PlannedWalk]:
    """Stops and walks by time; a walk that ends as a stop begins comes before it."""
    found: list[PlannedStop | PlannedWalk] = [*joined_walks(plan.walks), *plan.stops]
    return sorted(found, key=_time_of)


def _time_of(part: PlannedStop | PlannedWalk) -> tuple[datetime, datetime, bool]:
    if isinstance(part, PlannedStop):
        return part.arrive, part.leave, True
    return part.start, part.finish, False


def _with_gates(rows: list[PlanRow], gates: list[PlanRow]) -> tuple[PlanRow, ...]:
    """Each gate before the first step that is taken once it is reached."""
    for gate in reversed(gates):
        place = next(
            (
                i
                for i, row in enumerate(rows)
                if row.kind is not RowKind.GATE and row.at >= gate.at
            ),
            len(rows),
        )
        rows.insert(place, gate)
    return tuple(rows)


class _Sayer:
    def __init__(
        self, dossier: Dossier, trip: Trip, plan: Plan, settings: Settings
    ) -> None:
        self._dossier, self._trip, self._plan = dossier, trip, plan
        self._settings, self._zone = settings, dossier.location.zone
        self._day: date = trip.day
        self._stops = {stop.id: stop for stop in dossier.stops_of(trip)}

    def when(self, instant: datetime) -> str:
        """A time of day, with its date where that is another one."""
        return when_text(instant, self._zone, self._settings, self._day)

    def span(self, span: Span) -> str:
        """From one time to another."""
        first, last = self.when(span.start), self.when(span.stop)
        clock, on, day = first.partition(" on ")
        if on and last.endswith(f"{on}{day}"):
            first = clock  # the date is said once
        return f"{first} to {last}"

    def start(self) -> PlanRow:
        """The first step."""
        plan = self._plan
        by = [limit.leave_by for limit in plan.limits if limit.leave_id is None]
        name = self._place(self._trip.start_place_id)
        more = (f"{self.when(min(by))} at the latest",) if by else ()
        return PlanRow(
            kind=RowKind.START,
            at=plan.start,
            when=self.when(plan.start),
            what=f"Set out from {name}" if name else "The first stop begins the trip",
            more=more if name else (),
        )

    def finish(self) -> PlanRow:
        """The last one."""
        plan, trip = self._plan, self._trip
        name = self._place(trip.end_place_id or trip.start_place_id)
        more: list[str] = []
        if trip.latest_return is not None:
            spare = trip.latest_return - plan.finish
            latest = self.when(trip.latest_return)
            more.append(f"latest return {latest}, {spare_text(spare)} in hand")
        more.append(f"{duration_text(plan.length)} in all")
        return PlanRow(
            kind=RowKind.FINISH,
            at=plan.finish,
            when=self.when(plan.finish),
            what=f"Back at {name}" if name else "The last stop ends the trip",
            more=tuple(more),
        )

    def wait(self, span: Span) -> PlanRow:
        """Time in which nobody walks and nothing is photographed."""
        return PlanRow(
            kind=RowKind.WAIT,
            at=span.start,
            when=self.span(span),
            what=f"Wait or rest, {duration_text(span.length)}",
        )

    def walk(self, walk: PlannedWalk) -> PlanRow:
        """A piece of way."""
        kind, what = RowKind.WALK, f"Walk {walk.name}"
        match walk.kind:
            case WayKind.LINE:
                kind, what = RowKind.NO_ROUTE, f"No route known: straight, {walk.name}"
            case WayKind.DRIVE:
                what = f"Drive: {walk.name}"
            case WayKind.LEG:
                is_part = walk.to_share - walk.from_share < 0.995
                what += ", back" if walk.is_reversed else ""
                what += ", a part of it" if is_part else ""
        more = [duration_text(walk.finish - walk.start)]
        if walk.latest_start is not None:
            more.append(f"start by {self.when(walk.latest_start)} at the latest")
        return PlanRow(
            kind=kind,
            at=walk.start,
            when=self.span(Span(walk.start, walk.finish)),
            what=what,
            more=tuple(more),
        )

    def stop(self, stop: PlannedStop) -> PlanRow:
        """A stay: the light it keeps, and by when it must be left."""
        more = [self._light(stop)]
        if stop.leave_by is not None and stop.slack is not None:
            spare = spare_text(stop.slack)
            more.append(f"leave by {self.when(stop.leave_by)}, {spare} in hand")
        if stop.turn_back is not None and stop.turn_back != stop.leave_by:
            more.append(f"straight back by {self.when(stop.turn_back)}")
        record = self._stops.get(stop.stop_id)
        if record is not None and record.is_pinned:
            more.append("times pinned")
        return PlanRow(
            kind=RowKind.STOP,
            at=stop.arrive,
            when=self.span(Span(stop.arrive, stop.leave)),
            what=stop.name,
            more=tuple(more),
        )

    def gate(self, gate: GateWords) -> PlanRow:
        """A gate, where the plan comes to it."""
        at = gate.decision.planned or gate.decision.at or self._plan.start
        why = f", as {gate.why}" if gate.why else ""
        return PlanRow(
            kind=RowKind.GATE,
            at=at,
            when=self.when(at),
            what=f"Gate: {gate.gate.name}",
            more=(f"{gate.by[:1].lower()}{gate.by[1:]}{why}", *gate.cautions),
        )

    def _light(self, stop: PlannedStop) -> str:
        record = self._stops.get(stop.stop_id)
        minutes = timedelta(minutes=stop.wanted_min)
        if record is not None and not record.conditions:
            return f"{duration_text(minutes)} to work: it needs no certain light"
        if not stop.light:
            return "none of the light it needs"
        spans = ", ".join(self.span(span) for span in stop.light)
        wished = "as wished"
        if record is not None and stop.wanted_min < record.wish_min:
            wished = f"of {record.wish_min:g} min wished"
        short = ", less than is worth it" if stop.is_short else ""
        return f"{duration_text(minutes)} of its light, {wished}{short}: {spans}"

    def _place(self, place_id: UUID | None) -> str:
        place = by_id(self._dossier.start_places, place_id)
        return "" if place is None else place.name
