"""From an order and its ticks to stops, walks and what each must be in time for."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from uuid import UUID

from fieldtrip.times import Span
from fieldtrip.trips.answer import Caution, Limit, Plan, PlannedStop, PlannedWalk
from fieldtrip.trips.best_order import Found, Roads
from fieldtrip.trips.light_kept import dry_ticks, kept_minutes, light_end, light_of
from fieldtrip.trips.question import (
    LimitKind,
    OpenIn,
    PlanNote,
    Question,
    Way,
    WayKind,
    Wish,
)

_MINUTE = timedelta(minutes=1)
_Piece = tuple[Way, int, int]  # and its first and last minute


def plan_of(question: Question, free: Roads, roads: Roads, found: Found) -> Plan:
    """The plan of an order found on some roads; `free` ones keep no slack."""
    return _Making(question, free, roads, found).plan()


class _Making:
    """What the parts of one plan share."""

    def __init__(
        self, question: Question, free: Roads, roads: Roads, found: Found
    ) -> None:
        self._question, self._free, self._roads = question, free, roads
        self._found, self._clock = found, free.clock
        self._wishes = [question.wishes[visit.index] for visit in found.visits]
        self._walks: list[PlannedWalk] = []
        self._ways: list[Way] = []
        self._limits: list[Limit] = []

    def plan(self) -> Plan:
        question, found = self._question, self._found
        calls = self._last_calls()
        start = self._at(found.start)
        left, left_id = start, None
        reached = self._out()
        stops: list[PlannedStop] = []
        for rank, (wish, visit) in enumerate(
            zip(self._wishes, found.visits, strict=True)
        ):
            arrive = self._dry_from(wish, reached, visit.leave)
            leave = self._at(visit.leave)
            if wish.pinned is not None:
                self._pinned_limit(wish, wish.pinned, reached, left, left_id)
                arrive, leave = wish.pinned.start, wish.pinned.stop
            kept = kept_minutes(wish, arrive, leave)
            stop = PlannedStop(
                stop_id=wish.id,
                name=wish.name,
                arrive=arrive,
                leave=leave,
                light=light_of(wish, arrive, leave),
                wanted_min=kept,
                is_short=wish.pinned is not None and kept < wish.least_min,
                leave_by=self._at_or_none(calls[rank]),
                turn_back=self._turn_back(visit.index),
            )
            stops.append(stop)
            self._light_limit(wish, visit.index, stop, visit.leave, left, left_id)
            self._dry_limit(wish, stop, visit.leave)
            left, left_id = leave, wish.id
            reached = self._on(rank, left, left_id)
        if question.start is None:
            start = stops[0].arrive
        finish = self._finish(reached, stops[-1], left, left_id)
        limits = tuple(sorted(self._limits, key=lambda each: (each.slack, each.at)))
        return Plan(
            start=start,
            finish=finish,
            stops=tuple(stops),
            walks=tuple(self._walks),
            left_out=tuple(
                wish.id
                for index, wish in enumerate(question.wishes)
                if index not in found.order
            ),
            must_min=self._kept(stops, is_must=True),
            may_min=self._kept(stops, is_must=False),
            slack=limits[0].slack if limits else None,
            critical=limits[0] if limits else None,
            limits=limits,
            cautions=self._cautions(stops),
            clock_min=self._clock.step,
        )

    # The ways

    def _out(self) -> datetime:
        """The way to the first stop; when one is there."""
        start, first = self._question.start, self._found.visits[0]
        if start is None:
            return self._at(first.by_tick)
        minute, rest = self._found.start * self._clock.step, self._roads.break_out
        return self._walk(
            start,
            self._wishes[0].place,
            minute,
            rest,
            self._at(self._found.start),
            None,
        )

    def _on(self, rank: int, left: datetime, left_id: UUID | None) -> datetime:
        """The way on from a stop, to the next or to the end; when one is there."""
        visit, here = self._found.visits[rank], self._wishes[rank].place
        minute = visit.leave * self._clock.step
        if rank + 1 < len(self._wishes):
            there = self._wishes[rank + 1].place
            return self._walk(here, there, minute, 0, left, left_id)
        if self._question.finish is None:
            return left
        rest = self._roads.break_back
        return self._walk(here, self._question.finish, minute, rest, left, left_id)

    def _walk(
        self,
        start: int,
        stop: int,
        minute: int,
        rest: int,
        left: datetime,
        left_id: UUID | None,
    ) -> datetime:
        clock, at = self._clock, minute
        for way, begin, at in self._roads.travel.way_between(start, stop, minute):
            latest = self._free.travel.latest_start(way, begin)
            self._ways.append(way)
            if at > begin:
                self._walks.append(
                    _walk_of(way, clock.instant(begin), clock.instant(at), None)
                    if latest is None
                    else _walk_of(
                        way,
                        clock.instant(begin),
                        clock.instant(at),
                        clock.instant(latest[0]),
                    )
                )
            if latest is not None:
                late = (latest[0] - begin) * _MINUTE
                self._limits.append(
                    Limit(
                        kind=latest[1].kind,
                        name=way.name,
                        record_id=way.leg_id,
                        at=latest[2],
                        by=clock.instant(latest[0]),
                        planned=clock.instant(begin),
                        leave_by=left + late,
                        leave_id=left_id,
                    )
                )
        return clock.instant(at + rest)

    # The limits

    def _light_limit(
        self,
        wish: Wish,
        index: int,
        stop: PlannedStop,
        leave: int,
        left: datetime,
        left_id: UUID | None,
    ) -> None:
        end = light_end(wish, self._clock, leave)
        call = int(self._free.stays[index].last_call[leave])
        if wish.pinned is None and end is not None and call < self._clock.ticks:
            by = self._at(call)
            self._limits.append(
                Limit(
                    kind=LimitKind.WANTED,
                    name=wish.name,
                    record_id=wish.id,
                    at=end[1],
                    by=by,
                    planned=stop.arrive,
                    leave_by=left + (by - stop.arrive),
                    leave_id=left_id,
                )
            )

    def _pinned_limit(
        self,
        wish: Wish,
        pinned: Span,
        reached: datetime,
        left: datetime,
        left_id: UUID | None,
    ) -> None:
        self._limits.append(
            Limit(
                kind=LimitKind.PINNED,
                name=wish.name,
                record_id=wish.id,
                at=pinned.start,
                by=pinned.start,
                planned=reached,
                leave_by=left + (pinned.start - reached),
                leave_id=left_id,
            )
        )

    def _dry_limit(self, wish: Wish, stop: PlannedStop, leave: int) -> None:
        if wish.dry is None:
            return
        for span in wish.dry.spans:
            first, last = dry_ticks(wish, span, self._clock)
            if first <= leave <= last < self._clock.ticks - 1:
                by = self._at(last)
                self._limits.append(
                    Limit(
                        kind=LimitKind.FLOODED,
                        name=wish.name,
                        record_id=wish.id,
                        at=span.stop,
                        by=by,
                        planned=stop.leave,
                        leave_by=by,
                        leave_id=wish.id,
                    )
                )
                return

    def _finish(
        self,
        reached: datetime,
        last: PlannedStop,
        left: datetime,
        left_id: UUID | None,
    ) -> datetime:
        """When the trip is over, and by when it had to be."""
        question = self._question
        finish = reached if question.finish is not None else last.leave
        ends = [(LimitKind.RETURN, question.span.stop, question.span.stop)]
        if not question.has_latest_return:
            ends = []
        hours = question.finish_open
        if hours is not None:
            span = _open_at(hours, finish)
            if span is None:  # one waits for the gate to open
                finish = self._at(self._found.finish)
                span = _open_at(hours, finish)
            if span is not None and span.stop < question.span.stop:
                ends.append((hours.kind, span.stop, span.stop - hours.reserve))
        for kind, at, by in ends:
            self._limits.append(
                Limit(
                    kind=kind,
                    name="the trip" if kind is LimitKind.SHUT else "",
                    record_id=None,
                    at=at,
                    by=by,
                    planned=finish,
                    leave_by=left + (by - finish),
                    leave_id=left_id,
                )
            )
        return finish

    def _last_calls(self) -> list[int | None]:
        """The last tick at which each stop may be left; None where any will do."""
        free, visits = self._free, self._found.visits
        following = self._last_home(visits[-1].index)
        calls = [self._unless_free(visits[-1].index, following)]
        for before, visit in reversed(list(pairwise(visits))):
            stay = free.stays[visit.index]
            deadline = int(stay.latest(stay.levels[0], 0)[: following + 1].max())
            back = free.latest_departure(free.between[before.index][visit.index])
            following = int(back[deadline])
            calls.append(following)
        return calls[::-1]

    def _last_home(self, index: int) -> int:
        """The last tick at which to leave a stop straight for the end; -1: at none."""
        return int((self._free.last[index] < self._clock.ticks).sum()) - 1

    def _unless_free(self, index: int, call: int) -> int | None:
        """None where only the end of what was looked at sets the last tick."""
        if call < 0:
            return None
        is_free = not self._question.has_latest_return
        is_at_end = self._free.last[index][call] >= self._clock.ticks - 2
        return None if is_free and is_at_end else call

    def _turn_back(self, index: int) -> datetime | None:
        if self._question.finish is None:
            return None
        call = self._unless_free(index, self._last_home(index))
        return self._at_or_none(call)

    # The rest

    def _at(self, tick: int) -> datetime:
        return self._clock.instant(tick * self._clock.step)

    def _at_or_none(self, tick: int | None) -> datetime | None:
        return None if tick is None else self._at(tick)

    def _dry_from(self, wish: Wish, reached: datetime, leave: int) -> datetime:
        """When one is at a stop: not before the sea has left it."""
        for span in wish.dry.spans if wish.dry is not None else ():
            first, last = dry_ticks(wish, span, self._clock)
            if first <= leave <= last:
                return max(reached, self._at(first))
        return reached

    def _kept(self, stops: Sequence[PlannedStop], *, is_must: bool) -> float:
        return sum(
            stop.wanted_min
            for stop, wish in zip(stops, self._wishes, strict=True)
            if wish.is_must == is_must
        )

    def _cautions(self, stops: Sequence[PlannedStop]) -> tuple[Caution, ...]:
        question = self._question
        found: list[Caution] = []
        if question.start is None:
            found.append(Caution(PlanNote.NO_START, ""))
        if not question.has_latest_return:
            found.append(Caution(PlanNote.NO_LATEST_RETURN, ""))
        for way in self._ways:
            if way.kind is WayKind.LINE:
                found.append(Caution(PlanNote.NO_ROUTE, way.name))
            found += [Caution(note, way.name, way.leg_id) for note in way.notes]
        for wish, stop in zip(self._wishes, stops, strict=True):
            found += [Caution(note, wish.name, wish.id) for note in wish.notes]
            if stop.is_short:
                found.append(Caution(PlanNote.SHORT_OF_LIGHT, wish.name, wish.id))
        return tuple(dict.fromkeys(found))


def _walk_of(
    way: Way, start: datetime, finish: datetime, latest_start: datetime | None
) -> PlannedWalk:
    return PlannedWalk(
        kind=way.kind,
        name=way.name,
        leg_id=way.leg_id,
        is_reversed=way.is_reversed,
        from_share=way.from_share,
        to_share=way.to_share,
        start=start,
        finish=finish,
        distance_m=way.distance_m,
        latest_start=latest_start,
        place_from=way.start,
        place_to=way.stop,
    )


def _open_at(hours: OpenIn, instant: datetime) -> Span | None:
    for span in hours.spans:
        if span.start <= instant <= span.stop - hours.reserve:
            return span
    return None
