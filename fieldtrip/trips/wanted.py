"""What a picture wants of light, sky, water and days: one small value a condition.

They say what is wanted and compute nothing; `fieldtrip.trips.conditions` turns
each into spans of time.  All conditions of a stop or a search must hold at once.
A limit that may be None is *not set*.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

from fieldtrip.faults import finite
from fieldtrip.places.records import WantedTurn
from fieldtrip.places.seasons import OpenHours, Season
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName


class DayHalf(StrEnum):
    """On which side of noon."""

    EITHER = "morning or evening"
    MORNING = "morning"
    EVENING = "evening"


class LightSide(StrEnum):
    """From where the Sun lights the subject, seen from the camera."""

    FRONT = "front light"
    SIDE = "side light"
    BACK = "back light"


class MoonWish(StrEnum):
    """What the Moon is to do."""

    UP = "up"
    DOWN = "down"
    LOW_IN_TWILIGHT = "low in twilight"


@dataclass(frozen=True, slots=True, kw_only=True)
class SunBand:
    """The Sun's centre between two geometric altitudes."""

    low_deg: float
    high_deg: float
    half: DayHalf = DayHalf.EITHER

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return _band_faults("Sun's altitude", self.low_deg, self.high_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class AroundEvent:
    """So many minutes before and after something that happens in the sky."""

    event: EventName
    before_min: float = 0.0
    after_min: float = 0.0

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *finite("The time before", self.before_min, 0.0, 1_440.0, "min"),
            *finite("The time after", self.after_min, 0.0, 1_440.0, "min"),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """A body near a bearing and between two apparent altitudes."""

    body: Body
    bearing_deg: float | None = None  # true; None: towards the subject
    tolerance_deg: float = 0.5  # to either side
    altitude_min_deg: float = -0.5
    altitude_max_deg: float = 5.0
    # Above the subject's top, which then takes the place of the lower altitude.
    over_top: bool = False

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *finite("The bearing", self.bearing_deg, 0.0, 360.0, "°"),
            *finite("The tolerance", self.tolerance_deg, 0.001, 90.0, "°"),
            *_band_faults(
                "altitude of an alignment",
                self.altitude_min_deg,
                self.altitude_max_deg,
            ),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class LightFrom:
    """The Sun up, and on this side of the subject."""

    side: LightSide

    def faults(self) -> list[str]:
        """Nothing can be wrong with it."""
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class SubjectLight:
    """Direct sun on the subject, or shade, by its own horizon."""

    is_lit: bool

    def faults(self) -> list[str]:
        """Nothing can be wrong with it."""
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class MoonIs:
    """The Moon above the horizon or below it."""

    wish: MoonWish

    def faults(self) -> list[str]:
        """Nothing can be wrong with it."""
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class MoonLit:
    """How much of the Moon's disc is lit."""

    least_percent: float = 0.0
    most_percent: float = 100.0
    is_waxing: bool | None = None  # None: waxing or waning

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *finite("The least of the Moon", self.least_percent, 0.0, 100.0, "%"),
            *finite("The most of the Moon", self.most_percent, 0.0, 100.0, "%"),
            *_order_faults("lit part", self.least_percent, self.most_percent),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class GalacticCentreUp:
    """The galactic centre at an altitude or more, in a dark enough sky."""

    above_deg: float = 5.0
    sun_below_deg: float = -18.0

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *finite("The altitude", self.above_deg, -1.0, 90.0, "°"),
            *finite("The Sun's altitude", self.sun_below_deg, -90.0, 0.0, "°"),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterLevel:
    """The tide's height above its datum, and which way it goes."""

    above_m: float | None = None
    below_m: float | None = None
    turn: WantedTurn = WantedTurn.EITHER

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *finite("The lower wanted level", self.above_m, -30.0, 30.0, "m"),
            *finite("The upper wanted level", self.below_m, -30.0, 30.0, "m"),
            *_order_faults("wanted level", self.above_m, self.below_m),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class AroundTurn:
    """So long before and after high or low water."""

    is_high: bool
    before_min: float = 60.0
    after_min: float = 60.0

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *finite("The time before", self.before_min, 0.0, 720.0, "min"),
            *finite("The time after", self.after_min, 0.0, 720.0, "min"),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class TideRange:
    """From low to high water or back, by so much at least or at most."""

    least_m: float | None = None
    most_m: float | None = None

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return [
            *finite("The least range", self.least_m, 0.0, 30.0, "m"),
            *finite("The greatest range", self.most_m, 0.0, 30.0, "m"),
            *_order_faults("range", self.least_m, self.most_m),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOpen:
    """The tidal legs of a way passable before and after, for long enough between.

    Each leg counts with its margins and its reserve, as the checks count it.
    """

    route_id: UUID | None = None  # None: every tidal leg of the location
    stay_min: float = 30.0  # between coming in and going out

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        return finite("The stay", self.stay_min, 0.0, 1_440.0, "min")


@dataclass(frozen=True, slots=True, kw_only=True)
class TripPossible:
    """A trip that can be scheduled on the day."""

    trip_id: UUID

    def faults(self) -> list[str]:
        """Nothing can be wrong with it."""
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockTime:
    """By the clock of the place, from one time to another."""

    hours: OpenHours

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        if self.hours.opens == self.hours.shuts:
            return ["A span of the clock needs two different times."]
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class OnWeekdays:
    """Days of the week."""

    days: tuple[int, ...]  # 0: Monday ... 6: Sunday; in order

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        if not self.days:
            return ["Choose at least one day of the week."]
        if sorted(set(self.days)) != list(self.days) or not set(self.days) <= set(
            range(7)
        ):
            return ["The days of the week are 0 for Monday to 6 for Sunday, in order."]
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class InSeason:
    """A part of every year."""

    season: Season

    def faults(self) -> list[str]:
        """Nothing can be wrong with it."""
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """No closure of the location, and every permit of it still holds."""

    def faults(self) -> list[str]:
        """Nothing can be wrong with it."""
        return []


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """The forecast within limits, where one reaches; beyond it, not known."""

    wind_below_m_s: float | None = None
    gust_below_m_s: float | None = None
    cloud_least_percent: float | None = None
    cloud_most_percent: float | None = None
    rain_below_mm: float | None = None  # in an hour
    visibility_least_m: float | None = None
    wave_below_m: float | None = None

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        least, most = self.cloud_least_percent, self.cloud_most_percent
        return [
            *finite("The wind", self.wind_below_m_s, 0.0, 120.0, "m/s"),
            *finite("The gust", self.gust_below_m_s, 0.0, 150.0, "m/s"),
            *finite("The least cloud", least, 0.0, 100.0, "%"),
            *finite("The most cloud", most, 0.0, 100.0, "%"),
            *finite("The rain", self.rain_below_mm, 0.0, 500.0, "mm"),
            *finite("The visibility", self.visibility_least_m, 0.0, 500_000.0, "m"),
            *finite("The wave height", self.wave_below_m, 0.0, 30.0, "m"),
            *_order_faults("cloud", least, most),
        ]


Condition = (
    SunBand
    | AroundEvent
    | Alignment
    | LightFrom
    | SubjectLight
    | MoonIs
    | MoonLit
    | GalacticCentreUp
    | WaterLevel
    | AroundTurn
    | TideRange
    | WayOpen
    | TripPossible
    | ClockTime
    | OnWeekdays
    | InSeason
    | Allowed
    | Weather
)


def _band_faults(what: str, low_deg: float, high_deg: float) -> list[str]:
    found = [
        *finite(f"The lower {what}", low_deg, -90.0, 90.0, "°"),
        *finite(f"The upper {what}", high_deg, -90.0, 90.0, "°"),
    ]
    return found or _order_faults(what, low_deg, high_deg)


def _order_faults(what: str, low: float | None, high: float | None) -> list[str]:
    if low is None or high is None or low < high:
        return []
    return [f"The lower {what} must lie below the upper one."]
