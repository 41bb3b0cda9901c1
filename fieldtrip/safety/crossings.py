"""One walk over a leg that the sea can shut: when it is open, and what is not known.

Shared by the rules on crossing and on turning back, so that they cannot differ.
"""

from __future__ import annotations

from uuid import UUID

from fieldtrip.places.records import Ground, Leg
from fieldtrip.safety.finding import Note, Reason
from fieldtrip.safety.levels import LevelTide, level_tides
from fieldtrip.safety.limits import Limits
from fieldtrip.trips.crossing_level import (
    LevelInForce,
    as_told_now,
    level_in_force,
)
from fieldtrip.trips.plan import TripFacts, WalkFacts
from fieldtrip.trips.waves import wave_margin


def is_tidal(leg: Leg) -> bool:
    """Whether the sea shuts a leg, or may, for all that was said."""
    return leg.is_tidal is not False or leg.shut_above_m is not None


def crossings_of(
    walk: WalkFacts, leg: Leg, facts: TripFacts, limits: Limits
) -> tuple[tuple[LevelTide, ...], Reason | None]:
    """What every source in force says about a walk, or why there is none."""
    level = level_of(walk, leg, facts)
    if level.level_m is None:
        if leg.is_tidal is None:
            return (), Reason.TIDAL_NOT_SAID
        return (), Reason.LEVEL_NOT_KNOWN
    waves = wave_margin(leg.shore, leg.beach_slope, facts.trip)
    return level_tides(walk.span, level.level_m, leg.shut_datum, waves, facts, limits)


def level_of(walk: WalkFacts, leg: Leg, facts: TripFacts) -> LevelInForce:
    """The closing level of a leg for a walk, by what was seen of it."""
    zone = facts.location.zone
    seen = as_told_now(facts.observations, facts.tide_sources)
    return level_in_force(leg, seen, walk.span.stop, zone)


def tidal_legs(facts: TripFacts) -> list[tuple[Leg, list[WalkFacts]]]:
    """The tidal legs that are walked, each with its walks by start."""
    legs: dict[UUID, tuple[Leg, list[WalkFacts]]] = {}
    for walk in facts.walks:
        if walk.leg is not None and is_tidal(walk.leg):
            legs.setdefault(walk.leg.id, (walk.leg, []))[1].append(walk)
    return list(legs.values())


def is_time_known(walk: WalkFacts) -> bool:
    """Whether climb and ground are known, so that the walk's time is no guess."""
    return (
        walk.leg is not None
        and walk.leg.ground is not Ground.UNKNOWN
        and walk.by_rule is not None
        and walk.by_rule.is_climb_known
    )


def walk_notes(walk: WalkFacts) -> tuple[Note, ...]:
    """What is to be said about how long a walk takes."""
    notes: tuple[Note, ...] = ()
    if walk.needed > walk.walk.finish - walk.walk.start:
        notes += (Note.RULE_IS_SLOWER,)
    if walk.by_rule is not None and not walk.by_rule.is_climb_known:
        notes += (Note.CLIMB_NOT_KNOWN,)
    if walk.leg is not None and walk.leg.ground is Ground.UNKNOWN:
        notes += (Note.GROUND_NOT_KNOWN,)
    return notes
