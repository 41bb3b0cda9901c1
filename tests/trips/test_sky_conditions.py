"""Conditions of the sky, each beside a plain loop over the sky's positions."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName, events_between
from fieldtrip.sky.light import Side, light_on_subject
from fieldtrip.sky.moon import moon_phase
from fieldtrip.sky.positions import SkyPosition, sky_position
from fieldtrip.sky.site import Site
from fieldtrip.times import Span
from fieldtrip.trips import wanted
from fieldtrip.trips.conditions import answer_for, spans_for
from fieldtrip.trips.sight import sight_of_top
from fieldtrip.trips.spans import total
from tests.trips.condition_story import (
    HERE,
    SPAN,
    TOWER,
    VANTAGE,
    assert_as_in_a_plain_loop,
    situation,
)

SITE = Site(HERE, 6.0)


def sun(instant: datetime) -> SkyPosition:
    """The Sun over the place."""
    return sky_position(Body.SUN, SITE, instant)


def moon(instant: datetime) -> SkyPosition:
    """The Moon over the place."""
    return sky_position(Body.MOON, SITE, instant)


def is_moon_up(instant: datetime) -> bool:
    """Upper limb above the almanac's horizon."""
    at = moon(instant)
    return at.altitude_deg + at.semidiameter_deg > -34.0 / 60.0


@pytest.mark.parametrize("half", list(wanted.DayHalf))
@pytest.mark.parametrize(("low_deg", "high_deg"), [(-6.0, 4.0), (20.0, 60.0)])
def test_the_sun_between_two_altitudes(
    half: wanted.DayHalf, low_deg: float, high_deg: float
) -> None:
    condition = wanted.SunBand(low_deg=low_deg, high_deg=high_deg, half=half)

    def is_wanted(instant: datetime) -> bool:
        at = sun(instant)
        is_morning = at.azimuth_deg < 180.0
        return low_deg < at.altitude_deg < high_deg and (
            half is wanted.DayHalf.EITHER
            or is_morning == (half is wanted.DayHalf.MORNING)
        )

    assert_as_in_a_plain_loop(answer_for(condition, situation()), is_wanted)


@pytest.mark.parametrize("name", [EventName.CIVIL_DUSK, EventName.MOONRISE])
def test_minutes_around_an_event_also_of_one_beyond_the_span(name: EventName) -> None:
    condition = wanted.AroundEvent(event=name, before_min=400.0, after_min=30.0)
    day = timedelta(days=1)
    events = [
        event.instant
        for event in events_between(SITE, SPAN.start - day, SPAN.stop + day)
        if event.name is name
    ]

    def is_wanted(instant: datetime) -> bool:
        return any(
            timedelta(minutes=-400) <= instant - event <= timedelta(minutes=30)
            for event in events
        )

    assert_as_in_a_plain_loop(answer_for(condition, situation()), is_wanted)


@pytest.mark.parametrize("body", list(Body))
@pytest.mark.parametrize("is_hilly", [False, True])
def test_a_body_near_a_bearing_and_between_two_altitudes(
    body: Body, is_hilly: bool
) -> None:
    condition = wanted.Alignment(
        body=body,
        bearing_deg=200.0,
        tolerance_deg=25.0,
        altitude_min_deg=1.0,
        altitude_max_deg=22.0,
    )
    skyline = 6.0 + 5.0 * np.sin(np.radians(np.arange(720.0)))
    here = replace(situation(), skyline_deg=skyline if is_hilly else None)

    def is_wanted(instant: datetime) -> bool:
        at = sky_position(body, SITE, instant)
        low = 1.0
        if is_hilly:
            ground = np.interp(at.azimuth_deg * 2.0, np.arange(720.0), skyline)
            low = max(low, float(ground))
        is_near = abs(at.azimuth_deg - 200.0) < 25.0
        return is_near and low < at.apparent_altitude_deg < 22.0

    assert_as_in_a_plain_loop(answer_for(condition, here), is_wanted)


def test_a_body_over_the_subjects_top() -> None:
    winter = Span(SPAN.start - timedelta(days=15), SPAN.start - timedelta(days=12))
    here = situation(winter)
    condition = wanted.Alignment(
        body=Body.SUN, tolerance_deg=5.0, altitude_max_deg=12.0, over_top=True
    )
    sight = sight_of_top(VANTAGE, TOWER)
    assert sight is not None

    def is_wanted(instant: datetime) -> bool:
        at = sun(instant)
        is_near = abs(at.azimuth_deg - sight.bearing_deg) < 5.0
        return is_near and (
            sight.apparent_altitude_deg < at.apparent_altitude_deg < 12.0
        )

    answer = answer_for(condition, here)

    assert_as_in_a_plain_loop(answer, is_wanted, winter, timedelta(minutes=3))


def test_without_heights_nobody_knows_what_stands_over_the_top() -> None:
    over = wanted.Alignment(body=Body.MOON, over_top=True)
    low = replace(situation(), subject=replace(TOWER, height_m=None))
    nowhere = replace(situation(), subject=None)

    assert spans_for(over, low) is None
    assert "how tall it is, is not known" in answer_for(over, low).why
    assert spans_for(over, nowhere) is None
    assert spans_for(wanted.Alignment(body=Body.MOON), nowhere) is None


@pytest.mark.parametrize("side", list(wanted.LightSide))
def test_the_side_from_which_the_sun_lights_the_subject(side: wanted.LightSide) -> None:
    summer = Span(SPAN.start - timedelta(days=120), SPAN.start - timedelta(days=117))
    bearing = situation().sight_deg
    assert bearing is not None

    def is_wanted(instant: datetime) -> bool:
        at = sun(instant)
        seen = light_on_subject(at.azimuth_deg, bearing).side
        return at.altitude_deg > -50.0 / 60.0 and seen is Side(side)

    answer = answer_for(wanted.LightFrom(side=side), situation(summer))

    assert_as_in_a_plain_loop(answer, is_wanted, summer)


def test_without_a_subject_the_side_of_the_light_is_not_known() -> None:
    here = replace(situation(), subject=None)
    condition = wanted.LightFrom(side=wanted.LightSide.BACK)

    assert spans_for(condition, here) is None
    assert "not both chosen" in answer_for(condition, here).why


@pytest.mark.parametrize("is_lit", [True, False])
def test_the_subject_is_lit_where_the_sun_clears_its_own_skyline(is_lit: bool) -> None:
    azimuths = np.arange(360.0)
    skyline = 6.0 + 5.0 * np.sin(np.radians(7.0 * azimuths))
    here = replace(situation(), subject_skyline_deg=skyline)
    site = Site(TOWER.position)

    def is_wanted(instant: datetime) -> bool:
        at = sky_position(Body.SUN, site, instant)
        ground = float(np.interp(at.azimuth_deg, azimuths, skyline))
        return (at.apparent_altitude_deg > ground) == is_lit

    answer = answer_for(wanted.SubjectLight(is_lit=is_lit), here)

    assert_as_in_a_plain_loop(answer, is_wanted)


@pytest.mark.parametrize("is_lit", [True, False])
def test_where_heights_are_missing_the_light_on_the_subject_is_not_known(
    is_lit: bool,
) -> None:
    skyline = np.full(360, 4.0)
    skyline[180:] = np.nan  # to the west
    here = replace(situation(), subject_skyline_deg=skyline)
    site = Site(TOWER.position)

    def is_wanted(instant: datetime) -> bool | None:
        at = sky_position(Body.SUN, site, instant)
        if at.azimuth_deg < 179.0:
            return (at.apparent_altitude_deg > 4.0) == is_lit
        # Nobody on Earth sees lower than three degrees below the horizontal.
        return None if at.apparent_altitude_deg > -3.0 else not is_lit

    answer = answer_for(wanted.SubjectLight(is_lit=is_lit), here)

    assert_as_in_a_plain_loop(answer, is_wanted)
    assert "are not all known" in answer.why


def test_where_heights_are_missing_an_alignment_is_not_known() -> None:
    skyline = np.full(360, 2.0)
    skyline[190:230] = np.nan
    here = replace(situation(), skyline_deg=skyline)

    for bearing, is_known in ((170.0, True), (210.0, False)):
        condition = wanted.Alignment(
            body=Body.SUN, bearing_deg=bearing, altitude_max_deg=60.0
        )
        answer = answer_for(condition, here)

        assert bool(answer.holds) is is_known
        assert bool(answer.unknown) is not is_known
        assert bool(answer.why) is not is_known


def test_known_ground_before_unknown_ground_hides_the_sun_for_certain() -> None:
    least = np.full(360, 30.0)  # the Sun never stands so high in these days
    skyline = np.full(360, np.nan)
    here = replace(
        situation(), subject_skyline_deg=skyline, subject_skyline_least_deg=least
    )

    answer = answer_for(wanted.SubjectLight(is_lit=False), here)

    assert answer.holds == (here.span,)
    assert answer.unknown == ()


def test_without_its_skyline_nobody_knows_whether_the_subject_is_lit() -> None:
    assert spans_for(wanted.SubjectLight(is_lit=True), situation()) is None


@pytest.mark.parametrize("wish", list(wanted.MoonWish))
def test_the_moon_up_down_or_low_in_twilight(wish: wanted.MoonWish) -> None:
    # A span in which the Moon is old, and rises before the Sun.
    def is_wanted(instant: datetime) -> bool:
        match wish:
            case wanted.MoonWish.UP:
                return is_moon_up(instant)
            case wanted.MoonWish.DOWN:
                return not is_moon_up(instant)
            case wanted.MoonWish.LOW_IN_TWILIGHT:
                is_twilight = -12.0 < sun(instant).altitude_deg < -50.0 / 60.0
                is_low = moon(instant).altitude_deg < 10.0
                return is_moon_up(instant) and is_low and is_twilight

    answer = answer_for(wanted.MoonIs(wish=wish), situation())

    assert_as_in_a_plain_loop(answer, is_wanted)


@pytest.mark.parametrize("is_waxing", [None, True, False])
def test_so_much_of_the_moon_is_lit(is_waxing: bool | None) -> None:
    condition = wanted.MoonLit(
        least_percent=5.0, most_percent=60.0, is_waxing=is_waxing
    )
    month = Span(SPAN.start, SPAN.start + timedelta(days=40))

    def is_wanted(instant: datetime) -> bool:
        phase = moon_phase(SITE, instant)
        return 0.05 < phase.illuminated_fraction < 0.6 and is_waxing in (
            None,
            phase.is_waxing,
        )

    answer = answer_for(condition, situation(month))

    assert_as_in_a_plain_loop(answer, is_wanted, month, timedelta(hours=3))


def test_any_moon_is_any_time() -> None:
    answer = answer_for(wanted.MoonLit(), situation())

    assert answer.holds == (SPAN,)


def test_the_galactic_centre_high_in_the_dark() -> None:
    summer = Span(SPAN.start - timedelta(days=75), SPAN.start - timedelta(days=69))
    condition = wanted.GalacticCentreUp(above_deg=8.0)

    def is_wanted(instant: datetime) -> bool:
        centre = sky_position(Body.GALACTIC_CENTRE, SITE, instant)
        return centre.altitude_deg > 8.0 and sun(instant).altitude_deg < -18.0

    answer = answer_for(condition, situation(summer))

    assert_as_in_a_plain_loop(answer, is_wanted, summer, timedelta(minutes=5))


def test_a_sun_that_never_sets_is_up_all_day() -> None:
    summer = Span(
        datetime.fromisoformat("2027-06-20T00:00Z"),
        datetime.fromisoformat("2027-06-22T00:00Z"),
    )
    north = replace(situation(summer), site=Site(replace(HERE, lat_deg=75.0)))

    answer = answer_for(wanted.SunBand(low_deg=-0.8, high_deg=90.0), north)
    night = answer_for(wanted.SunBand(low_deg=-90.0, high_deg=-0.8), north)

    assert answer.holds == (summer,)
    assert total(night.holds) == timedelta()
