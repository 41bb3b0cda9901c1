"""What the skyline chart shows: the ground against the sky, and who passes over it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

import numpy as np
import numpy.typing as npt

from fieldtrip.almanac.spots import Spot
from fieldtrip.arrays import Array
from fieldtrip.geo import bearing_deg, distance_m
from fieldtrip.places.records import Subject
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position, uniform_track
from fieldtrip.sky.site import HIGHEST_M, LOWEST_M, Site
from fieldtrip.terrain.earth import MEAN_REFRACTION, bent_radius_m
from fieldtrip.terrain.horizon import Horizon
from fieldtrip.times import local_day, zone_of
from fieldtrip.wording import (
    altitude_text,
    bearing_text,
    clock_line,
    clock_text,
    date_text,
    distance_text,
    height_text,
)

Flags = npt.NDArray[np.bool_]
_STEP_S = 300.0
_LOWEST_SHOWN_DEG = -4.0
_LEAST_TOP_DEG = 12.0
_HIGHEST_TOP_DEG = 62.0
_NEAR_CELLS = 3.0  # ground nearer than this many is a guess
_NEARLY_ALL = 0.995  # of all directions
_GUESS_DEG = 2.0  # and so is a skyline that may be off by more


@dataclass(frozen=True, slots=True)
class PathTick:
    """A whole hour on the path of a body."""

    azimuth_deg: float
    altitude_deg: float  # apparent
    text: str


@dataclass(frozen=True, slots=True)
class SkyPath:
    """A body's way over the sky of a day, as seen through the air."""

    name: str  # "Sun"
    azimuths_deg: tuple[float, ...]
    altitudes_deg: tuple[float, ...]  # apparent, of the centre
    ticks: tuple[PathTick, ...]


@dataclass(frozen=True, slots=True)
class InView:
    """The subject as it stands against the sky."""

    name: str
    azimuth_deg: float
    foot_deg: float
    top_deg: float  # the same as the foot where its height is not known


@dataclass(frozen=True, slots=True)
class SkyMark:
    """A moment at which light comes or goes over the crest."""

    azimuth_deg: float
    altitude_deg: float
    text: str  # "last sun 16:31"
    instant: datetime


@dataclass(frozen=True, slots=True, eq=False)
class Crest:
    """The outline against the sky; arrays of shape (n,), evenly from north."""

    azimuths_deg: Array
    altitudes_deg: Array
    error_deg: Array  # one standard deviation
    distances_m: Array
    is_known: Flags  # False where heights were missing on the way
    is_near: Flags  # so near that it is a guess
    is_sea: Flags  # the sea's horizon


@dataclass(frozen=True, slots=True, eq=False)
class SkylineContent:
    """Everything the chart shows of a day but the chosen minute."""

    heading: str = ""
    crest: Crest | None = None
    paths: tuple[SkyPath, ...] = ()
    marks: tuple[SkyMark, ...] = ()
    subject: InView | None = None
    middle_deg: float = 180.0  # azimuth in the middle of the chart
    top_deg: float = _LEAST_TOP_DEG
    bottom_deg: float = _LOWEST_SHOWN_DEG
    notes: tuple[str, ...] = ()
    settings: Settings = field(default_factory=Settings)
    message: str = ""  # in place of the chart
    can_add: bool = False  # whether an elevation file would help


@dataclass(frozen=True, slots=True)
class SkylineMinute:
    """Where Sun and Moon stand at the chosen minute."""

    clock: str
    sun_deg: tuple[float, float]  # azimuth, apparent altitude
    moon_deg: tuple[float, float]


def skyline_content(
    spot: Spot,
    horizon: Horizon,
    day: date,
    zone: str,
    settings: Settings,
    *,
    cell_m: float,
    subject: Subject | None = None,
    marks: Sequence[SkyMark] = (),
    model_notes: Sequence[str] = (),
    is_surface: bool | None = None,
    ends_m: tuple[float, float] | None = None,
) -> SkylineContent:
    """Put a horizon and the paths of a day over it.

    Raises `UserError` outside the years of the sky's table.
    """
    site = site_of(horizon)
    paths = tuple(
        _path(body, name, site, day, zone, settings)
        for body, name in ((Body.SUN, "Sun"), (Body.MOON, "Moon"))
    )
    crest = Crest(
        azimuths_deg=horizon.azimuths_deg,
        altitudes_deg=horizon.altitudes_deg,
        error_deg=horizon.error_deg,
        distances_m=horizon.distances_m,
        is_known=horizon.is_complete,
        is_near=_is_near(horizon, cell_m),
        is_sea=_is_sea(horizon),
    )
    crest_top = float(np.max(horizon.altitudes_deg))
    return SkylineContent(
        heading=f"Skyline of {spot.name}, {date_text(day)}, times in "
        f"{clock_line(day, zone)}",
        crest=crest,
        paths=paths,
        marks=tuple(marks),
        subject=in_view(horizon, subject),
        middle_deg=180.0 if spot.position.lat_deg >= 0.0 else 0.0,
        top_deg=_top(crest_top, paths),
        bottom_deg=min(_LOWEST_SHOWN_DEG, float(np.min(horizon.altitudes_deg)) - 1.0),
        notes=skyline_notes(
            horizon,
            settings,
            cell_m=cell_m,
            model_notes=model_notes,
            is_surface=is_surface,
            ends_m=ends_m,
        ),
        settings=settings,
    )


def skyline_minute(
    horizon: Horizon, instant: datetime, zone: str, settings: Settings
) -> SkylineMinute:
    """Sun and Moon at a minute.  Raises `UserError` outside the sky's years."""
    site = site_of(horizon)
    sun = sky_position(Body.SUN, site, instant)
    moon = sky_position(Body.MOON, site, instant)
    return SkylineMinute(
        clock_text(instant, zone, settings),
        (sun.azimuth_deg, sun.apparent_altitude_deg),
        (moon.azimuth_deg, moon.apparent_altitude_deg),
    )


def site_of(horizon: Horizon) -> Site:
    """The eye of a horizon as a site of the sky."""
    height_m = horizon.ground_m + horizon.eye_m
    return Site(horizon.position, min(max(height_m, LOWEST_M), HIGHEST_M))


def reading_at(content: SkylineContent, azimuth_deg: float) -> str:
    """What stands in a direction: for eye and screen reader."""
    azimuth_deg %= 360.0
    where = f"azimuth {bearing_text(azimuth_deg)}"
    crest = content.crest
    if crest is None:
        return where
    count = len(crest.azimuths_deg)
    at = round(azimuth_deg * count / 360.0) % count
    altitude = altitude_text(float(crest.altitudes_deg[at]))
    away = distance_text(float(crest.distances_m[at]), content.settings)
    parts = [where]
    if crest.is_sea[at]:
        parts.append(f"the sea’s horizon, {altitude}, {away} away")
    else:
        error_deg = float(crest.error_deg[at])
        parts.append(f"skyline {altitude}, give or take {error_deg:.1f}°")
        parts.append(f"its crest {away} away")
    if not crest.is_known[at]:
        parts.append("heights are missing farther out: the skyline may be higher")
    return " · ".join(parts)


def in_view(horizon: Horizon, subject: Subject | None) -> InView | None:
    """Where a subject stands against the sky; None where its ground is not known."""
    if subject is None or subject.ground_m is None:
        return None
    away_m = distance_m(horizon.position, subject.position)
    if away_m < 1.0:
        return None
    eye_m = horizon.ground_m + horizon.eye_m

    def altitude_deg(height_m: float) -> float:
        drop_m = away_m**2 / (2.0 * bent_radius_m(MEAN_REFRACTION))
        return math.degrees(math.atan2(height_m - eye_m - drop_m, away_m))

    return InView(
        subject.name,
        bearing_deg(horizon.position, subject.position),
        altitude_deg(subject.ground_m),
        altitude_deg(subject.ground_m + (subject.height_m or 0.0)),
    )


def skyline_notes(
    horizon: Horizon,
    settings: Settings,
    *,
    cell_m: float,
    model_notes: Sequence[str] = (),
    is_surface: bool | None = None,
    ends_m: tuple[float, float] | None = None,
) -> tuple[str, ...]:
    """How far the skyline can be relied on, in sentences."""
    cell = height_text(cell_m, settings, 0)
    eye = height_text(horizon.ground_m + horizon.eye_m, settings, 0)
    notes = [
        f"Seen {eye} above sea level. The elevation model has a height every {cell}."
    ]
    near = _share(_is_near(horizon, cell_m))
    if near > 0.0:
        notes.append(
            "Where the skyline is dashed the ground is so near that it is a guess: "
            "walls, trees and the lip of a hollow fall between the heights."
        )
    missing = _share(~horizon.is_complete)
    if missing > 0.0:
        part = f"In {missing * 100.0:.0f} % of all directions (dotted) t"
        start = "T" if missing > _NEARLY_ALL else part
        notes.append(
            f"{start}he heights end{_ends_words(ends_m, settings)}: higher ground "
            "farther out would be missed."
        )
    if is_surface:
        notes.append("It is a model of trees and roofs, which stand in the skyline.")
    elif is_surface is None:
        notes.append(
            "Nobody has said if it is a model of the bare ground or of trees and roofs."
        )
    return (*notes, *model_notes)


def _ends_words(ends_m: tuple[float, float] | None, settings: Settings) -> str:
    if ends_m is None:
        return " before 60 km"
    least, most = (distance_text(end, settings) for end in ends_m)
    return f" {least} away" if least == most else f" {least} to {most} away"


def _is_near(horizon: Horizon, cell_m: float) -> Flags:
    is_close = horizon.distances_m < _NEAR_CELLS * cell_m
    return np.asarray(is_close | (horizon.error_deg > _GUESS_DEG))


def _is_sea(horizon: Horizon) -> Flags:
    """Where the sea's own horizon stands, told by its dip and distance."""
    radius_m = bent_radius_m(MEAN_REFRACTION)
    height_m = max(0.0, horizon.ground_m + horizon.eye_m)
    angle = math.acos(radius_m / (radius_m + height_m))
    is_at_dip = np.abs(horizon.altitudes_deg + math.degrees(angle)) < 0.02
    return np.asarray(is_at_dip & (horizon.distances_m > 0.6 * radius_m * angle))


def _share(flags: Flags) -> float:
    return float(np.count_nonzero(flags)) / max(1, len(flags))


def _top(crest_top: float, paths: Sequence[SkyPath]) -> float:
    """High enough for the ground and for the Sun while it is near it."""
    sun_top = max(paths[0].altitudes_deg, default=0.0)
    wanted = max(1.25 * crest_top + 2.0, min(sun_top * 1.15 + 2.0, 30.0))
    return min(max(wanted, _LEAST_TOP_DEG), _HIGHEST_TOP_DEG)


def _path(
    body: Body, name: str, site: Site, day: date, zone: str, settings: Settings
) -> SkyPath:
    span = local_day(day, zone)
    count = int(span.length.total_seconds() // _STEP_S) + 1
    track = uniform_track(body, site, span.start, _STEP_S, count)
    seen_deg = track.apparent_altitude_deg
    ticks = []
    for n in range(count):
        instant = span.start + timedelta(seconds=n * _STEP_S)
        if instant.astimezone(zone_of(zone)).minute == 0:
            ticks.append(
                PathTick(
                    float(track.azimuth_deg[n]),
                    float(seen_deg[n]),
                    clock_text(instant, zone, settings),
                )
            )
    return SkyPath(
        name,
        tuple(track.azimuth_deg.tolist()),
        tuple(seen_deg.tolist()),
        tuple(ticks),
    )
