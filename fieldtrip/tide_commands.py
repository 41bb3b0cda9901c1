"""The command that computes the tide from a file, without a library."""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import numpy as np

from fieldtrip.errors import UserError
from fieldtrip.exchange.station_file import read_station
from fieldtrip.exchange.tide_bytes import LARGEST_FILE, one_line, text_of
from fieldtrip.exchange.tide_columns import columns_of
from fieldtrip.exchange.tide_facts import (
    Facts,
    asked,
    constants_of,
    range_doubt,
    series_of,
    settled,
    turns_of,
)
from fieldtrip.exchange.tide_file import TideFile, TideKind
from fieldtrip.exchange.tide_files_in import Unsettled, belonging, read_tide_file
from fieldtrip.exchange.tide_fitting import fit_of
from fieldtrip.exchange.tide_text import clock_zone
from fieldtrip.tides.constants import Unrecognised
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.fit import SHORTEST, Fit, covered
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.nodes import Nodes
from fieldtrip.tides.prediction import HarmonicSum
from fieldtrip.tides.records import TideTable, Turn
from fieldtrip.tides.tide_curve import PrintedCurve, TideCurve
from fieldtrip.tides.windows import Window
from fieldtrip.times import Span, to_instant

Answer = dict[str, Any]
FIRST_YEAR, LAST_YEAR = 1900, 2099
MOST_HEIGHTS = 600_000  # a year by the minute
_USUAL_STEP = timedelta(hours=1)
_EDGE_M = 50.0


def add_tide(topics: Any, instant: Callable[[str], datetime]) -> None:
    """Add ``compute tide``; `instant` reads an instant or raises `UserError`."""
    tide = topics.add_parser(
        "tide",
        help="heights, high and low waters, and when the water stands low enough",
        allow_abbrev=False,
    )
    source = tide.add_mutually_exclusive_group(required=True)
    source.add_argument("--station", type=Path, metavar="FILE.json")
    source.add_argument("--import", dest="tables", type=Path, nargs="+", metavar="FILE")
    tide.add_argument(
        "--from", dest="start", type=instant, required=True, metavar="ISO"
    )
    tide.add_argument("--to", dest="stop", type=instant, required=True, metavar="ISO")
    tide.add_argument("--step", help="minutes between heights; 60 if left out")
    tide.add_argument(
        "--nodes",
        choices=[str(nodes) for nodes in Nodes],
        help="where the Moon's node is taken; daily if left out",
    )
    level = tide.add_mutually_exclusive_group()
    level.add_argument("--below", help="windows in which the water is at most so high")
    level.add_argument("--above", help="windows in which the water is higher")
    tide.add_argument(
        "--z0", help="of a harcon.json: mean sea level above the datum, m"
    )
    tide.add_argument("--datum", help="what heights count from, if the file is silent")
    tide.add_argument("--zone", help="of a table: in which its times are printed")
    tide.add_argument("--unit", help="of a table: m, cm or ft, if the file is silent")
    tide.add_argument(
        "--columns",
        help="of a CSV of any layout, such as date=1,time=2,height=3,type=4,order=year",
    )
    tide.set_defaults(answer=compute_tide, status=_fine)


def compute_tide(options: argparse.Namespace) -> Answer:
    """Answer ``compute tide``; what is to be known goes to standard error too."""
    span = _span(options.start, options.stop)
    step = _step(options.step)
    below_m = _metres("--below", options.below)
    above_m = _metres("--above", options.above)
    count = span.length // step + 1
    if count > MOST_HEIGHTS:
        raise UserError(
            f"That is {count:,} heights, of which at most {MOST_HEIGHTS:,} are given; "
            "take a longer --step."
        )
    curve, notes = _of_station(options) if options.station else _of_tables(options)
    if isinstance(curve, PrintedCurve):
        notes += _outside(curve, span)
    if not curve.datum and (below_m is not None or above_m is not None):
        # The level was asked of these very heights, so they can be compared; with
        # the level of a path they cannot, until somebody names the datum.
        notes.append(
            "Nobody said from which datum these heights count, so the level asked for "
            "counts from the same one, whichever it is. Compare it with no other "
            'height before you know: give --datum, such as --datum "chart datum".'
        )
    windows: tuple[Window, ...] = ()
    if below_m is not None:
        windows = curve.windows_below(below_m, span)
    elif above_m is not None:
        windows = curve.windows_above(above_m, span)
    answer: Answer = {
        "datum": curve.datum or None,
        "heights": _heights(curve, span.start, step, count),
        "turns": [_turn(turn) for turn in curve.turns(span)],
        "windows": [_window(window) for window in windows],
    }
    if notes:
        answer["notes"] = notes
    for note in notes:
        sys.stderr.write(f"{note}\n")
    return answer


def _of_station(options: argparse.Namespace) -> tuple[TideCurve, list[str]]:
    if options.zone is not None:
        raise UserError("--zone goes with --import; constants are in UTC.")
    if options.columns is not None:
        raise UserError("--columns goes with --import.")
    z0_m = _metres("--z0", options.z0)
    text = text_of(_file_bytes(options.station))
    constants = read_station(text, z0_m, options.datum, options.unit)
    curve = HarmonicCurve(HarmonicSum(constants, Nodes(options.nodes or Nodes.DAILY)))
    return curve, _left_out(curve.unrecognised)


def _of_tables(options: argparse.Namespace) -> tuple[TideCurve, list[str]]:
    files = _tide_files(options)
    first = files[0]
    z0_m = _metres("--z0", options.z0)
    if z0_m is not None and first.is_timed:
        raise UserError("--z0 goes with constants; a table has its heights already.")
    _refuse_unsaid(asked(first), options)
    facts = Facts(
        zone=options.zone or "",
        unit=options.unit or "",
        datum=options.datum or "",
        port=", ".join(file.name for file in files),
        z0_m=z0_m,
    )
    if options.zone is not None:
        clock_zone(options.zone)  # a wrong one is no fault of the first file
    if first.kind is TideKind.CONSTANTS:
        constants = constants_of(first, facts)
        nodes = Nodes(options.nodes or Nodes.DAILY)
        curve = HarmonicCurve(HarmonicSum(constants, nodes))
        return curve, [*first.notes, *_left_out(curve.unrecognised)]
    if first.kind is TideKind.SERIES:
        return _of_series(files, facts, options)
    return _of_turns(files, facts, options)


def _tide_files(options: argparse.Namespace) -> tuple[TideFile, ...]:
    columns = None if options.columns is None else columns_of(options.columns)
    found = []
    for path in options.tables:
        data = _file_bytes(path)
        read = read_tide_file(data, path.name)
        if isinstance(read, Unsettled):
            if columns is None:
                raise UserError(
                    f"{path.name}: say which column holds what with --columns; its "
                    f"heading is “{one_line(read.table.heading, 100)}”."
                )
            read = read_tide_file(data, path.name, {read.table.heading: columns})
        assert isinstance(read, TideFile)
        found.append(read)
    return belonging(found)


def _refuse_unsaid(unsaid: tuple[str, ...], options: argparse.Namespace) -> None:
    if "zone" in unsaid and options.zone is None:
        raise UserError(
            "The file does not say in which zone its times are: give --zone, such as "
            "--zone Europe/Dublin or --zone UTC+12."
        )
    if "unit" in unsaid and options.unit is None:
        raise UserError(
            "The file does not say in which unit its heights are: give --unit m, cm or "
            "ft."
        )
    if "z0" in unsaid and options.z0 is None:
        raise UserError(
            "The file does not say where mean sea level lies: give --z0, the metres "
            "from the datum up to it, or datums.json with it."
        )


def _of_series(
    files: tuple[TideFile, ...], facts: Facts, options: argparse.Namespace
) -> tuple[TideCurve, list[str]]:
    read = series_of(files, facts)
    datum = settled(files[0], facts).datum
    nodes = Nodes(options.nodes or Nodes.DAILY)
    fit = fit_of(files, facts, port=facts.port, datum=datum, nodes=nodes)
    doubt = range_doubt(read.heights_m, None)
    notes = [*read.notes, *([doubt] if doubt else []), _derived(fit, "heights")]
    return fit.curve(), notes + _untold(fit)


def _of_turns(
    files: tuple[TideFile, ...], facts: Facts, options: argparse.Namespace
) -> tuple[TideCurve, list[str]]:
    read = turns_of(files, facts)
    turns, notes = read.turns, list(read.notes)
    heights_m = np.array([turn.height_m for turn in turns])
    if doubt := range_doubt(heights_m, None):
        notes.append(doubt)
    known = settled(files[0], facts)
    if covered(turns) >= SHORTEST:
        nodes = Nodes(options.nodes or Nodes.DAILY)
        fit = fit_of(files, facts, port=facts.port, datum=known.datum, nodes=nodes)
        is_of_turns = fit.count == len(turns)
        notes.append(_derived(fit, "high and low waters" if is_of_turns else "heights"))
        return fit.curve(), notes + _untold(fit)
    if options.nodes is not None:
        raise UserError(
            f"--nodes is for constants or for a table of at least {SHORTEST.days} days."
        )
    notes.append(
        "Half a cosine between printed high and low waters; at a shallow or estuarine "
        "port the water between them is not known."
    )
    table = TideTable(
        location_id=uuid4(),
        port=facts.port,
        zone=known.zone,
        datum=known.datum,
        unit=known.unit,
        source=facts.port,
        turns=turns,
    )
    return PrintedCurve(table), notes


def _derived(fit: Fit, what: str) -> str:
    return (
        f"Derived from {fit.count:,} {what} of {_day(fit.span.start)} to "
        f"{_day(fit.span.stop)}; their heights are given back within "
        f"{fit.rms_m * 100.0:.1f} cm rms."
    )


def _untold(fit: Fit) -> list[str]:
    curve = fit.curve()
    if curve.confidence(fit.span) is Confidence.GOOD:
        return []
    return [
        "This table does not tell the water between its turns within "
        f"{curve.prediction_margin_m(fit.span, Margins()):.2f} m, as at a shallow or "
        "estuarine port: do not rely on it."
    ]


def _outside(curve: PrintedCurve, span: Span) -> list[str]:
    turns = curve.table.turns
    known = Span(turns[0].instant, turns[-1].instant)
    if curve.covers(span):
        return []
    told = (
        f"The table runs from {known.start:%Y-%m-%d %H:%M} to "
        f"{known.stop:%Y-%m-%d %H:%M} UTC"
    )
    if not known.overlaps(span):
        raise UserError(f"{told}; nothing is known outside it.")
    return [f"{told}; outside it nothing is known, and heights are null."]


def _left_out(unknown: Unrecognised) -> list[str]:
    if not unknown.names:
        return []
    return [
        f"Not known and left out: {', '.join(unknown.names)}; together "
        f"{unknown.amplitude_m:.3f} m, by which the prediction may be wrong."
    ]


def _heights(
    curve: TideCurve, start: datetime, step: timedelta, count: int
) -> list[list[str | float | None]]:
    if isinstance(curve, HarmonicCurve):
        heights = curve.grid_m(start, step.total_seconds(), count)
    else:
        steps = np.arange(count) * np.timedelta64(step, "ms")
        heights = curve.heights_m(to_instant(start) + steps)
    return [
        [
            _iso(start + step * index),
            None if math.isnan(height) else round(height, 4),
        ]
        for index, height in enumerate(heights.tolist())
    ]


def _turn(turn: Turn) -> Answer:
    return {
        "time": _iso(turn.instant),
        "height_m": round(turn.height_m, 4),
        "kind": "high" if turn.is_high else "low",
    }


def _window(window: Window) -> Answer:
    return {
        "start": _iso(window.start),
        "end": _iso(window.stop),
        "open_at_start": window.is_open_at_start,
        "open_at_end": window.is_open_at_stop,
    }


def _span(start: datetime, stop: datetime) -> Span:
    span = Span(start.astimezone(UTC), stop.astimezone(UTC))
    if span.length <= timedelta():
        raise UserError("--to must come after --from.")
    # NumPy's instants and Schureman's means hold for longer; nobody checked.
    if span.start.year < FIRST_YEAR or span.stop.year > LAST_YEAR:
        raise UserError(
            f"Tides are computed for the years {FIRST_YEAR} to {LAST_YEAR} only."
        )
    return span


def _step(text: str | None) -> timedelta:
    if text is None:
        return _USUAL_STEP
    minutes = _number("--step", text, 1.0 / 60.0, 1440.0, "minutes")
    return timedelta(milliseconds=round(minutes * 60_000.0))


def _metres(option: str, text: str | None) -> float | None:
    return None if text is None else _number(option, text, -_EDGE_M, _EDGE_M, "metres")


def _number(option: str, text: str, least: float, most: float, unit: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not least <= value <= most:  # written so that nan fails too
        raise UserError(
            f"{option} must be a number from {least:g} to {most:g} {unit}, "
            f"not “{text}”."
        )
    return value


def _file_bytes(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise UserError(f"{path.name} is too large for a tide file.")
        return path.read_bytes()
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise UserError(f"{path} cannot be read: {reason}.") from error


def _day(instant: datetime) -> str:
    return f"{instant:%Y-%m-%d}"


def _iso(instant: datetime) -> str:
    whole = instant.microsecond == 0
    text = instant.astimezone(UTC).isoformat(
        timespec="seconds" if whole else "milliseconds"
    )
    return text.replace("+00:00", "Z")


def _fine(_answer: Answer) -> int:
    return 0
