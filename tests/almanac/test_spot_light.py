"""First and last sun on a spot, in words, on the Light page and on the strip."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from fieldtrip.almanac.spot_light import (
    SpotLight,
    is_lit,
    moments,
    next_sun,
    spot_light,
    spot_lights,
)
from fieldtrip.almanac.spots import Skyline, spot_of
from fieldtrip.arrays import Array
from fieldtrip.desktop.content.day_strip import Choice, strip_content
from fieldtrip.desktop.content.light import (
    NO_HEIGHTS,
    LightDay,
    light_day,
    light_minute,
)
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.terrain.horizon import Horizon
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier
from tests.desktop.strip_story import BAR_END, DAY, KEEL, TOWER, at

STORY = Dossier(location=KEEL, vantage_points=(BAR_END,), subjects=(TOWER,))
SPAN = local_day(DAY, KEEL.zone)
HIGH_DEG = 8.0


def skyline(
    record: VantagePoint | Subject,
    altitudes_deg: Array | float,
    away_m: float = 5_000.0,
    error_deg: float = 0.05,
) -> Skyline:
    """Of one height all round, or of one for every degree."""
    shape = np.zeros(360)
    horizon = Horizon(
        record.position,
        4.0,
        1.6,
        np.arange(360, dtype=np.float64),
        shape + altitudes_deg,
        shape + away_m,
        shape + error_deg,
        np.ones(360, np.bool_),
    )
    return Skyline(spot_of(record), horizon)


def light_of(line: Skyline) -> SpotLight:
    light = spot_light(line, SPAN)
    assert light is not None
    return light


def page(*lines: Skyline) -> LightDay:
    return light_day(STORY, BAR_END.id, DAY, Settings(), lines)


def test_the_sun_comes_when_its_upper_limb_clears_the_skyline() -> None:
    first, last = (
        moment
        for moment in moments(light_of(skyline(BAR_END, HIGH_DEG)))
        if moment.is_sun
    )

    assert (first.name, last.name) == ("first sun on Bar end", "last sun on Bar end")
    for moment in (first, last):
        sun = sky_position(Body.SUN, Site(BAR_END.position, 5.6), moment.time.instant)
        limb_deg = sun.apparent_altitude_deg + sun.semidiameter_deg
        assert limb_deg == pytest.approx(HIGH_DEG, abs=0.01)


def test_a_peak_in_its_way_hides_the_sun_for_a_while() -> None:
    altitudes = np.zeros(360)
    altitudes[175:186] = 40.0  # in the south, where the Sun stands 22 degrees high

    found = [m for m in moments(light_of(skyline(BAR_END, altitudes))) if m.is_sun]

    assert [m.words for m in found] == [
        "first sun", "sun hidden", "sun again", "last sun",
    ]  # fmt: skip
    assert found[1].time.azimuth_deg == pytest.approx(174.5, abs=0.6)


def test_a_near_crest_is_a_guess_and_says_so() -> None:
    near = skyline(BAR_END, HIGH_DEG, away_m=40.0, error_deg=3.0)

    content = page(near)

    last = next(row for row in content.rows if row.name == "last sun on Bar end")
    minutes = int(last.time.split("±")[1].split()[0])
    assert minutes > 15  # the Sun sinks by about 8 degrees an hour here
    assert (
        "last sun on Bar end: the ground that hides it is near" in content.on_the_spot
    )


def test_times_on_the_spot_stand_among_the_almanacs() -> None:
    content = page(skyline(BAR_END, HIGH_DEG))

    names = [row.name for row in content.rows if row.instant is not None]
    assert names.index("sunrise") < names.index("first sun on Bar end")
    assert names.index("last sun on Bar end") < names.index("sunset")
    instants = [row.instant for row in content.rows if row.instant is not None]
    assert instants == sorted(instants)


def test_a_long_name_leaves_room_for_the_azimuth() -> None:
    long = replace(BAR_END, name="The slab below the old coastguard lookout")

    first = moments(light_of(skyline(long, HIGH_DEG)))[0]

    assert first.name.endswith(" The slab below the ol…")


def test_the_moon_comes_and_goes_over_the_skyline_too() -> None:
    content = page(skyline(BAR_END, HIGH_DEG))

    names = [row.name for row in content.rows if row.instant is not None]
    over = "moonrise at Bar end"
    assert names.index("moonrise") < names.index(over)
    assert "moonset at Bar end" in names


def test_a_spot_that_no_sun_reaches_says_so() -> None:
    content = page(skyline(BAR_END, 60.0))

    row = next(row for row in content.rows if row.name == "sun on Bar end")
    assert row.time == "no direct sun on this day"


def test_without_heights_the_page_says_how_to_add_some() -> None:
    assert page(Skyline(spot_of(BAR_END))).on_the_spot == NO_HEIGHTS
    assert page().on_the_spot == ""
    waiting = page(Skyline(spot_of(BAR_END), is_waiting=True))
    assert "being worked out" in waiting.on_the_spot
    trouble = page(Skyline(spot_of(BAR_END), trouble="A file is gone."))
    assert trouble.on_the_spot == "A file is gone."


def test_minutes_of_light_are_counted_at_spot_and_subject() -> None:
    lights = spot_lights((skyline(BAR_END, HIGH_DEG), skyline(TOWER, 0.0)), SPAN)
    last = light_of(skyline(BAR_END, HIGH_DEG)).found.last_sun
    assert last is not None
    instant = last.instant - timedelta(minutes=20)

    minute = light_minute(STORY, BAR_END.id, TOWER.id, instant, Settings(), lights)

    assert minute is not None
    facts = dict(minute.facts)
    assert facts["Sun on Bar end"].startswith("20 min left, until ")
    assert int(facts["Sun on Old signal tower"].split()[0]) > 60


def test_before_and_after_its_light_a_spot_says_when_it_comes() -> None:
    lights = spot_lights((skyline(BAR_END, HIGH_DEG),), SPAN)

    def fact(hour: int) -> str:
        minute = light_minute(STORY, BAR_END.id, None, at(hour), Settings(), lights)
        assert minute is not None
        return dict(minute.facts)["Sun on Bar end"]

    assert fact(6).startswith("none until 0")
    assert fact(20) == "none, and none comes again on this day"


def test_light_of_another_place_or_day_is_not_shown() -> None:
    other = spot_lights((skyline(TOWER, 0.0),), SPAN)

    minute = light_minute(STORY, BAR_END.id, None, at(12), Settings(), other)

    assert minute is not None
    assert not any(name.startswith("Sun on") for name, _ in minute.facts)


def test_the_strip_marks_when_the_sun_leaves_the_spot() -> None:
    content = strip_content(
        STORY,
        Choice(DAY, BAR_END.id),
        Settings(),
        at(9),
        (skyline(BAR_END, HIGH_DEG), skyline(TOWER, -0.05)),
    )

    marks = [mark for mark in content.light.marks if mark.is_spot]
    assert [mark.texts[0][6:] for mark in marks] == [
        "sun reaches Bar end",
        "sun leaves Bar end",
    ]  # the tower's are the almanac's own, to the minute or two


def test_lit_or_not_is_told_for_every_minute() -> None:
    light = light_of(skyline(BAR_END, HIGH_DEG))
    first, last = light.found.first_sun, light.found.last_sun
    assert first is not None
    assert last is not None

    assert is_lit(light, first.instant - timedelta(minutes=1)) is None
    assert is_lit(light, first.instant + timedelta(minutes=1)) == last.instant
    assert next_sun(light, at(1)) == first.instant
    assert next_sun(light, last.instant) is None
    assert math.isfinite(light.horizon.ground_m)
