"""The thresholds of the checks, each with where it comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from datetime import timedelta

from fieldtrip.safety.freshness import CONFIRMED_MONTHS
from fieldtrip.tides.margins import Margins

SOURCE_CROSSING = (
    "HM Coastguard, Coast Clever: know the tides and leave time to spare; "
    "margins in height: for the prediction, checked against a year of official tide "
    "curves at nine ports; for the weather, what gauges stood above the prediction "
    "on all but one hour in a hundred"
)
SOURCE_REFUGE = "common practice; confirmed within 12 months"
SOURCE_TURN_BACK = (
    f"{SOURCE_CROSSING}; walking time: DIN 33466, or the rule the trip names"
)
SOURCE_EDGE = (
    "RNLI advice on coastal walks: gusts over 30 to 40 mph can affect balance near "
    "cliff edges; HM Coastguard: keep well back, edges fall at any time, more after "
    "rain; distances: common practice"
)
SOURCE_DAYLIGHT = (
    "common practice; light after sunset: US Naval Observatory Circular 171"
)
SOURCE_TOLD = (
    "HM Coastguard: tell someone where you go and when you will be back, "
    "and what to do if you are not"
)
SOURCE_NOTE_AGE = "common practice: confirmed within 12 months"
SOURCE_FORECAST = "common practice"
SOURCE_GATES = (
    "common practice: decide at set points, by a set time, and know what you do instead"
)
SOURCE_AWAKE = "common practice: no driving after 16 hours awake"
SOURCE_START = "common practice: a gate that shuts before the return is a stop"
SOURCE_CLOSURE = "what is posted there: obey closures, signs and rangers"
SOURCE_PERMIT = "whoever owns or wardens the ground"
SOURCE_WALK_OUT = (
    f"{SOURCE_DAYLIGHT}; walking time: DIN 33466, or the rule the trip names"
)
SOURCE_JOINED = "common practice: what is not planned is not checked"
SOURCE_FOOT = (
    "National Coastwatch Institution, 2023: stay as far from the foot of a cliff as "
    "it is high; HM Coastguard: falls at any time, more after rain; rain: common "
    "practice"
)
SOURCE_SWELL = (
    "common practice: long swell reaches far above the others, nothing is known on a "
    "rock platform; run-up on sand: Stockdon and others, Coastal Engineering 53 (2006)"
)
SOURCE_WIND = (
    "RNLI advice on coastal walks: walking is a challenge from 50 mph; Quality "
    "Mountain Days, Windspeed (2019): 40 mph on high ground; headlands and crests: "
    "common practice"
)
SOURCE_CHILL = (
    "US National Weather Service and Environment Canada, wind chill index of 2001; "
    "frostbite possible within 30 minutes below −27 °C"
)
SOURCE_HEAT = (
    "US National Weather Service, heat index: caution from 80 °F; danger at 30 °C in "
    "very humid air, and at 40 °C in all but very dry air"
)
SOURCE_THUNDER = (
    "US National Weather Service: when thunder roars go indoors, and wait 30 minutes "
    "after the last of it; probabilities: common practice"
)
SOURCE_RAIN = "Met Office, Fact sheet 3: heavy from 4 mm in an hour, from memory"
SOURCE_STREAMS = "common practice: streams and river mouths follow the rain of 48 hours"
SOURCE_FOG = (
    "World Meteorological Organization: fog is visibility below 1000 m; "
    "thick fog: common practice"
)
SOURCE_COVERAGE = (
    "HM Coastguard: carry a means of calling for help, and know if it works"
)
SOURCE_EMERGENCY = "HM Coastguard: know whom to call and say where you are"
SOURCE_POSITION = "common practice"
SOURCE_TIDE_CONFIDENCE = (
    "New Zealand Nautical Almanac: a cosine between high and low water is for 5 to 7 "
    "hours and open coasts; constants checked against official tables"
)
SOURCE_REACH = "common practice"
SOURCE_SUN = "a second, independent computation of the same times (astral)"
SOURCE_CLOCK = "IANA time zone database"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Every threshold; the defaults are the safe ones.

    See `fieldtrip.safety.limit_specs` for words, bounds and which way is looser.
    """

    # Tide crossing: HM Coastguard; see `Margins` for those in height.
    margins: Margins = field(default_factory=Margins)
    tide_reserve: timedelta = timedelta(minutes=30)
    confirmed_months: int = CONFIRMED_MONTHS

    # Cliff edge. RNLI: 30 mph is 13.4 m/s, 40 mph is 17.9 m/s.
    gust_caution_m_s: float = 13.0
    gust_stop_m_s: float = 18.0
    headland_factor: float = 1.5  # common practice
    towards_edge_factor: float = 1.25  # wind towards a drop; common practice
    edge_m: float = 5.0  # common practice
    soft_edge_m: float = 10.0  # on soft rock, or after heavy rain; common practice
    edge_zone_m: float = 50.0  # how far an edge counts as near; common practice
    leg_error_m: float = 10.0  # of a leg drawn on a map; common practice
    heavy_rain_mm_h: float = 4.0  # Met Office, Fact sheet 3; from memory
    heavy_rain_mm_day: float = 10.0  # common practice
    wet_rain_48h_mm: float = 15.0  # common practice

    # Cliff foot. National Coastwatch Institution, 2023: as far off as it is high.
    foot_heights: float = 1.0
    foot_zone_m: float = 100.0  # of a cliff whose height is not known; common practice

    # Swell: common practice.
    swell_caution_m: float = 1.0
    swell_stop_m: float = 2.5
    long_period_s: float = 12.0
    low_ground_m: float = 10.0  # above which tide and waves are no question

    # Wind on foot. RNLI: 50 mph is 22.4 m/s; Quality Mountain Days: 40 mph.
    walk_caution_m_s: float = 18.0
    walk_stop_m_s: float = 22.0

    # Wind chill index: NWS and Environment Canada, 2001.
    chill_caution_c: float = -10.0
    chill_stop_c: float = -27.0

    # Heat, by temperature alone, after the NWS heat index.
    heat_caution_c: float = 27.0
    heat_humid_c: float = 30.0  # dangerous from here on where the air is humid
    heat_stop_c: float = 40.0

    # Thunder.
    thunder_caution_percent: float = 10.0  # common practice
    thunder_stop_percent: float = 30.0  # common practice
    after_thunder: timedelta = timedelta(minutes=30)  # NWS

    # Streams and river mouths: common practice.
    stream_caution_mm: float = 10.0
    stream_stop_mm: float = 25.0

    # Visibility. WMO: fog below 1000 m.
    fog_m: float = 1000.0
    thick_fog_m: float = 200.0  # common practice

    # Daylight.
    sunset_deg: float = -50.0 / 60.0  # US Naval Observatory: 50 arcminutes
    dusk_deg: float = -6.0  # the same: civil twilight
    overcast_percent: float = 80.0  # common practice
    lights: int = 2  # common practice
    walk_out_reserve: timedelta = timedelta(minutes=30)  # common practice

    # Door to door: common practice.
    start_reserve: timedelta = timedelta(minutes=30)
    awake: timedelta = timedelta(hours=16)

    # What is known, and how well: common practice.
    position_error_m: float = 10.0
    sun_difference_s: float = 60.0
    forecast_on_the_day: timedelta = timedelta(hours=12)
    forecast_before: timedelta = timedelta(hours=24)

    def __post_init__(self) -> None:
        for f in fields(self):
            value = getattr(self, f.name)
            if isinstance(value, timedelta):
                value = value.total_seconds()
            if isinstance(value, int | float) and not _is_sound(f.name, float(value)):
                raise ValueError(f"{f.name} = {value} is no limit")


def _is_sound(name: str, value: float) -> bool:
    """Altitudes and wind chill lie below nothing; everything else above it."""
    if not math.isfinite(value):
        return False
    is_below = name.endswith("_deg") or name.startswith("chill_")
    return value < 0.0 if is_below else value > 0.0
