"""The program's answers on the command line, as JSON; no window, no Qt.

One function for each command.  A new one is added in `_parser`, with
``set_defaults(answer=...)``.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any, NoReturn

from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import day_events
from fieldtrip.sky.moon import moon_phase
from fieldtrip.sky.positions import SkyPosition, sky_position
from fieldtrip.sky.site import HIGHEST_M, LOWEST_M, Site
from fieldtrip.times import zone_of

NAMES = ("compute", "check")  # first words that mean a command, not the window
_WRONG = 2  # exit status where something typed cannot be used

Answer = dict[str, Any]


def main(arguments: Sequence[str]) -> int:
    """Run a command and write its answer; gives the exit status.

    0 and JSON on standard output, or 2 and one sentence on standard error.
    """
    try:
        options = _parser().parse_args(arguments)
        answer: Callable[[argparse.Namespace], Answer] = options.answer
        text = json.dumps(answer(options), indent=2)
    except UserError as error:
        sys.stderr.write(f"{error}\n")
        return _WRONG
    sys.stdout.write(f"{text}\n")
    return 0


def compute_sky(options: argparse.Namespace) -> Answer:
    """Answer ``compute sky``: positions at an instant, or the events of a day."""
    site = _site(options)
    if options.at is not None and options.day is not None:
        raise UserError("Give either --at or --day, not both.")
    if options.at is not None:
        if options.zone is not None:
            raise UserError("--zone goes with --day; --at carries its own offset.")
        return _sky_at(site, _instant(options.at))
    if options.day is None:
        raise UserError("Say when: --at with an instant, or --day with --zone.")
    if options.zone is None:
        raise UserError("--day needs --zone, such as --zone Europe/Dublin.")
    return _sky_on(site, _day(options.day), options.zone)


def _sky_at(site: Site, instant: datetime) -> Answer:
    phase = moon_phase(site, instant)
    return {
        "sun": _angles(sky_position(Body.SUN, site, instant)),
        "moon": {
            **_angles(sky_position(Body.MOON, site, instant)),
            "illuminated_fraction": round(phase.illuminated_fraction, 6),
        },
    }


def _sky_on(site: Site, day: date, zone: str) -> Answer:
    clock = zone_of(zone)
    return {
        "events": [
            {
                "name": str(event.name),
                "time": event.instant.astimezone(clock).isoformat(
                    timespec="milliseconds"
                ),
                "azimuth_deg": round(event.azimuth_deg, 6),
            }
            for event in day_events(site, day, zone).events
        ]
    }


def _angles(position: SkyPosition) -> Answer:
    return {
        "azimuth_deg": round(position.azimuth_deg, 6),
        "altitude_deg": round(position.altitude_deg, 6),
        "apparent_altitude_deg": round(position.apparent_altitude_deg, 6),
    }


def _site(options: argparse.Namespace) -> Site:
    lat_deg = _number("--lat", options.lat, -90.0, 90.0)
    lon_deg = _number("--lon", options.lon, -180.0, 180.0)
    elevation_m = _number("--elevation", options.elevation, LOWEST_M, HIGHEST_M)
    return Site(Position(lat_deg, lon_deg), elevation_m)


def _number(option: str, text: str, least: float, most: float) -> float:
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not least <= value <= most:  # written so that nan fails too
        raise UserError(
            f"{option} must be a number from {least:g} to {most:g}, not “{text}”."
        )
    return value


def _instant(text: str) -> datetime:
    try:
        instant = datetime.fromisoformat(text)
    except ValueError as error:
        raise UserError(
            f"“{text}” is no instant; write it like 2026-08-15T14:30:00Z."
        ) from error
    if instant.tzinfo is None:
        raise UserError(
            f"“{text}” does not say in which zone: add Z for UTC, or an offset "
            "such as +01:00."
        )
    return instant


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise UserError(f"“{text}” is no date; write it like 2026-08-15.") from error


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence instead of showing the usage."""

    def error(self, message: str) -> NoReturn:
        text = message[:1].upper() + message[1:]
        raise UserError(f"{text.rstrip('.')}. See {self.prog} --help.")


def _parser() -> _Parser:
    parser = _Parser(prog="fieldtrip", allow_abbrev=False)
    commands = parser.add_subparsers(required=True, metavar="command")
    _add_compute(commands)
    return parser


def _add_compute(commands: Any) -> None:
    compute = commands.add_parser("compute", help="compute without a library")
    topics = compute.add_subparsers(required=True, metavar="what")
    sky = topics.add_parser(
        "sky",
        help="where Sun and Moon stand, or when they rise, set and light the day",
        allow_abbrev=False,
    )
    sky.add_argument("--lat", required=True, help="latitude in degrees, north positive")
    sky.add_argument("--lon", required=True, help="longitude in degrees, east positive")
    sky.add_argument("--elevation", default="0", help="metres above sea level")
    sky.add_argument("--at", help="an instant with its offset: 2026-08-15T14:30:00Z")
    sky.add_argument("--day", help="a date at the place: 2026-08-15")
    sky.add_argument("--zone", help="the place's time zone: Europe/Dublin")
    sky.set_defaults(answer=compute_sky)
