"""The strip's Plan column: the chosen trip's stops and walks as blocks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from fieldtrip.almanac.gates import GateWords
from fieldtrip.desktop.content.wanting import called_at
from fieldtrip.finding_numbers import earlier_minute
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Stop, Trip, Walk
from fieldtrip.wanted_words import wanted_text
from fieldtrip.wording import clock_text, short_date_text, span_text

NO_TRIP = "No trip chosen. Choose one under Trips, or draft one: Trip ▸ New trip…"


@dataclass(frozen=True, slots=True)
class PlanBlock:
    """A stop or a walk."""

    span: Span
    title: str
    lines: tuple[str, ...]
    is_stop: bool
    record_id: UUID  # of the stop or the walk
    lane: int = 0  # blocks that overlap stand side by side
    lanes: int = 1


@dataclass(frozen=True, slots=True)
class PlanLine:
    """A time of the trip that is not to be passed."""

    instant: datetime
    text: str
    is_stop: bool  # drawn as a stop, else as a plain line


@dataclass(frozen=True, slots=True)
class GateMark:
    """By when a gate of the trip must be decided."""

    instant: datetime
    text: str  # the time in two words
    tip: str  # all that is known of it
    is_late: bool  # the plan comes to it only later


@dataclass(frozen=True, slots=True)
class PlanOverrun:
    """The part of a stop after the time by which it must be left."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True)
class PlanColumn:
    """Everything the Plan column shows."""

    blocks: tuple[PlanBlock, ...] = ()
    lines: tuple[PlanLine, ...] = ()
    too_long: tuple[PlanOverrun, ...] = ()
    gates: tuple[GateMark, ...] = ()
    message: str = ""


def plan_column(
    dossier: Dossier,
    trip: Trip | None,
    day: date,
    settings: Settings,
    turn_back: Mapping[UUID, datetime] | None = None,
    gates: Sequence[GateWords] = (),
) -> PlanColumn:
    """The blocks of a trip; only on the trip's own day.

    `turn_back` says, by the id of a stop, when it must be left.
    """
    zone = dossier.location.zone
    if trip is None:
        return PlanColumn(message=NO_TRIP)
    if trip.day != day:
        return PlanColumn(
            message=f"“{trip.name}” is planned for {short_date_text(trip.day)}."
        )
    stops, walks = dossier.stops_of(trip), dossier.walks_of(trip)
    if not stops and not walks:
        return PlanColumn(
            message=f"“{trip.name}” has no stops yet. Drop vantage points here from "
            "the list, or add them on its Notes page, below the map: “Add stop”."
        )
    blocks = [_stop_block(dossier, stop, settings) for stop in stops]
    blocks += [_walk_block(dossier, walk, settings) for walk in walks]
    leave_by = {stop.id: at for stop, at in _leave_by(stops, turn_back or {})}
    lines = [
        PlanLine(
            at,
            f"{clock_text(earlier_minute(at), zone, settings)} turn back",
            is_stop=True,
        )
        for at in sorted(set(leave_by.values()))
    ]
    if trip.latest_return is not None:
        text = f"{clock_text(trip.latest_return, zone, settings)} latest return"
        lines.append(PlanLine(trip.latest_return, text, is_stop=False))
    overruns = tuple(
        PlanOverrun(
            Span(max(stop.arrive, leave_by[stop.id]), stop.leave), "stays too long"
        )
        for stop in stops
        if stop.id in leave_by and stop.leave > leave_by[stop.id]
    )
    marks = tuple(_gate_marks(gates, zone, settings))
    return PlanColumn(_in_lanes(blocks), tuple(lines), overruns, marks)


def _gate_marks(
    gates: Sequence[GateWords], zone: str, settings: Settings
) -> Iterable[GateMark]:
    """The gates whose decision time is known, as far as it is."""
    for one in gates:
        at = one.decision.at
        if at is not None:
            when = clock_text(earlier_minute(at), zone, settings)
            text = f"{when} decide"
            tip = f"{one.gate.name}. {one.text}"
            yield GateMark(at, text, tip, one.decision.is_late)


def _leave_by(
    stops: tuple[Stop, ...], turn_back: Mapping[UUID, datetime]
) -> list[tuple[Stop, datetime]]:
    """The times that are drawn: the last stop's, and those that the plan passes."""
    return [
        (stop, turn_back[stop.id])
        for stop in stops
        if stop.id in turn_back
        and (stop is stops[-1] or stop.leave > turn_back[stop.id])
    ]


def _stop_block(dossier: Dossier, stop: Stop, settings: Settings) -> PlanBlock:
    vantage = by_id(dossier.vantage_points, stop.vantage_point_id)
    subject = by_id(dossier.subjects, stop.subject_id)
    span = Span(stop.arrive, stop.leave)
    lines = [span_text(span, dossier.location.zone, settings)]
    needs = stop.wanted or _needs(dossier, stop, settings)
    wanted = ", ".join(filter(None, (needs, subject.name if subject else "")))
    if wanted:
        lines.append(wanted)
    if stop.is_pinned:
        lines.append("times pinned")
    name = vantage.name if vantage else "a vantage point that is gone"
    return PlanBlock(span, name, tuple(lines), is_stop=True, record_id=stop.id)


def _needs(dossier: Dossier, stop: Stop, settings: Settings) -> str:
    """What a stop needs, where nobody said it in words of their own."""
    if not stop.conditions:
        return ""
    names = called_at(dossier, stop.subject_id).names
    return wanted_text(stop.conditions, names, settings)


def _walk_block(dossier: Dossier, walk: Walk, settings: Settings) -> PlanBlock:
    leg = by_id(dossier.legs, walk.leg_id)
    span = Span(walk.start, walk.finish)
    name = leg.name if leg else "a leg that is gone"
    title = f"walk {name}, back" if walk.is_reversed else f"walk {name}"
    times = span_text(span, dossier.location.zone, settings)
    return PlanBlock(span, title, (times,), is_stop=False, record_id=walk.id)


def _in_lanes(blocks: list[PlanBlock]) -> tuple[PlanBlock, ...]:
    """Give blocks that overlap lanes of their own, side by side."""
    ordered = sorted(blocks, key=lambda block: (block.span.start, block.span.stop))
    placed: list[PlanBlock] = []
    cluster: list[tuple[PlanBlock, int]] = []

    def close() -> None:
        lanes = 1 + max((lane for _, lane in cluster), default=0)
        placed.extend(replace(block, lane=lane, lanes=lanes) for block, lane in cluster)
        cluster.clear()

    for block in ordered:
        if cluster and all(b.span.stop <= block.span.start for b, _ in cluster):
            close()
        busy = {lane for b, lane in cluster if b.span.stop > block.span.start}
        lane = next(n for n in range(len(cluster) + 1) if n not in busy)
        cluster.append((block, lane))
    close()
    return tuple(placed)
