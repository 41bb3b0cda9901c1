"""What a check says: facts and codes, which `fieldtrip.phrasing` puts into words."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from fieldtrip.times import Span


class Severity(StrEnum):
    """How bad it is, worst first; the last stands outside that order."""

    STOP = "stop"
    UNKNOWN = "unknown"
    CAUTION = "caution"
    CLEAR = "clear"
    DOES_NOT_APPLY = "does not apply"

    @property
    def rank(self) -> int:
        """Its place in the order: 0 is worst."""
        return list(Severity).index(self)


class Rule(StrEnum):
    """What is checked."""

    TIDE_CROSSING = "tide_crossing"
    TIDE_WAY_BACK = "tide_way_back"
    TIDE_REFUGE = "tide_refuge"
    TIDE_STAND = "tide_stand"
    TURN_BACK = "turn_back"
    CLIFF_EDGE = "cliff_edge"
    EDGE_LOOKED_FOR = "edge_looked_for"
    DAYLIGHT = "daylight"
    TWO_LIGHTS = "two_lights"
    SOMEONE_TOLD = "someone_told"
    NOTE_AGE = "note_age"
    FORECAST_AGE = "forecast_age"


class Reason(StrEnum):
    """Why a finding is what it is; each belongs to one rule unless said."""

    CONFIRMED = "confirmed"  # any rule: a person has ticked it
    RECORD_GONE = "record_gone"  # any rule: the plan points at what is not there
    NO_WALKS = "no_walks"  # any rule: the plan says nothing about walking
    NO_FORECAST = "no_forecast"  # any rule that needs one
    NOT_CONCERNED = "not_concerned"  # any rule: nothing in the plan is its business

    # tide crossing
    OPEN = "open"
    ODD_TIDE = "odd_tide"  # a rise or fall outside 5 to 7 hours
    SHUT = "shut"
    NO_MARGIN = "no_margin"
    NO_RESERVE = "no_reserve"
    TIDAL_NOT_SAID = "tidal_not_said"
    TIME_NOT_KNOWN = "time_not_known"  # climb or ground not known
    LEVEL_NOT_KNOWN = "level_not_known"
    DATUM_NOT_SAID = "datum_not_said"
    DATUM_DIFFERS = "datum_differs"
    NO_TABLE = "no_table"
    OUTSIDE_TABLE = "outside_table"
    EXPOSURE_NOT_SAID = "exposure_not_said"
    PORT_DISTORTED = "port_distorted"
    PORT_NOT_SAID = "port_not_said"
    GAP_IN_TABLE = "gap_in_table"  # turns too far apart, or too close
    ROUGH_CURVE = "rough_curve"  # constants or a fit that tell it only roughly
    CURVE_LACKS = "curve_lacks"  # a main constituent is missing
    SEA_NOT_SAID = "sea_not_said"  # how far waves run up is not known
    SHORE_NOT_SAID = "shore_not_said"  # nor whether any waves meet there
    ROCK_PLATFORM = "rock_platform"  # nothing is known of run-up there
    STATION_FAR = "station_far"
    STATION_TOO_FAR = "station_too_far"  # to tell anything about the place
    STATION_BEYOND_HEADLAND = "station_beyond_headland"  # or nobody said
    STATION_PLACE_NOT_SAID = "station_place_not_said"
    # the way back over it
    BACK_PLANNED = "back_planned"
    BACK_CROSSING = "back_crossing"  # planned, and no better than its crossing
    NO_WAY_BACK = "no_way_back"
    # standing where the sea comes; the reasons of a crossing hold for it too
    STAND_DRY = "stand_dry"
    STAND_FLOODED = "stand_flooded"
    STAND_NO_MARGIN = "stand_no_margin"
    STAND_NO_RESERVE = "stand_no_reserve"
    # refuge
    REFUGE_DRY = "refuge_dry"
    REFUGE_STALE = "refuge_stale"
    NO_REFUGE = "no_refuge"
    REFUGE_NOT_SAID = "refuge_not_said"
    REFUGE_FLOODS = "refuge_floods"
    REFUGE_NOT_CONFIRMED = "refuge_not_confirmed"

    # turning back
    IN_TIME = "in_time"
    TOO_LATE = "too_late"
    WALK_TOO_LATE = "walk_too_late"  # left in time, and walked too late
    BACK_SHUT = "back_shut"  # no window for the way back at all
    NO_STOPS = "no_stops"
    NO_WALK_AFTER = "no_walk_after"
    NO_LATEST_RETURN = "no_latest_return"
    BACK_ODD = "back_odd"  # a crossing's tide is known, to be taken with care
    BACK_NOT_KNOWN = "back_not_known"  # a crossing on the way back is not known

    # cliff edge
    EDGE_CLEAR = "edge_clear"
    EDGE_NEAR = "edge_near"
    EDGE_SOFT = "edge_soft"  # within the wider limit, on soft rock or after rain
    GUST_CAUTION = "gust_caution"
    GUST_STOP = "gust_stop"
    GUST_NOT_KNOWN = "gust_not_known"
    RAIN_NOT_KNOWN = "rain_not_known"
    SOFT_NOT_SAID = "soft_not_said"
    POSITION_ERROR_NOT_SAID = "position_error_not_said"
    EDGE_FENCED = "edge_fenced"
    EDGE_STALE = "edge_stale"  # clear, but for the age of its record
    EDGE_NEVER_CONFIRMED = "edge_never_confirmed"  # the same
    # whether anybody looked for one
    EDGE_RECORDED = "edge_recorded"
    EDGE_RECORD_OLD = "edge_record_old"
    NO_EDGE_RECORDED = "no_edge_recorded"

    # daylight
    BY_DAY = "by_day"
    DARK_BUT_EASY = "dark_but_easy"
    AFTER_SUNSET = "after_sunset"
    AFTER_SUNSET_OVERCAST = "after_sunset_overcast"
    AFTER_SUNSET_NO_FORECAST = "after_sunset_no_forecast"
    IN_THE_DARK = "in_the_dark"
    NEVER_BY_DAY = "never_by_day"
    EXPOSED_NOT_SAID = "exposed_not_said"
    # lights
    LIGHTS_ENOUGH = "lights_enough"
    LIGHTS_TOO_FEW = "lights_too_few"
    LIGHTS_NOT_SAID = "lights_not_said"
    LIGHTS_NOT_NEEDED = "lights_not_needed"

    # someone told
    TOLD_INCOMPLETE = "told_incomplete"
    NOT_TICKED = "not_ticked"

    # age of hazards and access notes
    ALL_CONFIRMED = "all_confirmed"
    HAZARDS_OLD = "hazards_old"
    NOTES_OLD = "notes_old"

    # forecast
    FRESH = "fresh"
    OLD = "old"
    FROM_THE_FUTURE = "from_the_future"
    DOES_NOT_REACH = "does_not_reach"


class Remedy(StrEnum):
    """What would make it clear."""

    NOTHING = "nothing"
    CHANGE_TIMES = "change_times"
    RECORD_LEG = "record_leg"
    RECORD_PORT = "record_port"
    RECORD_VANTAGE = "record_vantage"
    CHANGE_STAY = "change_stay"
    TYPE_TIDES = "type_tides"
    SAY_SEA = "say_sea"
    SAY_SHORE = "say_shore"
    WATCH_SEA = "watch_sea"
    NEARER_STATION = "nearer_station"
    NAME_REFUGE = "name_refuge"
    VISIT_REFUGE = "visit_refuge"
    PLAN_WAY_BACK = "plan_way_back"
    PLAN_WALKS = "plan_walks"
    SAY_LATEST_RETURN = "say_latest_return"
    LEAVE_EARLIER = "leave_earlier"
    KEEP_AWAY = "keep_away"
    LOOK_AT_EDGE = "look_at_edge"
    RECORD_EDGE = "record_edge"
    CONFIRM_AGAIN = "confirm_again"
    TYPE_FORECAST = "type_forecast"
    WALK_BY_DAY = "walk_by_day"
    CARRY_LIGHTS = "carry_lights"
    FILL_IN = "fill_in"
    TELL_SOMEONE = "tell_someone"


class Note(StrEnum):
    """A remark that does not change how bad it is."""

    LARGEST_WEATHER = "largest_weather"  # port's exposure not said: the largest taken
    PRESSURE_RAISED = "pressure_raised"
    RUN_UP = "run_up"
    SHORE_NOT_SAID = "shore_not_said"  # nothing is kept clear for run-up
    STATION = "station"  # the tide is a station's, not a typed table's
    LEVEL_LOWERED = "level_lowered"  # by an observation
    LEVEL_RAISED = "level_raised"
    CLIMB_NOT_KNOWN = "climb_not_known"
    GROUND_NOT_KNOWN = "ground_not_known"
    RULE_IS_SLOWER = "rule_is_slower"  # the walking rule's time stands, not the plan's
    HEADLAND = "headland"
    HEADLAND_NOT_SAID = "headland_not_said"  # counted as one
    RAIN_BEFORE_NOT_KNOWN = "rain_before_not_known"
    HEAVY_RAIN = "heavy_rain"
    SOFT_ROCK = "soft_rock"
    FENCE_OLD = "fence_old"
    FENCE_NOT_SAID = "fence_not_said"
    ALONE = "alone"
    NO_CONTACT = "no_contact"
    NO_LATEST_RETURN = "no_latest_return"
    NO_ALARM_TIME = "no_alarm_time"
    NO_EMERGENCY = "no_emergency"


def short_form(*facts: object) -> str:
    """Ten letters that change when any of the facts does.

    Of frozen values and their parts only: it rests on how they are written out.
    """
    written = repr(facts).encode("utf-8", "surrogatepass")
    return hashlib.blake2s(written, digest_size=5).hexdigest()


@dataclass(frozen=True, slots=True)
class Number:
    """A quantity a finding rests on; an instant has the unit ``UTC``."""

    name: str
    value: float | datetime
    unit: str
    is_limit: bool = False  # a threshold rather than something found


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What one rule says about one thing."""

    rule: Rule
    about: str  # the name of what it speaks of
    about_id: UUID | None
    severity: Severity
    reason: Reason
    remedy: Remedy
    source: str  # of the threshold
    basis: str = ""  # the table or forecast it rests on
    numbers: tuple[Number, ...] = ()
    notes: tuple[Note, ...] = ()
    span: Span | None = None
    can_be_ticked: bool = False
    stands_for: str = ""  # in short, what a tick confirms; a tick lapses with it
    ticked: datetime | None = None
    ticked_by: str = ""
    override: str = ""  # why a person goes against a stop, which it remains

    @property
    def key(self) -> str:
        """What a tick for it names."""
        about = "" if self.about_id is None else str(self.about_id)
        return ":".join(part for part in (self.rule, about, self.stands_for) if part)

    def number(self, name: str) -> float | None:
        """A quantity by its name, or None if it is not among them."""
        value = self._value(name)
        return None if isinstance(value, datetime) else value

    def instant(self, name: str) -> datetime | None:
        """An instant by its name, or None if it is not among them."""
        value = self._value(name)
        return value if isinstance(value, datetime) else None

    def _value(self, name: str) -> float | datetime | None:
        return next((n.value for n in self.numbers if n.name == name), None)


def worst(severities: Iterable[Severity]) -> Severity:
    """The worst of some; unknown if none applies, since then nothing was checked."""
    applying = [s for s in severities if s is not Severity.DOES_NOT_APPLY]
    return min(applying, key=lambda s: s.rank, default=Severity.UNKNOWN)
