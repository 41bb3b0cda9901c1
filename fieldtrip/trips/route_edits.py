"""Splitting, joining, turning round and putting in order the legs of routes.

Every edit is a list of records before and after, walks included: a trip walks the
same ground at the same times as before, or the edit is refused in words.  Where
two legs become one, whatever is not known of either is not known of both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from uuid import UUID, uuid4

from fieldtrip.errors import UserError
from fieldtrip.geo import distance_m, line_length_m
from fieldtrip.places.records import (
    AccessRoute,
    CrossingObservation,
    Ground,
    Leg,
    Shore,
)
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Walk
from fieldtrip.trips.walking import GROUND_FACTORS

Edited = Leg | Walk | CrossingObservation
Edits = list[tuple[Edited | None, Edited | None]]

# Ends closer than this are one place: drawn by hand, they hardly ever agree.
MEETING_M = 30.0
_LONGEST_REST = timedelta(minutes=5)  # between two walks that become one
_MILDEST_FIRST = (Shore.SHELTERED, Shore.SAND, Shore.STONES, None, Shore.ROCK)


def split_leg(dossier: Dossier, leg: Leg, index: int) -> Edits:
    """Part a leg at one of its points; the second part is a new leg after it.

    A typed distance is shared out by the lengths on the map; how the climb divides
    is not known.  Walks of the leg become two, parted in time likewise; what was
    seen of it holds for both parts.  Raises `UserError` at an end of the line.
    """
    if not 0 < index < len(leg.line) - 1:
        raise UserError(
            "A leg can be split at a point between its ends, not at an end. "
            "Choose such a point on the map first, with N."
        )
    front, back = leg.line[: index + 1], leg.line[index:]
    share = _share(line_length_m(front), line_length_m(back))
    typed_m = leg.distance_m
    is_level = leg.ascent_m == 0.0 and leg.descent_m == 0.0
    first = replace(leg, line=front)
    if not is_level:
        first = replace(first, ascent_m=None, descent_m=None)
    second = replace(
        first,
        line=back,
        number=leg.number + 1,
        name=f"{leg.name}, second part",
        id=uuid4(),
    )
    if typed_m is not None:
        first = replace(first, distance_m=typed_m * share)
        second = replace(second, distance_m=typed_m * (1.0 - share))
    edits: Edits = [(None, second), (leg, first)]
    edits += [
        (other, replace(other, number=other.number + 1))
        for other in _legs_of(dossier, leg.route_id)
        if other.number > leg.number
    ]
    for walk in dossier.walks:
        if walk.leg_id == leg.id:
            edits += _parted(walk, second.id, share)
    edits += [
        (None, replace(seen, leg_id=second.id, id=uuid4()))
        for seen in dossier.observations_of(leg)
    ]
    return edits


def join_leg(dossier: Dossier, leg: Leg) -> Edits:
    """Make one leg of this one and the next of its route.

    What was seen of either is seen of the whole, except that passing one of them
    raises no level for the other.

    Raises `UserError` where there is no next, where their ends do not meet, where
    their tides cannot be told as one, and where a trip walks one without the other.
    """
    following = [
        other
        for other in _legs_of(dossier, leg.route_id)
        if (other.number, other.id) > (leg.number, leg.id)
    ]
    if not following:
        raise UserError(f"“{leg.name}” is the last leg of its route.")
    after = following[0]
    gap_m = distance_m(leg.line[-1], after.line[0])
    if gap_m > MEETING_M:
        raise UserError(
            f"“{leg.name}” ends {gap_m:.0f} m from where “{after.name}” begins. "
            "Move one end to the other first."
        )
    edits: Edits = _joined_walks(dossier, leg, after)
    edits += _joined_observations(dossier, leg, after)  # before the leg they name goes
    edits.append((leg, _joined(leg, after)))
    edits.append((after, None))
    edits += [
        (other, replace(other, number=other.number - 1)) for other in following[1:]
    ]
    return edits


def reverse_route(dossier: Dossier, route: AccessRoute) -> Edits:
    """Turn a route round: its legs' order, their lines, and up for down.

    Walks stay as they are on the ground and in time.
    """
    legs = dossier.legs_of(route)
    if not legs:
        raise UserError(f"“{route.name}” has no legs yet.")
    numbers = [leg.number for leg in legs]
    edits: Edits = [
        (
            leg,
            replace(
                leg,
                number=number,
                line=leg.line[::-1],
                ascent_m=leg.descent_m,
                descent_m=leg.ascent_m,
            ),
        )
        for leg, number in zip(legs, reversed(numbers), strict=True)
    ]
    turned = {leg.id for leg in legs}
    edits += [
        (
            walk,
            replace(
                walk,
                is_reversed=not walk.is_reversed,
                from_share=1.0 - walk.to_share,
                to_share=1.0 - walk.from_share,
            ),
        )
        for walk in dossier.walks
        if walk.leg_id in turned
    ]
    return edits


def move_leg(dossier: Dossier, leg: Leg, by: int) -> Edits:
    """Exchange a leg with the one before it (-1) or after it (1) in its route.

    Raises `UserError` where there is none.
    """
    legs = _legs_of(dossier, leg.route_id)
    index = legs.index(leg)
    if not 0 <= index + by < len(legs):
        which = "first" if by < 0 else "last"
        raise UserError(f"“{leg.name}” is the {which} leg of its route already.")
    other = legs[index + by]
    if other.number == leg.number:
        number = leg.number + by  # two of one number: it moves past the other
        return [(leg, replace(leg, number=max(number, 0)))]
    return [
        (leg, replace(leg, number=other.number)),
        (other, replace(other, number=leg.number)),
    ]


def _legs_of(dossier: Dossier, route_id: UUID) -> Sequence[Leg]:
    legs = [leg for leg in dossier.legs if leg.route_id == route_id]
    return sorted(legs, key=lambda leg: (leg.number, leg.id))


def _share(first: float, second: float) -> float:
    whole = first + second
    return 0.5 if whole <= 0.0 else min(max(first / whole, 0.001), 0.999)


# Walks


def _parted(walk: Walk, second_id: UUID, share: float) -> Edits:
    """Two walks for one: the part that comes first on the day has its leg first."""
    if walk.to_share <= share:
        return [(walk, _over(walk, walk.from_share / share, walk.to_share / share))]
    rest = 1.0 - share
    late_from, late_to = (
        (walk.from_share - share) / rest,
        (walk.to_share - share) / rest,
    )
    if walk.from_share >= share:
        moved = replace(walk, leg_id=second_id)
        return [(walk, _over(moved, late_from, late_to))]
    done = (share - walk.from_share) / walk.share
    early = 1.0 - done if walk.is_reversed else done
    middle = walk.start + (walk.finish - walk.start) * early
    front = Walk(
        trip_id=walk.trip_id,
        leg_id=second_id,
        start=walk.start,
        finish=middle,
        is_reversed=walk.is_reversed,
    )
    kept = _over(walk, walk.from_share / share, 1.0)
    front = _over(front, 0.0, late_to)
    if walk.is_reversed:
        return [(None, front), (walk, replace(kept, start=middle))]
    late = replace(front, start=middle, finish=walk.finish)
    return [(None, late), (walk, replace(kept, finish=middle))]


def _over(walk: Walk, from_share: float, to_share: float) -> Walk:
    """A walk over another part of its leg."""
    return replace(walk, from_share=max(from_share, 0.0), to_share=min(to_share, 1.0))


def _joined_walks(dossier: Dossier, leg: Leg, after: Leg) -> Edits:
    edits: Edits = []
    for trip in dossier.trips:
        walks = [
            walk for walk in dossier.walks_of(trip) if walk.leg_id in (leg.id, after.id)
        ]
        stops = dossier.stops_of(trip)
        refusal = UserError(
            f"The trip “{trip.name}” does not walk “{leg.name}” and “{after.name}” "
            "one right after the other. Change the trip first."
        )
        if len(walks) % 2:
            raise refusal
        for early, late in zip(walks[::2], walks[1::2], strict=True):
            wanted = (after.id, leg.id) if early.is_reversed else (leg.id, after.id)
            has_stop = any(early.finish <= s.arrive <= late.start for s in stops)
            if (
                (early.leg_id, late.leg_id) != wanted
                or early.share < 1.0
                or late.share < 1.0
                or early.is_reversed != late.is_reversed
                or late.start - early.finish > _LONGEST_REST
                or (has_stop and late.start > early.finish)
            ):
                raise refusal
            kept, gone = (late, early) if early.is_reversed else (early, late)
            edits.append((gone, None))
            edits.append((kept, replace(kept, start=early.start, finish=late.finish)))
    return edits


# What is known of two legs as of one


def _joined_observations(dossier: Dossier, leg: Leg, after: Leg) -> Edits:
    """What was seen of two legs, as seen of the first."""
    own, others = dossier.observations_of(leg), dossier.observations_of(after)
    own_sights = {_sight(seen, leg) for seen in own}
    other_sights = {_sight(seen, leg) for seen in others}
    edits: Edits = []
    for seen in own:
        is_of_whole = _sight(seen, leg) in other_sights or after.is_tidal is False
        now = seen if is_of_whole else _of_a_part(seen)
        if now != seen:
            edits.append((seen, now))
    for seen in others:
        if _sight(seen, leg) in own_sights:
            edits.append((seen, None))  # from a leg once split: it is there already
            continue
        now = replace(seen, leg_id=leg.id)
        edits.append((seen, now if leg.is_tidal is False else _of_a_part(now)))
    return edits


def _sight(seen: CrossingObservation, leg: Leg) -> CrossingObservation:
    """An observation as it would be of a leg, whichever part it was noted for."""
    return replace(seen, leg_id=leg.id, id=leg.id)


def _of_a_part(seen: CrossingObservation) -> CrossingObservation:
    """A passage of one part is kept, but unconfirmed: it tells nothing of the other."""
    return replace(seen, is_confirmed=False) if seen.is_passable else seen


def _joined(leg: Leg, after: Leg) -> Leg:
    is_typed = leg.distance_m is not None or after.distance_m is not None
    meets = leg.line[-1] == after.line[0]
    is_tidal = _either(leg.is_tidal, after.is_tidal)
    level_m, datum = _tide(leg, after) if is_tidal else (None, "")
    return replace(
        leg,
        line=(*leg.line, *(after.line[1:] if meets else after.line)),
        distance_m=leg.length_m + after.length_m if is_typed else None,
        ascent_m=_sum(leg.ascent_m, after.ascent_m),
        descent_m=_sum(leg.descent_m, after.descent_m),
        ground=_slower(leg.ground, after.ground),
        is_exposed=_either(leg.is_exposed, after.is_exposed),
        daylight_only=_either(leg.daylight_only, after.daylight_only),
        walked_in_daylight=_both(leg.walked_in_daylight, after.walked_in_daylight),
        is_tidal=is_tidal,
        shut_above_m=level_m,
        shut_datum=datum,
        refuge_id=_refuge(leg, after),
        shore=max((leg.shore, after.shore), key=_MILDEST_FIRST.index),
        beach_slope=leg.beach_slope if leg.beach_slope == after.beach_slope else None,
        last_storm=_later(leg.last_storm, after.last_storm),
    )


def _tide(leg: Leg, after: Leg) -> tuple[float | None, str]:
    """The lower of two closing levels; not known as soon as one is not."""
    parts = [part for part in (leg, after) if part.is_tidal is not False]
    if any(part.is_tidal is None or part.shut_above_m is None for part in parts):
        datums = {part.shut_datum for part in parts if part.shut_datum}
        return None, datums.pop() if len(datums) == 1 else ""
    if len({part.shut_datum for part in parts}) > 1:
        raise UserError(
            f"The closing levels of “{leg.name}” and “{after.name}” are above "
            "different datums, so they cannot be one. Write both above one datum."
        )
    levels = [part.shut_above_m for part in parts if part.shut_above_m is not None]
    return min(levels), parts[0].shut_datum


def _refuge(leg: Leg, after: Leg) -> UUID | None:
    named = {part.refuge_id for part in (leg, after) if part.refuge_id is not None}
    if len(named) > 1:
        raise UserError(
            f"“{leg.name}” and “{after.name}” name different refuges, and one leg "
            "can name only one. Choose one for both first."
        )
    return named.pop() if named else None


def _either(a: bool | None, b: bool | None) -> bool | None:
    """Yes where one is, else not known where one is not."""
    if a or b:
        return True
    return None if a is None or b is None else False


def _both(a: bool | None, b: bool | None) -> bool | None:
    """No where one is not, else not known where one is not known."""
    if a is False or b is False:
        return False
    return None if a is None or b is None else True


def _later(a: date | None, b: date | None) -> date | None:
    return max((day for day in (a, b) if day is not None), default=None)


def _sum(a: float | None, b: float | None) -> float | None:
    return None if a is None or b is None else a + b


def _slower(a: Ground, b: Ground) -> Ground:
    """The one that slows more; boulders slow more than ground that is not known."""
    return max((a, b), key=GROUND_FACTORS.__getitem__)
