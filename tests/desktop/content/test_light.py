"""Tests for what the Light page says."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta

import pytest

from fieldtrip.almanac.second_opinion import opinion_words
from fieldtrip.desktop.content.light import (
    DOES_NOT_OCCUR,
    NO_LOCATION,
    LightDay,
    light_day,
    light_minute,
    subjects_of,
)
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, destination
from fieldtrip.places.records import Location
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.second_opinion import SecondOpinion
from fieldtrip.sky.site import Site
from fieldtrip.trips.dossier import Dossier
from fieldtrip.wording import bearing_text, clock_text
from tests.desktop.strip_story import BAR_END, DAY, DOSSIER, GULLY, KEEL, TOWER, at

SITE = Site(BAR_END.position, 5.6)


def day_of(dossier: Dossier | None = DOSSIER, day: date = DAY) -> LightDay:
    return light_day(dossier, BAR_END.id, day, Settings())


def facts(
    dossier: Dossier = DOSSIER,
    hour: int = 16,
    minute: int = 12,
    settings: Settings | None = None,
) -> dict[str, str]:
    page = light_minute(
        dossier, BAR_END.id, TOWER.id, at(hour, minute), settings or Settings()
    )
    assert page is not None
    return dict(page.facts)


def test_every_event_of_the_engine_has_a_row_with_its_time_and_azimuth() -> None:
    events = day_events(SITE, DAY, KEEL.zone).events
    rows = day_of().rows
    assert len(rows) == len(events) > 15
    for row, event in zip(rows, events, strict=True):
        assert row.time == clock_text(event.instant, KEEL.zone, Settings())
        assert row.azimuth == bearing_text(event.azimuth_deg)
        assert row.instant is not None
        assert abs(row.instant - event.instant) <= timedelta(seconds=30)


def test_what_does_not_occur_is_said_and_cannot_be_gone_to() -> None:
    # Source: USNO, "Rise, Set, and Twilight Definitions": inside the Arctic circle the
    # Sun does not rise around the December solstice.
    far = Location(
        name="Far", position=Position(78.2, 15.6), zone="Arctic/Longyearbyen"
    )
    rows = {
        row.name: row for row in day_of(Dossier(location=far), date(2026, 12, 21)).rows
    }
    assert rows["sunrise"].time == f"{DOES_NOT_OCCUR}: the Sun stays down"
    assert rows["civil dawn"].time == DOES_NOT_OCCUR
    assert rows["sunrise"].instant is None


def test_times_are_the_place_s_own_and_its_zone_is_named() -> None:
    summer = day_of(day=date(2026, 7, 1))
    sunset = day_events(SITE, date(2026, 7, 1), KEEL.zone).first(EventName.SUNSET)
    assert sunset is not None
    row = next(row for row in summer.rows if row.name == "sunset")
    assert row.time == f"{sunset.instant + timedelta(hours=1, seconds=30):%H:%M}"
    assert summer.heading == "Wednesday 1 July 2026, times in IST (UTC+1)"


def test_the_second_opinion_agrees_on_an_ordinary_day() -> None:
    page = day_of()
    assert page.opinion.startswith("A second computation (astral) agrees within ")
    assert "nothing about hills on the horizon" in page.opinion
    assert not page.is_opinion_caution


@pytest.mark.parametrize(
    ("opinion", "start", "is_caution"),
    [
        (SecondOpinion(8, 3.2, (), ()), "A second computation (astral) agrees", False),
        (SecondOpinion(8, 60.0, (), ()), "A second computation (astral) agrees", False),
        (SecondOpinion(8, 60.1, (), ()), "▲ A second computation", True),
        (SecondOpinion(7, 3.0, (EventName.SUNSET,), ()), "▲ A second", True),
        (SecondOpinion(7, 3.0, (), (EventName.SUNSET,)), "▲ A second", True),
        (SecondOpinion(0, None, (), ()), "? There was nothing to compare", False),
        (SecondOpinion(0, None, (EventName.SUNSET,), ()), "▲ A second", True),
    ],
)
def test_a_second_opinion_that_differs_is_a_caution(
    opinion: SecondOpinion, start: str, is_caution: bool
) -> None:
    text, found = opinion_words(opinion)
    assert text.startswith(start)
    assert found is is_caution
    if opinion.missing or opinion.extra:
        assert "sunset" in text


def test_agreement_is_never_told_smaller_than_it_is() -> None:
    assert "within 4 s" in opinion_words(SecondOpinion(8, 3.2, (), ()))[0]


def test_sun_and_moon_stand_where_the_engine_has_them() -> None:
    sun = sky_position(Body.SUN, SITE, at(16, 12))
    said = facts()
    assert said["Sun"] == (
        f"azimuth {bearing_text(sun.azimuth_deg)}, {sun.apparent_altitude_deg:.1f}° up"
    )
    assert said["Light"] == "golden hour"
    assert said["Moon"].startswith("azimuth ")
    assert said["Moon"].endswith("%\N{NO-BREAK SPACE}lit")


@pytest.mark.parametrize(
    ("turn_deg", "words"),
    [
        (0.0, "back light, the Sun straight behind the subject"),
        (180.0, "front light, the Sun straight behind the camera"),
        (90.0, "side light from the left, the Sun 90° off the line of sight"),
        (-90.0, "side light from the right, the Sun 90° off the line of sight"),
    ],
)
def test_light_falls_on_the_subject_from_the_side_of_the_sun(
    turn_deg: float, words: str
) -> None:
    # From the definitions: looking `turn` to the right of the Sun, it is on the left.
    sun = sky_position(Body.SUN, SITE, at(15))
    where = destination(BAR_END.position, sun.azimuth_deg + turn_deg, 500.0)
    tower = replace(TOWER, position=where)
    said = facts(replace(DOSSIER, subjects=(tower,)), 15, 0)
    assert said["Light on it"] == words
    assert said["Old signal tower"].endswith("500 m away")


def test_the_shadow_is_its_height_over_the_tangent_of_the_sun() -> None:
    # Source: plane trigonometry, as in TRADE: h / tan(altitude), away from the Sun.
    sun = sky_position(Body.SUN, SITE, at(16, 12))
    length_m = 18.0 / math.tan(math.radians(sun.apparent_altitude_deg))
    shadow = facts()["Its shadow"]
    assert shadow.startswith(f"falls toward {bearing_text(sun.azimuth_deg - 180.0)}, ")
    told_m = float(shadow.split(", ")[1].split()[0])
    assert told_m == pytest.approx(length_m, abs=5.0)


def test_unknown_height_and_a_sun_that_is_down_are_said() -> None:
    tower = replace(TOWER, height_m=None)
    flat = replace(DOSSIER, subjects=(tower,))
    assert "its length is not known" in facts(flat)["Its shadow"]
    night = facts(DOSSIER, 22)
    assert night["Light on it"] == "no direct light: the Sun is down"
    assert night["Its shadow"] == "none: the Sun is down"


def test_feet_are_used_where_preferred() -> None:
    said = facts(settings=Settings(length_unit=LengthUnit.FOOT))
    assert "ft" in said["Its shadow"]


def test_missing_choices_say_what_to_do_next() -> None:
    nobody = light_minute(DOSSIER, None, None, at(16), Settings())
    assert nobody is not None
    assert dict(nobody.facts)["Subject"].startswith("Choose a subject")
    no_view = light_minute(DOSSIER, None, TOWER.id, at(16), Settings())
    assert no_view is not None
    assert dict(no_view.facts)["Old signal tower"].startswith("Choose a vantage point")
    here = replace(TOWER, position=BAR_END.position)
    assert "no line of sight" in facts(replace(DOSSIER, subjects=(here,)))[TOWER.name]
    assert day_of(None).message == NO_LOCATION
    assert light_minute(None, None, None, at(16), Settings()) is None
    assert subjects_of(None) == ()


def test_a_height_that_is_not_known_is_said() -> None:
    page = light_day(DOSSIER, GULLY.id, DAY, Settings())
    assert "its height is not known" in page.seen


def test_beyond_the_sky_s_years_there_is_one_sentence() -> None:
    with pytest.raises(UserError):
        day_of(day=date(1850, 1, 1))
