"""A secondary port typed figure by figure, against the almanacs' own turns."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from uuid import uuid4

import pytest

from fieldtrip.desktop.content.secondary_forms import (
    Form,
    differences_typed,
    figures_of,
)
from fieldtrip.desktop.content.secondary_typing import (
    NO_STANDARD,
    SecondaryTyped,
    SecondaryTypingContent,
    secondary_typing_content,
    typed_from,
)
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.tides.records import Exposure, Turn
from fieldtrip.tides.secondary import (
    HighAndLowOffsets,
    InterpolatedDifferences,
)
from fieldtrip.tides.sources import source_of_station
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.times import local_day
from tests.tides.published import annual_turns

SETTINGS = Settings()
JULY = date(2013, 7, 1)
COVE = Location(name="Invented cove", position=Position(-41.0, 174.0), zone="UTC")
FOOT_M = 0.3048


def turn(clock: str, height_m: float, is_high: bool) -> Turn:
    at = datetime(2013, 7, 1, int(clock[:2]), int(clock[2:]), tzinfo=UTC)
    return Turn(at, height_m, is_high)


def printed(name: str, *turns: Turn) -> Station:
    return Station(
        name=name,
        kind=StationKind.PRINTED,
        datum="Chart datum",
        turns=turns,
        is_distorted=False,
        source="an almanac",
    )


# Source: New Zealand Nautical Almanac 2013-14, pp. 30-31: standard port 0316 0.4, 0941
# 3.3, 1546 0.6, 2207 3.1; mean differences HW −0022, LW +0032; mean levels 1.92 and
# 1.3 m; ratio 0.74; the secondary port has 0919 2.3, 2145 2.2, 0348 0.2, 1618 0.3.
STANDARD = printed(
    "Standard port",
    turn("0316", 0.4, False),
    turn("0941", 3.3, True),
    turn("1546", 0.6, False),
    turn("2207", 3.1, True),
)
FIGURES: dict[str, float | None] = {
    "high_later": -22.0,
    "low_later": 32.0,
    "ratio": 0.74,
    "standard_mean": 1.92,
    "mean": 1.3,
}
TYPED = SecondaryTyped(
    standard_id=STANDARD.id,
    name="Invented haven",
    datum="Chart datum",
    unit="m",
    exposure=Exposure.OPEN_COAST,
    is_distorted=False,
    source="Nautical almanac 2013-14",
    form=Form.RATIO,
    figures=FIGURES,
)
# Rule: Admiralty Tide Tables, as corvidia.net explains it: 0000 and 1200 +0035, 0600
# and 1800 +0023; at springs of 4.2 m +1.1 m.  Low water's are made up.
BY_CLOCK: dict[str, float | None] = {
    "high_hour": 6.0,
    "high_first": 23.0,
    "high_second": 35.0,
    "high_springs": 4.2,
    "high_neaps": 3.2,
    "high_at_springs": 1.1,
    "high_at_neaps": 0.9,
    "low_hour": 0.0,
    "low_first": 10.0,
    "low_second": 20.0,
    "low_springs": 0.5,
    "low_neaps": 1.2,
    "low_at_springs": 0.1,
    "low_at_neaps": 0.2,
    "clock": 0.0,
}


def content(
    typed: SecondaryTyped, *stations: Station, today: date = JULY
) -> SecondaryTypingContent:
    return secondary_typing_content(typed, COVE, stations, today, SETTINGS)


def metres(text: str) -> float:
    return float(text.split()[0])


def test_the_new_zealand_almanacs_example_as_typed() -> None:
    read = content(TYPED, STANDARD)

    assert read.faults == ()
    assert [row[2] for row in read.rows] == ["03:48", "09:19", "16:18", "21:45"]
    heights = [metres(row[4]) for row in read.rows]
    assert heights == pytest.approx([0.2, 2.3, 0.3, 2.2], abs=0.05 + 0.005)
    assert read.rows[1][:2] == ("high", "09:41, 3.30 m")
    assert read.summary == "Today, Mon 1 Jul 2013, in UTC"
    assert read.notes == ()


def test_what_is_stored_is_the_tide_that_was_shown() -> None:
    read = content(TYPED, STANDARD)

    assert read.station is not None
    assert read.station.faults() == []
    source = source_of_station(read.station, (STANDARD,))
    assert source is not None
    turns = source.curve.turns(local_day(JULY, "UTC"))
    assert [f"{t.instant:%H:%M}" for t in turns] == [row[2] for row in read.rows]


def test_mystery_bay_from_port_townsend_as_typed_in_feet() -> None:
    # Source: NOAA CO-OPS, annual tables of 2017: Mystery Bay (9444971) is Port
    # Townsend (9444900) with high × 0.95, +15 min and low × 0.99, +52 min.
    townsend = printed("Port Townsend", *annual_turns("port_townsend"))
    figures = {
        "high_later": 15.0,
        "high_factor": 0.95,
        "low_later": 52.0,
        "low_factor": 0.99,
    }
    typed = replace(
        TYPED,
        standard_id=townsend.id,
        unit="ft",
        form=Form.OFFSETS,
        figures=figures,
    )
    bay = replace(COVE, zone="America/Los_Angeles")
    day = date(2017, 6, 1)
    official = [
        t
        for t in annual_turns("mystery_bay")
        if local_day(day, bay.zone).contains(t.instant)
    ]

    read = secondary_typing_content(typed, bay, (townsend,), day, SETTINGS)

    assert read.faults == ()
    assert len(official) >= 3
    assert [row[3][-5:] for row in read.rows] == [
        f"{t.instant:%H:%M}" for t in official
    ]
    for row, found in zip(read.rows, official, strict=True):
        # Rounded to 0.1 foot at either port, and then to a centimetre.
        assert metres(row[4].replace("−", "-")) == pytest.approx(
            found.height_m, abs=0.1 * FOOT_M + 0.015
        )


def test_a_height_to_add_is_in_the_chosen_unit() -> None:
    # Source: NOAA CO-OPS: Marrowstone Point (9444972) is Port Townsend with high
    # +0.40 ft, +2 min and low −0.10 ft, +5 min.
    figures = {"high_later": 2.0, "high_add": 0.4, "low_later": 5.0, "low_add": -0.1}

    differences, faults = differences_typed(Form.OFFSETS, figures, "ft")

    assert faults == ()
    assert isinstance(differences, HighAndLowOffsets)
    high, low = differences.high, differences.low
    assert (high.later, low.later) == (timedelta(minutes=2), timedelta(minutes=5))
    assert (high.factor, low.factor) == (1.0, 1.0)
    # Source: a foot is 0.3048 m exactly, by the agreement of 1959.
    assert high.higher_m == pytest.approx(0.12192)
    assert low.higher_m == pytest.approx(-0.03048)


def test_differences_by_the_clock_as_typed() -> None:
    differences, faults = differences_typed(Form.CLOCK, BY_CLOCK, "m")

    assert faults == ()
    assert isinstance(differences, InterpolatedDifferences)
    # By hand from the rule: high water 0638 of 4.2 m becomes 0702, 5.3 m.
    found = differences.applied(turn("0638", 4.2, True))
    assert f"{found.instant:%H%M}" == "0702"
    assert found.height_m == pytest.approx(5.3, abs=0.05)
    # By hand: at 0600 of a clock an hour ahead, so 0500 UTC, the first column's.
    ahead, _ = differences_typed(Form.CLOCK, {**BY_CLOCK, "clock": 1.0}, "m")
    assert isinstance(ahead, InterpolatedDifferences)
    assert ahead.clock == timezone(timedelta(hours=1))
    assert f"{ahead.applied(turn('0500', 4.2, True)).instant:%H%M}" == "0523"


@pytest.mark.parametrize("unit", ["m", "cm", "ft"])
@pytest.mark.parametrize(
    ("form", "figures"),
    [
        (Form.RATIO, FIGURES),
        (
            Form.OFFSETS,
            {
                "high_later": 15.0,
                "high_factor": 0.95,
                "high_add": 0.4,
                "low_later": 52.0,
                "low_factor": 0.99,
                "low_add": -0.1,
            },
        ),
        (Form.CLOCK, {**BY_CLOCK, "standard_season": 0.1, "season": -0.2}),
    ],
)
def test_what_was_typed_comes_back_as_it_was(
    form: Form, figures: dict[str, float | None], unit: str
) -> None:
    differences, faults = differences_typed(form, figures, unit)

    assert faults == ()
    assert differences is not None
    again, found = figures_of(differences, unit)
    assert again is form
    assert dict(found) == pytest.approx(figures)


def test_a_changed_port_stays_itself_and_never_follows_from_itself() -> None:
    first = content(TYPED, STANDARD).station
    assert first is not None
    kept = replace(first, licence="for private use", year=2013)
    child = replace(kept, id=uuid4(), name="Child", standard_id=kept.id)
    stations = (STANDARD, kept, child)

    def changed(typed: SecondaryTyped) -> SecondaryTypingContent:
        return secondary_typing_content(typed, COVE, stations, JULY, SETTINGS, kept)

    assert changed(typed_from(kept)).station == kept
    assert changed(replace(typed_from(kept), standard_id=kept.id)).station is None
    by_child = changed(replace(typed_from(kept), standard_id=child.id))
    assert by_child.station is None
    assert any("this port, or missing" in fault for fault in by_child.faults)


def test_a_season_left_empty_is_a_caution() -> None:
    read = content(replace(TYPED, form=Form.CLOCK, figures=BY_CLOCK), STANDARD)

    assert read.station is not None
    assert any("season is left empty" in note for note in read.notes)


def test_what_nobody_said_stays_unknown_and_is_told() -> None:
    typed = replace(TYPED, exposure=None, is_distorted=None)

    read = content(typed, STANDARD)

    assert read.station is not None
    assert read.station.is_distorted is None
    assert read.station.exposure is None
    assert any("shallow or in an estuary" in note for note in read.notes)
    assert any("how open the port lies" in note for note in read.notes)


def test_a_day_beyond_the_standard_ports_table_is_not_made_up() -> None:
    read = content(TYPED, STANDARD, today=date(2026, 11, 14))

    assert read.summary.startswith("The standard port's table does not reach today.")
    assert "Mon 1 Jul 2013" in read.summary
    assert len(read.rows) == 4


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"standard_id": None}, NO_STANDARD),
        ({"name": " "}, "A tide station needs a name."),
        ({"datum": ""}, "Say which datum the heights count from."),
        ({"source": ""}, "Say where the station's tides come from."),
        ({"unit": ""}, "Choose the unit of the heights."),
        ({"form": None}, "Choose how the table gives the differences."),
        ({"figures": {**FIGURES, "ratio": None}}, "Still to type: ratio of the rise"),
        ({"figures": {**FIGURES, "low_later": 900.0}}, "Time difference, low water"),
        ({"figures": {**FIGURES, "ratio": -0.7}}, "Ratio of the rise and fall must"),
        (
            {"form": Form.OFFSETS, "figures": {"high_later": 1.0, "low_later": 1.0}},
            "Type a ratio or a height to add for high water",
        ),
        (
            {"form": Form.CLOCK, "figures": {**BY_CLOCK, "high_neaps": 5.0}},
            "High water at springs must be higher than at neaps.",
        ),
        (
            {"form": Form.CLOCK, "figures": {**BY_CLOCK, "low_neaps": 0.1}},
            "Low water at springs must be lower than at neaps.",
        ),
        (
            {
                "form": Form.OFFSETS,
                "figures": {
                    "high_later": 0.0,
                    "high_factor": 0.05,
                    "low_later": 0.0,
                    "low_factor": 1.0,
                },
            },
            "With these differences the tides cannot be told.",
        ),
    ],
)
def test_nothing_is_stored_while_something_is_wrong(
    changes: dict[str, object], fault: str
) -> None:
    typed = replace(TYPED, **changes)  # type: ignore[arg-type]

    read = content(typed, STANDARD)

    assert read.station is None
    assert any(each.startswith(fault) for each in read.faults)


def test_a_standard_port_without_a_tide_is_said() -> None:
    orphan = replace(STANDARD, kind=StationKind.SECONDARY, turns=())

    read = content(TYPED, orphan)

    assert read.station is None
    assert read.rows == ()
    assert any("its own standard port is not in this library" in f for f in read.faults)
