"""The program's answers on the command line, as JSON; no window, no Qt.

One function for each command.  A new one is added in `_parser`, with
``set_defaults(answer=..., status=...)``.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, NoReturn

from fieldtrip.date_commands import add_dates
from fieldtrip.errors import UserError
from fieldtrip.file_commands import add_export, add_import
from fieldtrip.geo import Position
from fieldtrip.phrasing import (
    CAUTIONS,
    FindingWords,
    overall_words,
    words_of_all,
)
from fieldtrip.plan_commands import add_schedule
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Number, Severity
from fieldtrip.safety.limit_specs import SPECS, USUAL, limits_from
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.settings_file import read_settings
from fieldtrip.sheet_commands import (
    PagePrinter,
    add_demo_library,
    add_sheet,
    known_heights,
    with_ground,
)
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import day_events
from fieldtrip.sky.moon import moon_phase
from fieldtrip.sky.positions import SkyPosition, sky_position
from fieldtrip.sky.site import HIGHEST_M, LOWEST_M, Site
from fieldtrip.store.store import Store
from fieldtrip.terrain.records import ElevationFile
from fieldtrip.terrain_commands import add_ground_to_sky, add_terrain, sun_over_ground
from fieldtrip.tide_commands import add_tide
from fieldtrip.times import zone_of
from fieldtrip.trips.plan import facts_of

NAMES = (
    "compute",
    "check",
    "import",
    "export",
    "sheet",
)  # first words that mean a command, not the window
_WRONG = 64  # exit status where something typed cannot be used: EX_USAGE of sysexits
_STATUS = {  # exit status of a check
    Severity.CLEAR: 0,
    Severity.CAUTION: 1,
    Severity.UNKNOWN: 2,
    Severity.STOP: 3,
}

Answer = dict[str, Any]


def main(arguments: Sequence[str], print_page: PagePrinter | None = None) -> int:
    """Run a command and write its answer; gives the exit status.

    JSON on standard output and 0, for a check 1 to 3 by how bad it is; or one
    sentence on standard error and 64.  `print_page` makes a PDF of a page, for
    which it takes a web engine that no command knows.
    """
    try:
        options = _parser().parse_args(arguments)
        options.print_page = print_page
        answer: Callable[[argparse.Namespace], Answer] = options.answer
        status: Callable[[Answer], int] = options.status
        found = answer(options)
        show: Callable[[Answer], str] = getattr(options, "show", _as_json)
        text = show(found)
    except UserError as error:
        sys.stderr.write(f"{error}\n")
        return _WRONG
    sys.stdout.write(f"{text}\n")
    return status(found)


def _as_json(answer: Answer) -> str:
    return json.dumps(answer, indent=2)


def compute_sky(options: argparse.Namespace) -> Answer:
    """Answer ``compute sky``: positions at an instant, or the events of a day."""
    site = _site(options)
    if options.at is not None and options.day is not None:
        raise UserError("Give either --at or --day, not both.")
    if options.at is not None:
        if options.zone is not None:
            raise UserError("--zone goes with --day; --at carries its own offset.")
        if options.dem is not None:
            raise UserError("--dem goes with --day: it tells the day's first sun.")
        return _sky_at(site, _instant(options.at))
    if options.day is None:
        raise UserError("Say when: --at with an instant, or --day with --zone.")
    if options.zone is None:
        raise UserError("--day needs --zone, such as --zone Europe/Dublin.")
    day = _day(options.day)
    answer = _sky_on(site, day, options.zone)
    if options.dem is not None:
        return sun_over_ground(options, answer, site, day, options.zone, _number)
    if options.eye is not None or options.open_sea:
        raise UserError("--eye and --open-sea go with --dem.")
    return answer


def check_trip(options: argparse.Namespace) -> Answer:
    """Answer ``check``: what every rule finds about a trip; the run is not kept."""
    now = datetime.now(UTC) if options.now is None else _instant(options.now)
    store = Store.open_to_read(options.library)
    try:
        trip = store.find_trip(options.trip)
        dossier = store.dossier(trip.location_id)
        files = store.all(ElevationFile)
    finally:
        store.close()
    dossier = with_ground(dossier, known_heights(files, options.library))
    zone = dossier.location.zone
    own = () if options.settings is None else read_settings(options.settings).limits
    limits = limits_from(own)
    checklist = check(facts_of(dossier, trip, now), limits)
    return {
        "trip": trip.name,
        "trip_id": str(trip.id),
        "day": trip.day.isoformat(),
        "zone": zone,
        "now": _iso(now),
        "overall": str(checklist.overall),
        "overall_words": overall_words(checklist),
        "limits": _limits_words(limits, options.settings),
        "findings": [
            _finding(finding, words)
            for finding, words in zip(
                checklist.findings,
                words_of_all(checklist.findings, zone, Settings(), trip.day),
                strict=True,
            )
        ],
        "looser_limits": [
            {"name": spec.name, "value": spec.value(limits), "unit": spec.unit}
            for spec in SPECS
            if spec.is_looser(limits)
        ],
        "cautions": list(CAUTIONS),
    }


def _limits_words(limits: Limits, settings: Path | None) -> str:
    """Whose limits the checks went by."""
    if settings is None:
        return "The usual limits; --settings FILE takes those that somebody set."
    if limits == USUAL:
        return "The usual limits: the settings set no others."
    looser = sum(spec.is_looser(limits) for spec in SPECS)
    own = "The limits of the settings"
    return f"{own}, {looser} of them looser than usual." if looser else f"{own}."


def checks_as_text(answer: Answer) -> str:
    """The same answer to be read: state, rule, numbers, and the usual cautions."""
    lines = [f"{answer['trip']}, {answer['day']}, times of {answer['zone']}"]
    lines += [answer["overall_words"], answer["limits"], ""]
    for found in answer["findings"]:
        lines.append(f"{found['severity']}: {found['title']} [{found['rule']}]")
        numbers = [
            f"{one['name']} {one['value']} {one['unit']}".rstrip()
            for one in (*found["numbers"], *found["thresholds"])
        ]
        told = (found["found"], found["advice"], "; ".join(numbers))
        lines += [f"    {text}" for text in told if text]
    return "\n".join([*lines, "", *answer["cautions"]])


def _finding(finding: Finding, words: FindingWords) -> Answer:
    span = finding.span
    ticked = finding.ticked
    return {
        "rule": str(finding.rule),
        "about": finding.about,
        "key": finding.key,
        "severity": str(finding.severity),
        "reason": str(finding.reason),
        "title": words.title,
        "found": words.found,
        "advice": words.advice,
        "numbers": [_quantity(n) for n in finding.numbers if not n.is_limit],
        "thresholds": [_quantity(n) for n in finding.numbers if n.is_limit],
        "source": words.source,
        "span": span and {"start": _iso(span.start), "stop": _iso(span.stop)},
        "can_be_ticked": finding.can_be_ticked,
        "ticked": ticked and {"at": _iso(ticked), "by": finding.ticked_by},
        "override": finding.override,
    }


def _quantity(number: Number) -> Answer:
    value = number.value
    shown = _iso(value) if isinstance(value, datetime) else round(value, 6)
    return {"name": number.name, "value": shown, "unit": number.unit}


def _iso(instant: datetime) -> str:
    return instant.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _status_of(answer: Answer) -> int:
    return _STATUS[Severity(answer["overall"])]


def _fine(_answer: Answer) -> int:
    return 0


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
    _add_check(commands)
    add_import(commands)
    add_export(commands)
    add_sheet(commands, _instant)
    add_demo_library(commands)
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
    add_ground_to_sky(sky)
    sky.set_defaults(answer=compute_sky, status=_fine)
    add_tide(topics, _instant)
    add_terrain(topics, _number)
    add_dates(topics, _site, _number, _day)
    add_schedule(topics)


def _add_check(commands: Any) -> None:
    check_parser = commands.add_parser(
        "check",
        help="check a trip; exit status 0 clear, 1 caution, 2 unknown, 3 stop",
        allow_abbrev=False,
    )
    check_parser.add_argument("--library", required=True, type=Path, metavar="PATH")
    check_parser.add_argument("--trip", required=True, metavar="ID|NAME")
    check_parser.add_argument(
        "--now", help="as known at this instant: 2026-08-15T06:00:00Z"
    )
    check_parser.add_argument(
        "--settings",
        type=Path,
        metavar="FILE",
        help="settings whose limits count; left out: the usual limits",
    )
    shown = check_parser.add_mutually_exclusive_group()
    shown.add_argument(
        "--json", dest="show", action="store_const", const=_as_json, help="the usual"
    )
    shown.add_argument(
        "--text",
        dest="show",
        action="store_const",
        const=checks_as_text,
        help="to be read rather than to be taken on",
    )
    check_parser.set_defaults(answer=check_trip, status=_status_of, show=_as_json)
