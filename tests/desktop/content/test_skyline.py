"""Tests for the skyline chart's content: the ground against the sky of a day."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import uuid4

import numpy as np
import pytest

from fieldtrip.almanac.spots import Skyline, Spot, heights_end_m, spot_of
from fieldtrip.desktop.charts.skyline_scale import (
    SkyScale,
    grid_step_deg,
    point_of_compass,
)
from fieldtrip.desktop.content.elevation import NO_HEIGHTS
from fieldtrip.desktop.content.skyline import (
    SkylineContent,
    in_view,
    reading_at,
    skyline_content,
    skyline_minute,
)
from fieldtrip.desktop.content.skyline_page import (
    NO_VANTAGE,
    WAITING,
    skyline_page,
)
from fieldtrip.geo import Position, destination
from fieldtrip.places.records import Subject
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.terrain.horizon import Horizon
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.trips.dossier import Dossier
from tests.desktop.strip_story import BAR_END, DAY, KEEL, TOWER
from tests.terrain.elevation_story import source, write_tif

HERE = Position(49.606, -8.39)
SPOT = Spot(uuid4(), "Bar end", HERE, 1.6, 4.0)
ZONE = "Europe/Dublin"


def wall(altitude_deg: float = 5.0, away_m: float = 1000.0) -> Horizon:
    """A horizon of one height all round, whose north is open sea."""
    azimuths = np.arange(720, dtype=np.float64) * 0.5
    is_sea = azimuths < 90.0
    dip_deg = math.degrees(math.acos(6_371_000 / 0.87 / (6_371_000 / 0.87 + 5.6)))
    return Horizon(
        HERE,
        4.0,
        1.6,
        azimuths,
        np.where(is_sea, -dip_deg, altitude_deg),
        np.where(is_sea, 9_000.0, away_m),
        np.where(is_sea, 0.05, 0.4),
        azimuths < 300.0,
    )


def content(horizon: Horizon | None = None, **changed: object) -> SkylineContent:
    arguments: dict[str, object] = {"cell_m": 10.0, **changed}
    return skyline_content(
        SPOT,
        horizon or wall(),
        DAY,
        ZONE,
        Settings(),
        **arguments,  # type: ignore[arg-type]
    )


def test_a_direction_is_read_with_height_distance_and_doubt() -> None:
    assert reading_at(content(), 231.2) == (
        "azimuth 231° · skyline 5.0° up, give or take 0.4° · its crest 1.0 km away"
    )


def test_the_sea_is_called_the_sea() -> None:
    assert reading_at(content(), 45.0).startswith(
        "azimuth 45° · the sea’s horizon, 0.1°"
    )


def test_a_direction_without_heights_says_so() -> None:
    assert "heights are missing farther out" in reading_at(content(), 310.0)


def test_azimuths_are_read_all_round() -> None:
    assert reading_at(content(), -1.0) == reading_at(content(), 359.0)
    assert reading_at(content(), 359.9).startswith("azimuth 0°")


def test_near_ground_is_called_a_guess() -> None:
    near = content(wall(away_m=25.0))

    assert near.crest is not None
    assert near.crest.is_near[400]
    assert any("dashed" in note for note in near.notes)
    assert not any("dashed" in note for note in content().notes)


def test_notes_say_how_much_of_the_round_is_not_known() -> None:
    (note,) = [n for n in content().notes if "dotted" in n]
    assert note.startswith("In 17 % of all directions")  # 60 of 360 degrees
    (far,) = [n for n in content(ends_m=(2_100.0, 60_000.0)).notes if "dotted" in n]
    assert "the heights end 2.1 km to 60.0 km away: higher ground" in far


def test_the_kind_of_model_is_said() -> None:
    assert any("bare ground or of trees" in n for n in content().notes)
    assert any("trees and roofs, which" in n for n in content(is_surface=True).notes)
    assert not any("trees" in n for n in content(is_surface=False).notes)


def test_the_path_of_the_sun_is_where_the_sky_has_it() -> None:
    sun, moon = content().paths

    tick = next(tick for tick in sun.ticks if tick.text == "12:00")
    noon = sky_position(
        Body.SUN, Site(HERE, 5.6), datetime(2026, 11, 14, 12, tzinfo=UTC)
    )
    assert tick.azimuth_deg == pytest.approx(noon.azimuth_deg, abs=0.01)
    assert tick.altitude_deg == pytest.approx(noon.apparent_altitude_deg, abs=0.01)
    assert moon.name == "Moon"
    assert len(sun.ticks) == 25


def test_hours_are_those_of_the_place_when_clocks_change() -> None:
    autumn = skyline_content(
        SPOT, wall(), date(2026, 10, 25), ZONE, Settings(), cell_m=10.0
    )

    texts = [tick.text for tick in autumn.paths[0].ticks]
    assert texts.count("01:00") == 2  # the hour that comes twice


def test_the_minute_stands_where_the_path_goes() -> None:
    instant = datetime(2026, 11, 14, 15, 0, tzinfo=UTC)

    minute = skyline_minute(wall(), instant, ZONE, Settings())

    tick = next(t for t in content().paths[0].ticks if t.text == "15:00")
    assert minute.clock == "15:00"
    assert minute.sun_deg == pytest.approx((tick.azimuth_deg, tick.altitude_deg))


def test_a_subject_stands_on_its_ground_against_the_sky() -> None:
    at = destination(HERE, 90.0, 1000.0)
    subject = Subject(
        location_id=KEEL.id, name="Tower", position=at, height_m=20.0, ground_m=5.6
    )

    seen = in_view(wall(), subject)

    assert seen is not None
    assert seen.azimuth_deg == pytest.approx(90.0)
    # Level with the eye a kilometre away: 0.07 m of the Earth's curve below it.
    assert seen.foot_deg == pytest.approx(
        math.degrees(math.atan2(-0.068, 1000)), abs=1e-3
    )
    assert seen.top_deg == pytest.approx(
        math.degrees(math.atan2(19.932, 1000)), abs=1e-3
    )
    assert in_view(wall(), replace(subject, ground_m=None)) is None
    assert in_view(wall(), None) is None


def test_the_middle_of_the_chart_is_where_the_sun_culminates() -> None:
    south = replace(SPOT, position=Position(-49.6, 170.0))
    horizon = replace(wall(), position=south.position)

    made = skyline_content(
        south, horizon, DAY, "Pacific/Auckland", Settings(), cell_m=10.0
    )

    assert content().middle_deg == 180.0
    assert made.middle_deg == 0.0


def test_lengths_follow_the_settings() -> None:
    made = skyline_content(
        SPOT, wall(), DAY, ZONE, Settings(length_unit=LengthUnit.FOOT), cell_m=10.0
    )

    assert made.notes[0] == (
        "Seen 18 ft above sea level. The elevation model has a height every 33 ft."
    )


def test_the_page_says_why_there_is_no_skyline() -> None:
    dossier = Dossier(location=KEEL, vantage_points=(BAR_END,), subjects=(TOWER,))
    ground = KnownGround()
    spot = spot_of(BAR_END)

    def message(skyline: Skyline | None, at: Dossier | None = dossier) -> str:
        return skyline_page(at, skyline, None, DAY, Settings(), ground).message

    assert "Choose a location" in message(None, None)
    assert message(None) == NO_VANTAGE
    assert message(Skyline(spot, is_waiting=True)) == WAITING
    assert message(Skyline(spot, trouble="A file is gone.")) == "A file is gone."
    assert message(Skyline(spot)) == NO_HEIGHTS
    assert skyline_page(dossier, Skyline(spot), None, DAY, Settings(), ground).can_add


def test_the_page_doubts_a_typed_height_far_from_the_models(tmp_path: Path) -> None:
    level = np.full((200, 200), 30.0, np.float32)
    file = write_tif(
        tmp_path / "level.tif", level, north=49.616, west=-8.405, step=1.5e-4
    )
    ground = KnownGround((source(file),))
    dossier = Dossier(location=KEEL, vantage_points=(BAR_END,))

    def notes(spot: Spot) -> str:
        line = Skyline(spot, wall())
        return " ".join(
            skyline_page(dossier, line, None, DAY, Settings(), ground).notes
        )

    # Bar end stands at 4 m, as typed.
    assert "has the ground here at 30 m, and 4 m is typed" in notes(spot_of(BAR_END))
    right = replace(BAR_END, ground_m=27.0)
    assert "is typed" not in notes(spot_of(right))
    least, most = heights_end_m(ground, HERE, 60_000.0)
    # 200 cells of 11 m by 16.7 m of latitude; edges within a tenth.
    assert 700.0 < least < 1_300.0
    assert 1_500.0 < most < 3_200.0
    assert heights_end_m(ground, HERE, 150.0) == (150.0, 150.0)


def test_a_subject_without_a_height_counts_a_metre_above_its_ground() -> None:
    low = replace(TOWER, height_m=None)

    assert spot_of(TOWER).eye_m == 18.0
    assert spot_of(low).eye_m == 1.0


def scale(**changed: float) -> SkyScale:
    values = {
        "left_deg": 0.0, "width_deg": 360.0, "bottom_deg": -4.0, "top_deg": 20.0,
        "x": 40.0, "y": 5.0, "width": 720.0, "height": 240.0,
    }  # fmt: skip
    return SkyScale(**{**values, **changed})


def test_azimuths_and_pixels_match_both_ways() -> None:
    whole = scale(left_deg=300.0, width_deg=90.0)

    for azimuth in (300.0, 345.0, 0.0, 29.0):
        assert whole.azimuth_at(whole.x_of(azimuth)) == pytest.approx(azimuth)
    assert whole.is_within(350.0)
    assert not whole.is_within(40.0)
    assert whole.y_of(20.0) == 5.0
    assert whole.y_of(-4.0) == 245.0


def test_zooming_keeps_what_stands_under_the_pointer() -> None:
    near = scale().zoomed(4.0, 400.0)

    assert near.width_deg == 90.0
    assert near.x_of(180.0) == pytest.approx(400.0)
    assert scale().zoomed(0.1, 400.0).width_deg == 360.0
    assert scale().zoomed(100.0, 400.0).width_deg == 20.0


def test_labels_of_azimuths_have_room() -> None:
    assert grid_step_deg(360.0, 720.0, 42.0) == 30.0
    assert grid_step_deg(20.0, 720.0, 42.0) == 2.0
    assert [point_of_compass(a) for a in (0.0, 45.0, 90.0, 30.0)] == [
        "N",
        "NE",
        "E",
        "",
    ]
