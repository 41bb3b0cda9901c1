"""The map of a trip sheet, worked out to the point where it only has to be drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import timedelta

from fieldtrip.geo import Line, Position, distance_m
from fieldtrip.places.records import Hazard, Leg, Shape, StartKind
from fieldtrip.reports.sheet import (
    GridLine,
    Mark,
    MarkKind,
    SheetMap,
    Stroke,
    StrokeKind,
)
from fieldtrip.reports.sheet_frame import (
    HEIGHT,
    WIDTH,
    Frame,
    Point,
    cut_line,
    cut_ring,
    drawn,
    frame_round,
    grid_values_deg,
)
from fieldtrip.reports.sheet_ground import Ground
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.records import Trip
from fieldtrip.wording import METRES_PER_FOOT, METRES_PER_MILE, count_text, number_text

_Box = tuple[float, float, float, float]  # left, top, right, bottom
_FAR_SUBJECT_M = 5_000.0  # one beyond does not widen the map
_JOINED_M = 60.0  # nearer than this a way's end counts as the stop
_LETTER = 8.2  # units a letter is wide, on the average
_LINE = 18.0
_LONGEST = 26  # letters of a name on the map
_SIDES = (  # to the right, down, and which end of the words is there
    (13, 5, "start"),
    (-13, 5, "end"),
    (0, -14, "middle"),
    (0, 25, "middle"),
    (11, -10, "start"),
    (-11, -10, "end"),
    (11, 20, "start"),
    (-11, 20, "end"),
    (0, -32, "middle"),
    (0, 43, "middle"),
)
_MOST_MARKS = 60
_NO_GROUND = "No drawing of the land is at hand here: only what was recorded is drawn."
_ORDER = (
    StrokeKind.LAND,
    StrokeKind.WATER,
    StrokeKind.SHINGLE,
    StrokeKind.CONTOUR,
    StrokeKind.SHORE,
)


def trip_frame(dossier: Dossier, trip: Trip, facts: TripFacts) -> Frame:
    """The frame round everything that the trip touches."""
    spots = list(_positions(dossier, trip, facts))
    if not spots:
        spots = [
            dossier.location.position,
            *(v.position for v in dossier.vantage_points),
            *(p for leg in dossier.legs for p in leg.line),
        ]
    return frame_round(spots)


def sheet_map(
    dossier: Dossier,
    trip: Trip,
    facts: TripFacts,
    settings: Settings,
    ground: Ground | None,
) -> SheetMap:
    """The map of a trip: ways, stops, hazards and refuges on the ground there is."""
    frame = trip_frame(dossier, trip, facts)
    marks = _marks(dossier, trip, facts, frame)
    length, text = _scale(frame, settings)
    gaps = _gaps(facts)
    lines = [
        "Grid and north are true (WGS 84). The map is for orientation, not for "
        "navigation."
    ]
    lines.append(ground.credit if ground and ground.shapes else _NO_GROUND)
    if gaps:
        lines.append(
            "Dotted straight lines join stops between which no way was planned."
        )
    return SheetMap(
        width=WIDTH,
        height=HEIGHT,
        strokes=tuple(_strokes(dossier, facts, frame, ground, gaps)),
        marks=marks,
        grid=tuple(_grid(frame)),
        scale_length=length,
        scale_text=text,
        lines=tuple(lines),
        words=(
            f"Map of {trip.name}: {count_text(len(facts.stops), 'stop')}, "
            f"{count_text(len(facts.walks), 'walk')}, north up, "
            f"the scale bar is {text} long."
        ),
    )


def _positions(dossier: Dossier, trip: Trip, facts: TripFacts) -> Iterator[Position]:
    for walk in facts.walks:
        if walk.leg is not None:
            yield from walk.leg.line
        if walk.refuge is not None:
            yield walk.refuge.position
    for stop in facts.stops:
        vantage = stop.vantage_point
        if vantage is None:
            continue
        yield vantage.position
        subject = by_id(dossier.subjects, stop.stop.subject_id)
        if subject and distance_m(vantage.position, subject.position) <= _FAR_SUBJECT_M:
            yield subject.position
    for place_id in (trip.start_place_id, trip.end_place_id, trip.meeting_place_id):
        place = by_id(dossier.start_places, place_id)
        if place is not None:
            yield place.position


def _strokes(
    dossier: Dossier,
    facts: TripFacts,
    frame: Frame,
    ground: Ground | None,
    gaps: Sequence[tuple[Position, Position]],
) -> Iterator[Stroke]:
    shapes = sorted(ground.shapes, key=lambda s: _ORDER.index(s.kind)) if ground else ()
    for shape in shapes:
        if shape.kind in (StrokeKind.SHORE, StrokeKind.CONTOUR):
            runs = [run for ring in shape.rings for run in cut_line(drawn(frame, ring))]
            yield from _stroke(shape.kind, runs)
        else:
            yield from _stroke(
                shape.kind, [cut_ring(drawn(frame, r)) for r in shape.rings]
            )
    for closure in dossier.closures:
        if closure.shape is Shape.AREA and closure.line:
            yield from _stroke(
                StrokeKind.CLOSURE, [cut_ring(drawn(frame, closure.line))]
            )
    for hazard in dossier.hazards:
        yield from _hazard(hazard, frame)
    walked = {walk.walk.leg_id for walk in facts.walks}
    for is_walked in (False, True):  # the trip's own ways on top
        kind = StrokeKind.ROUTE if is_walked else StrokeKind.OTHER_WAY
        for leg in dossier.legs:
            if (leg.id in walked) == is_walked:
                yield from _stroke(kind, cut_line(drawn(frame, leg.line)))
    for pair in gaps:
        yield from _stroke(StrokeKind.STRAIGHT, cut_line(drawn(frame, pair)))
    for stop in facts.stops:
        subject = by_id(dossier.subjects, stop.stop.subject_id)
        if subject is not None and stop.vantage_point is not None:
            sight = (stop.vantage_point.position, subject.position)
            yield from _stroke(StrokeKind.SIGHT, cut_line(drawn(frame, sight)))


def _stroke(kind: StrokeKind, rings: Sequence[Sequence[Point]]) -> Iterator[Stroke]:
    sound = tuple(tuple(ring) for ring in rings if len(ring) >= 2)
    if sound:
        yield Stroke(kind, sound)


def _hazard(hazard: Hazard, frame: Frame) -> Iterator[Stroke]:
    if hazard.shape is Shape.AREA:
        yield from _stroke(
            StrokeKind.HAZARD_AREA, [cut_ring(drawn(frame, hazard.line))]
        )
    elif hazard.shape is Shape.LINE:
        yield from _stroke(StrokeKind.HAZARD_LINE, cut_line(drawn(frame, hazard.line)))


def _gaps(facts: TripFacts) -> list[tuple[Position, Position]]:
    """Stops that follow each other without any walk between."""
    found = []
    for a, b in zip(facts.stops, facts.stops[1:], strict=False):
        one, other = a.vantage_point, b.vantage_point
        if one is None or other is None:
            continue
        between = [
            walk
            for walk in facts.walks
            if a.stop.leave <= walk.walk.start + timedelta(minutes=1)
            and walk.walk.start < b.stop.arrive
        ]
        if not between and distance_m(one.position, other.position) > _JOINED_M:
            found.append((one.position, other.position))
    return found


def _marks(
    dossier: Dossier, trip: Trip, facts: TripFacts, frame: Frame
) -> tuple[Mark, ...]:
    """Everything with a name that lies on the map, its words clear of one another."""
    things: list[tuple[MarkKind, Position, str, str]] = []
    numbers: dict[Position, list[str]] = {}
    for stop in facts.stops:
        if stop.vantage_point is not None:
            numbers.setdefault(stop.vantage_point.position, []).append(
                str(stop.stop.number)
            )
    names = {s.vantage_point.position: s.name for s in facts.stops if s.vantage_point}
    for position, found in numbers.items():
        sign = found[0] if len(found) == 1 else f"{found[0]}+"
        things.append((MarkKind.STOP, position, sign, names[position]))
    used = {trip.start_place_id, trip.end_place_id, trip.meeting_place_id}
    for place in dossier.start_places:
        if place.id in used:
            is_meeting = (
                place.id == trip.meeting_place_id or place.kind is StartKind.MEETING
            ) and place.id not in (trip.start_place_id, trip.end_place_id)
            kind = MarkKind.MEETING if is_meeting else MarkKind.START
            sign = "M" if is_meeting else "P"
            things.append((kind, place.position, sign, place.name))
    things += [(MarkKind.REFUGE, r.position, "", r.name) for r in dossier.refuges]
    wanted = {stop.stop.subject_id for stop in facts.stops}
    things += [
        (MarkKind.SUBJECT, subject.position, "", subject.name)
        for subject in dossier.subjects
        if subject.id in wanted
    ]
    things += [
        (MarkKind.HAZARD, _middle(hazard.line), "!", hazard.name)
        for hazard in dossier.hazards
        if hazard.line
    ]
    seen = [thing for thing in things if frame.holds(thing[1])][:_MOST_MARKS]
    return _placed([(k, frame.point(p), sign, name) for k, p, sign, name in seen])


def _middle(line: Line) -> Position:
    return line[len(line) // 2]


def _placed(
    things: Sequence[tuple[MarkKind, Point, str, str]],
) -> tuple[Mark, ...]:
    """Give each name the side on which it covers least of what stands there."""
    spots = [(x - 11, y - 11, x + 11, y + 11) for _, (x, y), _, _ in things]
    taken: list[_Box] = spots * 2  # a mark counts twice: no words may hide one
    marks = []
    for kind, (x, y), sign, name in things:
        short = name if len(name) <= _LONGEST else f"{name[: _LONGEST - 1].rstrip()}…"
        wide = len(short) * _LETTER
        best = min(
            (
                (_cost(box, taken), index, side, box)
                for index, side in enumerate(_SIDES)
                for box in [_label_box(x, y, side, wide)]
            ),
            key=lambda found: found[:2],
        )
        (dx, dy, anchor), box = best[2], best[3]
        taken.append(box)
        marks.append(
            Mark(kind, round(x, 1), round(y, 1), sign, short,
                 round(x + dx, 1), round(y + dy, 1), anchor)
        )  # fmt: skip
    return tuple(marks)


def _label_box(x: float, y: float, side: tuple[float, float, str], wide: float) -> _Box:
    dx, dy, anchor = side
    left = x + dx - {"start": 0.0, "middle": wide / 2.0, "end": wide}[anchor]
    return (left, y + dy - _LINE * 0.8, left + wide, y + dy + _LINE * 0.25)


def _cost(box: _Box, taken: Sequence[_Box]) -> float:
    left, top, right, bottom = box
    outside = max(0.0, -left) + max(0.0, right - WIDTH)
    outside += max(0.0, -top) + max(0.0, bottom - HEIGHT)
    covered = sum(
        max(0.0, min(right, other[2]) - max(left, other[0]))
        * max(0.0, min(bottom, other[3]) - max(top, other[1]))
        for other in taken
    )
    return 100.0 * outside + covered


def _grid(frame: Frame) -> Iterator[GridLine]:
    south, west, north, east = frame.edges_deg()
    lons, step = grid_values_deg(west, east)
    for lon_deg in lons:
        x = WIDTH / 2.0 + (lon_deg - frame.middle.lon_deg) * frame.per_lon
        text = _angle(math.remainder(lon_deg, 360.0), step, "E", "W")
        yield GridLine(round(x, 1), True, text)
    lats, step = grid_values_deg(south, north)
    for lat_deg in lats:
        if abs(lat_deg) <= 90.0:
            y = HEIGHT / 2.0 - (lat_deg - frame.middle.lat_deg) * frame.per_lat
            yield GridLine(round(y, 1), False, _angle(lat_deg, step, "N", "S"))


def _angle(value_deg: float, step_min: float, plus: str, minus: str) -> str:
    decimals = 2 if step_min < 0.1 else 1 if step_min < 1.0 else 0
    minutes = round(abs(value_deg) * 60.0, decimals)
    whole, rest = divmod(minutes, 60.0)
    side = plus if value_deg >= 0.0 else minus
    return f"{int(whole)}° {number_text(round(rest, decimals), decimals)}′ {side}"


def _scale(frame: Frame, settings: Settings) -> tuple[float, str]:
    """A round length of at most a quarter of the map, and its words."""
    longest_m = WIDTH / 4.0 / frame.units_per_m
    if settings.length_unit is LengthUnit.METRE:
        length_m = _round_below(longest_m)
        km = length_m / 1000.0
        text = f"{km:g} km" if length_m >= 1000.0 else f"{length_m:g} m"
    elif longest_m >= METRES_PER_MILE:
        miles = _round_below(longest_m / METRES_PER_MILE)
        length_m, text = miles * METRES_PER_MILE, f"{miles:g} mi"
    else:
        feet = _round_below(longest_m / METRES_PER_FOOT)
        length_m, text = feet * METRES_PER_FOOT, f"{feet:g} ft"
    return round(length_m * frame.units_per_m, 1), text


def _round_below(value: float) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return next(n * power for n in (5.0, 2.0, 1.0) if n * power <= value)


def walked_legs(facts: TripFacts) -> tuple[Leg, ...]:
    """The legs of the trip, each once, in the order in which they are walked."""
    legs = (walk.leg for walk in facts.walks if walk.leg is not None)
    return tuple(dict.fromkeys(legs))
