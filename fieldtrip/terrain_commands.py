"""The commands that look at the ground in files of heights, without a library."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import numpy as np

from fieldtrip.errors import UserError
from fieldtrip.geo import Position, distance_m
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.site import Site
from fieldtrip.terrain.elevation_files import ElevationSource, look_at
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.horizon import Horizon, horizon
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.lattice import Extent
from fieldtrip.terrain.mosaic import grid_over
from fieldtrip.terrain.sightline import sightline
from fieldtrip.times import local_day, zone_of
from fieldtrip.trips.sun_on_spot import SpotTime, body_on_spot

Answer = dict[str, Any]
Number = Callable[[str, str, float, float], float]

USUAL_EYE_M = 1.6
_REACH_M = 60_000.0
_HIGHEST_EYE_M = 10_000.0
_USUAL_AZIMUTHS, _MOST_AZIMUTHS = 720, 36_000
_FARTHEST_M = 400_000.0  # to which anything is seen over the Earth's curve
_MARGIN_M = 1000.0
_ENDS_TOO_FAR = (
    "The two ends lie {:.0f} km apart; nothing is seen over more than {:.0f} km."
)


def add_terrain(topics: Any, number: Number) -> None:
    """Add ``compute horizon`` and ``compute sightline``; `number` reads or refuses."""
    skyline = topics.add_parser(
        "horizon",
        help="how high the ground stands against the sky in every direction",
        allow_abbrev=False,
    )
    _add_files(skyline, is_required=True)
    skyline.add_argument("--lat", required=True, help="latitude, north positive")
    skyline.add_argument("--lon", required=True, help="longitude, east positive")
    skyline.add_argument("--eye", required=True, help="metres above the ground")
    skyline.add_argument(
        "--azimuths",
        default=str(_USUAL_AZIMUTHS),
        help=f"how many directions; {_USUAL_AZIMUTHS} if left out",
    )
    skyline.set_defaults(
        answer=lambda options: compute_horizon(options, number), status=_fine
    )
    sight = topics.add_parser(
        "sightline",
        help="whether one point is seen from another over the ground between them",
        allow_abbrev=False,
    )
    _add_files(sight, is_required=True)
    sight.add_argument(
        "--from", dest="start", required=True, metavar="LAT,LON,EYE",
        help="where one stands, and the eye's metres above the ground there",
    )  # fmt: skip
    sight.add_argument(
        "--to", dest="end", required=True, metavar="LAT,LON,HEIGHT",
        help="what is looked at, and its metres above the ground there",
    )  # fmt: skip
    sight.set_defaults(
        answer=lambda options: compute_sightline(options, number), status=_fine
    )


def add_ground_to_sky(sky: argparse.ArgumentParser) -> None:
    """Add to ``compute sky`` what lets it see the ground."""
    _add_files(sky, is_required=False)
    sky.add_argument(
        "--eye",
        help=f"with --dem: metres above the ground; {USUAL_EYE_M:g} if left out",
    )


def compute_horizon(options: argparse.Namespace, number: Number) -> Answer:
    """Answer ``compute horizon``; what is to be known goes to standard error too."""
    position = Position(
        number("--lat", options.lat, -90.0, 90.0),
        number("--lon", options.lon, -180.0, 180.0),
    )
    eye_m = number("--eye", options.eye, 0.0, _HIGHEST_EYE_M)
    count = number("--azimuths", options.azimuths, 4, _MOST_AZIMUTHS)
    if count != int(count):
        raise UserError("--azimuths must be a whole number.")
    grid, beyond = _grids_at(options, position)
    found = horizon(
        grid,
        position,
        eye_m=eye_m,
        beyond=beyond,
        count=int(count),
        reach_m=_REACH_M,
    )
    answer = {
        "ground_m": round(found.ground_m, 3),
        "horizon": [
            [round(azimuth, 6), round(altitude, 5)]
            for azimuth, altitude in zip(
                found.azimuths_deg.tolist(), found.altitudes_deg.tolist(), strict=True
            )
        ],
    }
    return _told(answer, [*_notes(grid, beyond), *_untold(found)])


def compute_sightline(options: argparse.Namespace, number: Number) -> Answer:
    """Answer ``compute sightline``; null is not known."""
    start, eye_m = _point("--from", options.start, number)
    end, height_m = _point("--to", options.end, number)
    length_m = distance_m(start, end)
    if length_m > _FARTHEST_M:
        raise UserError(_ENDS_TOO_FAR.format(length_m / 1e3, _FARTHEST_M / 1e3))
    # The ends may lie on either side of the date line.
    turned = end.lon_deg + 360.0 * round((start.lon_deg - end.lon_deg) / 360.0)
    around = Extent.around(start, _MARGIN_M).hull(
        Extent.around(end, _MARGIN_M).shifted(turned - end.lon_deg)
    )
    grid = grid_over(_sources(options), around, at=start)
    if grid is None:
        raise _no_heights(start)
    for place in (start, end):
        if grid.height_m(place) is None:
            raise _no_heights(place)
    found = sightline(grid, start, eye_m, end, height_m)
    notes = list(grid.notes)
    if found.visible is None:
        notes.append(
            "Whether it is seen is not known: heights between are missing, or the two "
            "lie within a cell or two of one another."
        )
    return _told(
        {
            "visible": found.visible,
            "clearance_m": _rounded(found.clearance_m, 2),
            "at_m": _rounded(found.at_m, 1),
        },
        notes,
    )


def sun_over_ground(
    options: argparse.Namespace,
    events: Answer,
    site: Site,
    day: date,
    zone: str,
    number: Number,
) -> Answer:
    """The events of a day with first and last sun over the ground among them.

    Both stand beside the events too, with how sure they are.
    """
    eye_m = number("--eye", options.eye or f"{USUAL_EYE_M}", 0.0, _HIGHEST_EYE_M)
    grid, beyond = _grids_at(options, site.position)
    skyline = horizon(grid, site.position, eye_m=eye_m, beyond=beyond, reach_m=_REACH_M)
    on_spot = body_on_spot(skyline, Body.SUN, site, local_day(day, zone))
    notes = _notes(grid, beyond)
    for spot_time in (on_spot.first, on_spot.last):
        if spot_time is not None and not spot_time.is_complete:
            notes.append(
                "The files end before the horizon does where the Sun comes up or goes "
                "down: higher ground may stand beyond."
            )
            break
    found = {
        "first_sun": _spot_time(on_spot.first, zone),
        "last_sun": _spot_time(on_spot.last, zone),
    }
    among = [
        {"name": name, "time": known["time"], "azimuth_deg": known["azimuth_deg"]}
        for name, known in found.items()
        if known is not None
    ]
    in_order = sorted(
        [*events["events"], *among],
        key=lambda event: datetime.fromisoformat(event["time"]),
    )
    return _told({"events": in_order, **found}, notes)


def _spot_time(found: SpotTime | None, zone: str) -> Answer | None:
    if found is None:
        return None
    clock = zone_of(zone)
    return {
        "time": found.instant.astimezone(clock).isoformat(timespec="milliseconds"),
        "azimuth_deg": round(found.azimuth_deg, 6),
        "skyline_deg": round(found.skyline_deg, 5),
        "earliest": found.earliest.astimezone(clock).isoformat(timespec="seconds"),
        "latest": found.latest.astimezone(clock).isoformat(timespec="seconds"),
    }


def _add_files(parser: argparse.ArgumentParser, *, is_required: bool) -> None:
    parser.add_argument(
        "--dem", type=Path, nargs="+", required=is_required, metavar="FILE",
        help="files of heights: HGT tiles and GeoTIFF",
    )  # fmt: skip
    parser.add_argument(
        "--open-sea", action="store_true",
        help="with --dem: where no file has heights lies open sea, at 0 m",
    )  # fmt: skip


def _sources(options: argparse.Namespace) -> list[ElevationSource]:
    return [
        ElevationSource(
            path=path,
            facts=look_at(path),
            name=path.name,
            leaves_sea_out=options.open_sea,
        )
        for path in options.dem
    ]


def _grids_at(
    options: argparse.Namespace, position: Position
) -> tuple[ElevationGrid, ElevationGrid | None]:
    grids = KnownGround(tuple(_sources(options))).grids_for(position, _REACH_M)
    if grids is None or grids[0].height_m(position) is None:
        raise _no_heights(position)
    return grids


def _notes(grid: ElevationGrid, beyond: ElevationGrid | None) -> list[str]:
    return list(dict.fromkeys([*grid.notes, *(beyond.notes if beyond else ())]))


def _no_heights(position: Position) -> UserError:
    return UserError(
        f"The files hold no height for {position.lat_deg:.6g}, {position.lon_deg:.6g}."
    )


def _point(option: str, text: str, number: Number) -> tuple[Position, float]:
    parts = text.split(",")
    if len(parts) != 3:
        raise UserError(
            f"{option} is latitude, longitude and metres above the ground with commas "
            f"between, such as {option}=49.6034,-8.4012,1.6, not “{text}”."
        )
    lat_deg = number(option, parts[0], -90.0, 90.0)
    lon_deg = number(option, parts[1], -180.0, 180.0)
    return Position(lat_deg, lon_deg), number(option, parts[2], 0.0, _HIGHEST_EYE_M)


def _untold(found: Horizon) -> list[str]:
    missing = int(np.count_nonzero(~found.is_complete))
    if not missing:
        return []
    return [
        f"In {missing} of {len(found.is_complete)} directions the files end, or have "
        f"voids, within {_REACH_M / 1e3:.0f} km: higher ground may stand there."
    ]


def _told(answer: Answer, notes: list[str]) -> Answer:
    for note in notes:
        sys.stderr.write(f"{note}\n")
    return {**answer, "notes": notes} if notes else answer


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def _fine(_answer: Answer) -> int:
    return 0
