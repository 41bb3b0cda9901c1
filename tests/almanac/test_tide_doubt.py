"""Strip, map and Tide page call open only what the checks call open."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import pytest

from fieldtrip.almanac.tide import LegWindows, tide_day
from fieldtrip.desktop.content.day_strip import Choice, strip_content
from fieldtrip.desktop.content.map_layers import passable_words
from fieldtrip.desktop.content.strip_tide import TideColumn
from fieldtrip.geo import destination
from fieldtrip.places.records import Shore
from fieldtrip.safety.finding import Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.tide_crossing import tide_crossing
from fieldtrip.settings import Settings
from fieldtrip.tides.records import TideTable
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import SeaState
from tests.desktop.strip_story import BAR_END, DAY, DOSSIER
from tests.desktop.strip_story import with_table as coast_with
from tests.safety.station_story import GOLDEN, dossier_with
from tests.safety.story import CLEAR, LEG, LOCATION, TRIP, at

SETTINGS = Settings()
FAR = destination(LOCATION.position, 90.0, 31_000.0)


@dataclass(frozen=True)
class Said:
    """What the three of them say of the bar on the trip's day, and the checks."""

    strip: TideColumn
    words: str
    page: LegWindows
    severity: Severity


def said(dossier: Dossier) -> Said:
    """The bar in the strip, on the map, on the Tide page and in the checks."""
    (trip,) = dossier.trips
    day = local_day(trip.day, dossier.location.zone)
    choice = Choice(day=trip.day, trip_id=trip.id)
    found = tide_crossing(facts_of(dossier, trip, at(12)), Limits())
    assert {finding.rule for finding in found} == {Rule.TIDE_CROSSING}
    return Said(
        strip_content(dossier, choice, SETTINGS, at(12)).tide,
        passable_words(dossier, day, SETTINGS, trip)[LEG.id],
        tide_day(dossier, LEG.id, trip.day, SETTINGS).legs[0],
        min((finding.severity for finding in found), key=lambda s: s.rank),
    )


def with_table(sea: SeaState | None = None, **changes: Any) -> Dossier:
    """The bar by a typed table; changes to the table or to the leg."""
    dossier = CLEAR.dossier()
    of_table = {k: v for k, v in changes.items() if k in TideTable.__slots__}
    of_leg = {k: v for k, v in changes.items() if k not in of_table}
    return replace(
        dossier,
        legs=(replace(LEG, **of_leg),),
        tide_tables=tuple(replace(t, **of_table) for t in dossier.tide_tables),
        trips=(replace(TRIP, sea=sea),),
    )


def with_station(beyond: bool | None = False, **changes: Any) -> Dossier:
    """The bar by a station's curve."""
    station = replace(GOLDEN, **changes)
    dossier = dossier_with(CLEAR, station, beyond=beyond)
    return replace(dossier, legs=(replace(LEG, shut_datum=station.datum),))


def test_what_the_checks_call_clear_is_open() -> None:
    for dossier in (with_table(), with_station()):
        told = said(dossier)

        assert told.severity is Severity.CLEAR
        assert {passage.text for passage in told.strip.open} == {"open"}
        assert told.strip.doubtful == ()
        assert told.words.startswith("open by prediction ")
        assert told.page.is_known
        assert told.page.state.startswith("Open with all margins: ")


@pytest.mark.parametrize(
    ("dossier", "why"),
    [
        (with_table(exposure=None), "exposure not said"),
        (with_table(shore=None), "nobody said what waves meet there"),
        (
            with_table(shore=Shore.SAND, shut_above_m=1.7),
            "nobody said how the sea will be",
        ),
        (with_table(is_tidal=None), "nobody said whether the sea can shut it"),
        (with_station(exposure=None), "exposure not said"),
    ],
)
def test_what_the_checks_do_not_know_is_open_nowhere(
    dossier: Dossier, why: str
) -> None:
    (trip,) = dossier.trips
    found = tide_crossing(facts_of(dossier, trip, at(12)), Limits())
    strip = strip_content(dossier, Choice(trip.day, trip_id=trip.id), SETTINGS, at(12))
    page = tide_day(dossier, LEG.id, trip.day, SETTINGS).legs[0]
    day = local_day(trip.day, dossier.location.zone)
    words = passable_words(dossier, day, SETTINGS, trip).get(LEG.id)

    assert Severity.UNKNOWN in {finding.severity for finding in found}
    assert strip.tide.open == ()
    assert {p.text for p in strip.tide.doubtful} == {f"? open if … ({why})"}
    assert all(f"not known: {why}" in p.tip for p in strip.tide.doubtful)
    assert any(line.endswith(f"opening not known: {why}.") for line in strip.tide.foot)
    assert not any("Open with all margins" in line for line in strip.tide.foot)
    assert words in (None, f"opening not known: {why}")
    assert not page.is_known
    assert page.state.startswith("? By the tide alone it would be open ")
    assert page.state.endswith(f"; not known: {why}.")
    assert page.lines[-1] == "Predictions exclude weather and sea state."


@pytest.mark.parametrize(
    "dossier",
    [
        with_table(is_distorted=True),
        with_table(is_distorted=None),
        with_table(shore=Shore.ROCK, sea=SeaState.CALM),
    ],
)
def test_where_nothing_can_be_told_there_is_no_opening(dossier: Dossier) -> None:
    told = said(dossier)

    assert told.severity in (Severity.UNKNOWN, Severity.STOP)
    assert told.strip.open == told.strip.doubtful == ()
    assert told.words.startswith("opening not known")
    assert told.page.state.startswith("? not known.")


@pytest.mark.parametrize("datum", ["MLLW", "NAVD88"])
def test_a_station_of_which_nobody_said_where_it_lies_opens_nothing(
    datum: str,
) -> None:
    told = said(with_station(position=None, datum=datum))

    assert told.severity is Severity.UNKNOWN
    assert told.strip.open == ()
    assert told.words.startswith("opening not known")
    assert not told.page.is_known
    assert told.page.state.startswith("?")
    assert "“MLLW”, the tide station from “MLLW”" not in told.page.state


@pytest.mark.parametrize(
    ("dossier", "why"),
    [
        # A datum that the whole country is levelled to holds at a far station too.
        (with_station(position=FAR, datum="NAVD88"), "station 31.0 km away"),
        (
            with_station(beyond=None),
            "the station may lie round a headland or behind a bar",
        ),
    ],
)
def test_what_the_checks_caution_about_is_open_with_care(
    dossier: Dossier, why: str
) -> None:
    told = said(dossier)

    assert told.severity is Severity.CAUTION
    assert {passage.text for passage in told.strip.open} == {"open ▲"}
    assert all(f"open, with care: {why}" in p.tip for p in told.strip.open)
    assert told.words.startswith("open ▲ by prediction ")
    assert told.words.endswith(f", with care: {why}")
    assert told.page.state.startswith("▲ Open with all margins, with care: ")
    assert told.page.state.endswith(f"; {why}.")


def test_a_beach_face_is_open_once_the_trip_says_the_sea_is_calm() -> None:
    told = said(with_table(shore=Shore.SAND, shut_above_m=1.7, sea=SeaState.CALM))

    assert told.severity is Severity.CLEAR
    assert {passage.text for passage in told.strip.open} == {"open"}


def test_of_two_trips_on_a_day_neither_says_the_sea_for_the_other() -> None:
    calm = with_table(shore=Shore.SAND, shut_above_m=1.7, sea=SeaState.CALM)
    other = replace(TRIP, id=LOCATION.id, sea=SeaState.HEAVY)
    both = replace(calm, trips=(*calm.trips, other))
    day = local_day(TRIP.day, LOCATION.zone)

    words = passable_words(both, day, SETTINGS)[LEG.id]

    assert words == "opening not known: nobody said how the sea will be"


def test_a_table_that_has_a_part_of_the_day_is_heard_in_it() -> None:
    whole = with_table()
    (table,) = whole.tide_tables
    turns = [turn for turn in table.turns if at(6) <= turn.instant <= at(23)]
    lower = tuple(replace(turn, height_m=turn.height_m + 1.0) for turn in turns)
    part = replace(table, id=LOCATION.id, turns=lower)

    told = said(replace(whole, tide_tables=(part, table)))

    assert told.severity is Severity.STOP
    assert told.strip.open == ()
    assert told.words == "opening not known: another tide table has it shut"


def test_a_spot_that_the_checks_do_not_know_is_dry_nowhere() -> None:
    spot = replace(
        BAR_END, level_datum="Chart datum", flooded_above_m=3.0, shore=Shore.SHELTERED
    )
    choice = Choice(DAY, spot.id)

    for dossier, why in (
        (coast_with(exposure=None), "exposure not said"),
        (DOSSIER, "nobody said what waves meet there"),
    ):
        shore = None if dossier is DOSSIER else spot.shore
        here = replace(dossier, vantage_points=(replace(spot, shore=shore),))
        strip = strip_content(here, choice, SETTINGS, at(12)).tide
        page = tide_day(here, spot.id, DAY, SETTINGS).legs[0]

        assert strip.stands == ()
        assert f"Bar end: dry hours not known: {why}." in strip.foot
        assert not page.is_known
        assert page.state.startswith("? By the tide alone it would be dry ")
        assert page.state.endswith(f"; not known: {why}.")


def test_a_spot_of_which_all_is_said_is_dry() -> None:
    spot = replace(
        BAR_END, level_datum="Chart datum", flooded_above_m=3.0, shore=Shore.SHELTERED
    )
    here = replace(DOSSIER, vantage_points=(spot,))

    strip = strip_content(here, Choice(DAY, spot.id), SETTINGS, at(12)).tide
    page = tide_day(here, spot.id, DAY, SETTINGS).legs[0]

    assert {passage.text for passage in strip.stands} == {"Bar end: dry"}
    assert page.is_known
    assert page.state.startswith("Dry with all margins: ")


def test_a_person_s_own_margins_count_on_strip_map_and_page_alike() -> None:
    dossier = with_table()
    (trip,) = dossier.trips
    day = local_day(trip.day, dossier.location.zone)
    own = replace(SETTINGS, limits=(("margins.open_coast_m", "0.01"),))
    at_strip = Choice(trip.day, trip_id=trip.id)

    usual, looser = (
        (
            passable_words(dossier, day, settings, trip)[LEG.id],
            tide_day(dossier, LEG.id, trip.day, settings).legs[0].state,
            len(strip_content(dossier, at_strip, settings, at(12)).tide.open),
        )
        for settings in (SETTINGS, own)
    )

    assert usual[0] != looser[0]
    assert usual[1] != looser[1]
    assert looser[0].startswith("open by prediction")
    assert looser[2] > 0
