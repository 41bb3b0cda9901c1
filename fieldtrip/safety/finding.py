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
    WAY_JOINED = "way_joined"
    CLIFF_EDGE = "cliff_edge"
    EDGE_LOOKED_FOR = "edge_looked_for"
    DAYLIGHT = "daylight"
    TWO_LIGHTS = "two_lights"
    SOMEONE_TOLD = "someone_told"
    NOTE_AGE = "note_age"
    FORECAST_AGE = "forecast_age"
    GATES = "gates"
    AWAKE = "awake"
    START_OPEN = "start_open"
    ACCESS_CLOSED = "access_closed"
    CLOSED_SEASON = "closed_season"
    PERMIT = "permit"
    LATEST_WALK_OUT = "latest_walk_out"
    CLIFF_FOOT = "cliff_foot"
    SWELL = "swell"
    WALKING_WIND = "walking_wind"
    HEADLAND_WIND = "headland_wind"
    WIND_CHILL = "wind_chill"
    HEAT = "heat"
    THUNDER = "thunder"
    RAIN = "rain"
    STREAMS = "streams"
    FOG = "fog"
    COVERAGE = "coverage"
    EMERGENCY = "emergency"
    POSITION_ERROR = "position_error"
    TIDE_CONFIDENCE = "tide_confidence"
    FORECAST_REACH = "forecast_reach"
    SUN_TIMES = "sun_times"
    CLOCK_CHANGE = "clock_change"


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
    STAND_LEVEL_NOT_SAID = "stand_level_not_said"
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

    # whether the walks join
    WAY_WITHOUT_GAP = "way_without_gap"
    WAY_GAP = "way_gap"
    WAY_OVERLAPS = "way_overlaps"
    WAY_OTHER_DAY = "way_other_day"

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
    EDGE_IN_MODEL_ONLY = "edge_in_model_only"

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
    # its reach
    REACHES = "reaches"
    DOES_NOT_REACH = "does_not_reach"
    FORECAST_ELSEWHERE = "forecast_elsewhere"
    FORECAST_OTHER_DAY = "forecast_other_day"
    FORECAST_GAP = "forecast_gap"  # an hour of it is missing while something is done

    # gates
    GATE_SET = "gate_set"
    NO_GATES = "no_gates"
    NO_FALLBACK = "no_fallback"
    NO_MUST_SEE = "no_must_see"
    NO_DECISION_TIME = "no_decision_time"
    DECIDED_TOO_LATE = "decided_too_late"

    # awake at the wheel
    AWAKE_FINE = "awake_fine"
    AWAKE_LONG = "awake_long"
    AWAKE_NOT_SAID = "awake_not_said"
    DRIVE_NOT_SAID = "drive_not_said"
    NOBODY_DRIVES = "nobody_drives"

    # gate or car park
    START_STAYS_OPEN = "start_stays_open"
    START_SHUTS_SOON = "start_shuts_soon"
    START_SHUTS = "start_shuts"  # before the return
    START_OPENS_LATE = "start_opens_late"
    START_NOT_SAID = "start_not_said"
    START_HOURS_NOT_SAID = "start_hours_not_said"
    START_ARRIVAL_NOT_SAID = "start_arrival_not_said"

    # closures of either sort
    CLOSURE_CLEAR = "closure_clear"
    CLOSURE_ELSEWHERE = "closure_elsewhere"  # in force where nobody goes
    CLOSURE_IN_FORCE = "closure_in_force"
    CLOSURE_HOURS_KEPT = "closure_hours_kept"
    CLOSURE_HOURS_BROKEN = "closure_hours_broken"
    CLOSURE_NOT_KNOWN = "closure_not_known"
    CLOSURE_OLD = "closure_old"
    NO_CLOSURE_RECORDED = "no_closure_recorded"

    # permits
    PERMIT_HOLDS = "permit_holds"
    PERMIT_EXPIRED = "permit_expired"
    PERMIT_END_NOT_SAID = "permit_end_not_said"
    NO_PERMIT_RECORDED = "no_permit_recorded"

    # latest walk-out
    OUT_IN_LIGHT = "out_in_light"
    OUT_LITTLE_RESERVE = "out_little_reserve"
    OUT_AFTER_SUNSET = "out_after_sunset"
    OUT_IN_THE_DARK = "out_in_the_dark"
    OUT_LIGHT_NOT_NEEDED = "out_light_not_needed"
    OUT_GROUND_NOT_SAID = "out_ground_not_said"
    OUT_TIME_NOT_KNOWN = "out_time_not_known"
    NO_WALK_OUT = "no_walk_out"

    # wind that may blow towards a drop
    WIND_FROM_NOT_KNOWN = "wind_from_not_known"

    # cliff foot
    FOOT_CLEAR = "foot_clear"
    FOOT_NEAR = "foot_near"
    FOOT_NEAR_WET = "foot_near_wet"
    FOOT_STALE = "foot_stale"
    FOOT_NOT_LOOKED_FOR = "foot_not_looked_for"
    FOOT_HEIGHT_NOT_KNOWN = "foot_height_not_known"
    FOOT_POSITION_NOT_SAID = "foot_position_not_said"
    FOOT_RAIN_NOT_KNOWN = "foot_rain_not_known"

    # swell
    SWELL_LOW = "swell_low"
    SWELL_AWAY = "swell_away"
    SWELL_RAISED = "swell_raised"
    SWELL_LONG = "swell_long"
    SWELL_HIGH = "swell_high"
    SWELL_HEAVY = "swell_heavy"
    SWELL_ON_ROCK = "swell_on_rock"
    SWELL_LONG_ON_ROCK = "swell_long_on_rock"
    SWELL_NOT_KNOWN = "swell_not_known"
    SWELL_SHORE_NOT_SAID = "swell_shore_not_said"

    # wind on foot, and on headlands
    WIND_LIGHT = "wind_light"
    WIND_STRONG = "wind_strong"
    WIND_STOP = "wind_stop"
    WIND_NOT_KNOWN = "wind_not_known"

    # wind chill
    CHILL_MILD = "chill_mild"
    CHILL_CAUTION = "chill_caution"
    CHILL_STOP = "chill_stop"
    CHILL_WIND_NOT_KNOWN = "chill_wind_not_known"
    TEMPERATURE_NOT_KNOWN = "temperature_not_known"
    # heat
    HEAT_MILD = "heat_mild"
    HEAT_CAUTION = "heat_caution"
    HEAT_HUMIDITY_NOT_KNOWN = "heat_humidity_not_known"
    HEAT_STOP = "heat_stop"

    # thunder
    THUNDER_UNLIKELY = "thunder_unlikely"
    THUNDER_POSSIBLE = "thunder_possible"
    THUNDER_LIKELY = "thunder_likely"
    THUNDER_FORECAST = "thunder_forecast"
    THUNDER_NOT_KNOWN = "thunder_not_known"

    # rain, streams and river mouths
    RAIN_LIGHT = "rain_light"
    RAIN_HEAVY = "rain_heavy"
    RAIN_HOURS_NOT_KNOWN = "rain_hours_not_known"
    STREAM_LOW = "stream_low"
    STREAM_RAISED = "stream_raised"
    STREAM_HIGH = "stream_high"
    STREAM_NOT_SAID = "stream_not_said"
    STREAM_RAIN_NOT_KNOWN = "stream_rain_not_known"

    # fog
    FOG_NONE = "fog_none"
    FOG_PATH = "fog_path"
    FOG_THICK = "fog_thick"
    FOG_GROUND_NOT_SAID = "fog_ground_not_said"
    VISIBILITY_NOT_KNOWN = "visibility_not_known"

    # calling for help
    COVERAGE_GOOD = "coverage_good"
    COVERAGE_POOR = "coverage_poor"
    COVERAGE_NOT_SAID = "coverage_not_said"
    EMERGENCY_SAID = "emergency_said"
    EMERGENCY_NOT_SAID = "emergency_not_said"
    ROAD_NOT_SAID = "road_not_said"

    # how far what is known can be relied on
    POSITIONS_GOOD = "positions_good"
    POSITIONS_ROUGH = "positions_rough"
    POSITIONS_NOT_SAID = "positions_not_said"
    TIDE_SURE = "tide_sure"
    SUN_AGREES = "sun_agrees"
    SUN_DIFFERS = "sun_differs"
    SUN_NOT_COMPARED = "sun_not_compared"
    CLOCK_STEADY = "clock_steady"
    CLOCK_CHANGES = "clock_changes"


class Remedy(StrEnum):
    """What would make it clear."""

    NOTHING = "nothing"
    CHANGE_TIMES = "change_times"
    RECORD_LEG = "record_leg"
    RECORD_PORT = "record_port"
    RECORD_VANTAGE = "record_vantage"
    CHANGE_STAY = "change_stay"
    SAY_FLOODING = "say_flooding"
    TYPE_TIDES = "type_tides"
    SAY_SEA = "say_sea"
    SAY_SHORE = "say_shore"
    WATCH_SEA = "watch_sea"
    NEARER_STATION = "nearer_station"
    NAME_REFUGE = "name_refuge"
    VISIT_REFUGE = "visit_refuge"
    PLAN_WAY_BACK = "plan_way_back"
    PLAN_WALKS = "plan_walks"
    PLAN_GAP = "plan_gap"
    PLAN_TIMES = "plan_times"
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
    PLAN_GATES = "plan_gates"
    REST_OR_SHARE = "rest_or_share"
    SAY_DRIVES = "say_drives"
    PARK_ELSEWHERE = "park_elsewhere"
    RECORD_START = "record_start"
    STAY_OUT = "stay_out"
    RECORD_CLOSURE = "record_closure"
    ASK_CLOSURES = "ask_closures"
    RENEW_PERMIT = "renew_permit"
    ASK_PERMIT = "ask_permit"
    WALK_OUT_EARLIER = "walk_out_earlier"
    KEEP_FROM_FOOT = "keep_from_foot"
    RECORD_FOOT = "record_foot"
    LOOK_ABOVE = "look_above"
    SAY_RAIN = "say_rain"
    TYPE_WAVES = "type_waves"
    KEEP_OFF_SHORE = "keep_off_shore"
    WAIT_FOR_WIND = "wait_for_wind"
    DRESS_WARM = "dress_warm"
    MIND_HEAT = "mind_heat"
    KEEP_FROM_THUNDER = "keep_from_thunder"
    MIND_RAIN = "mind_rain"
    KEEP_FROM_WATER = "keep_from_water"
    CARRY_MAP = "carry_map"
    SAY_COVERAGE = "say_coverage"
    TELL_MORE = "tell_more"
    SAY_EMERGENCY = "say_emergency"
    MEASURE_AGAIN = "measure_again"
    CHECK_SUN_TIMES = "check_sun_times"
    MIND_CLOCK = "mind_clock"


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
    MODEL_SHOWS_NONE = "model_shows_none"
    FENCE_NOT_SAID = "fence_not_said"
    ALONE = "alone"
    NO_CONTACT = "no_contact"
    NO_LATEST_RETURN = "no_latest_return"
    NO_ALARM_TIME = "no_alarm_time"
    NO_EMERGENCY = "no_emergency"
    NO_ALARM_WITH = "no_alarm_with"
    WIND_TOWARDS_EDGE = "wind_towards_edge"
    MEAN_WIND_ONLY = "mean_wind_only"
    WAVES_FROM_NOT_KNOWN = "waves_from_not_known"
    WAVES_OF_TRIP = "waves_of_trip"  # typed for the trip, not by the hour
    HUMIDITY_NOT_KNOWN = "humidity_not_known"
    CHILL_HEADLAND = "chill_headland"
    IN_DARKNESS = "in_darkness"
    CLOSURE_OLD = "closure_old"
    SUN_ARITHMETIC = "sun_arithmetic"
    TYPED_TOO_LATE = "typed_too_late"  # a decision time that does not count


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
    # Limits looser than the usual ones, by name, and what they are set to.
    loosened: tuple[tuple[str, float], ...] = ()

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
