"""From where a body stands over a subject on a day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.where_from import WhereAsked, find_places
from fieldtrip.desktop.dialogs.where_from import WhereFromDialog
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, destination
from fieldtrip.places.records import (
    AccessRoute,
    Leg,
    Location,
    Subject,
    VantagePoint,
)
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.site import Site
from fieldtrip.store.store import Store
from fieldtrip.trips.aligned_places import WantedSky
from fieldtrip.trips.dossier import Dossier

DAY = date(2026, 11, 14)
ZONE = "Europe/Dublin"
BAY = Location(name="Bay", position=Position(49.6, -8.4), zone=ZONE)
TOWER = Subject(location_id=BAY.id, name="Tower", position=BAY.position)
(SUNSET,) = [
    event
    for event in day_events(Site(BAY.position), DAY, ZONE).events
    if event.name is EventName.SUNSET
]
# A kilometre from the tower, with the setting Sun behind it.
HEAD = VantagePoint(
    location_id=BAY.id,
    name="Head",
    position=destination(BAY.position, SUNSET.azimuth_deg + 180.0, 1000.0),
)
SIDE = VantagePoint(
    location_id=BAY.id,
    name="Side",
    position=destination(BAY.position, SUNSET.azimuth_deg + 90.0, 1000.0),
)
WAY = AccessRoute(location_id=BAY.id, name="Way")
LEG = Leg(
    route_id=WAY.id,
    number=1,
    name="Moor path",
    line=(
        destination(BAY.position, SUNSET.azimuth_deg + 175.0, 900.0),
        destination(BAY.position, SUNSET.azimuth_deg + 185.0, 900.0),
    ),
)
DOSSIER = Dossier(
    location=BAY,
    vantage_points=(HEAD, SIDE),
    subjects=(TOWER,),
    routes=(WAY,),
    legs=(LEG,),
)
SKY = WantedSky(body=Body.SUN, tolerance_deg=0.4, altitude_max_deg=1.0)
ASKED = WhereAsked(DOSSIER, TOWER.id, SKY, DAY, 1.0, Settings())


def test_the_spot_behind_which_the_sun_sets_is_found_and_no_other() -> None:
    content = find_places(ASKED)

    names = [row.name for row in content.rows]
    assert "Head" in names
    assert "Side" not in names
    head = content.rows[names.index("Head")]
    assert head.vantage_point_id == HEAD.id
    assert abs((head.best - SUNSET.instant).total_seconds()) < 600.0


def test_a_stretch_of_a_way_is_told_by_how_far_along_it_lies() -> None:
    (row,) = [row for row in find_places(ASKED).rows if row.vantage_point_id is None]

    assert row.name.startswith("Moor path, ")
    assert row.name.endswith(" along")
    assert "climb not known" in row.texts[3]


def test_a_galactic_centre_that_the_day_hides_says_so() -> None:
    # At 49.6° north it culminates some 11° high, and in December by day: the Sun is
    # next to it about the 18th.
    south = replace(HEAD, name="North", position=destination(BAY.position, 0.0, 1000.0))
    dossier = Dossier(location=BAY, vantage_points=(south,), subjects=(TOWER,))
    sky = WantedSky(
        body=Body.GALACTIC_CENTRE, altitude_min_deg=5.0, altitude_max_deg=20.0
    )

    winter, summer = (
        find_places(WhereAsked(dossier, TOWER.id, sky, day, 1.0, Settings()))
        for day in (date(2026, 12, 18), date(2026, 7, 15))
    )

    assert winter.rows[0].texts[2].endswith(", by day")
    assert ":" in summer.rows[0].texts[2]
    assert "by day" not in summer.rows[0].texts[2]


def test_where_nothing_is_seen_it_says_what_to_do() -> None:
    bare = replace(DOSSIER, vantage_points=(SIDE,), routes=(), legs=())

    content = find_places(replace(ASKED, dossier=bare))

    assert content.rows == ()
    assert content.heading.startswith("Nowhere here on Sat 14 Nov 2026")
    assert "Widen them" in content.heading


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (replace(ASKED, subject_id=None), "Choose a subject"),
        (
            replace(ASKED, sky=replace(SKY, altitude_min_deg=2.0)),
            "lower altitude must lie below",
        ),
        (
            replace(ASKED, dossier=replace(DOSSIER, vantage_points=(), legs=())),
            "neither a vantage point nor a way",
        ),
    ],
)
def test_what_cannot_be_asked_is_refused_in_a_sentence(
    asked: WhereAsked, words: str
) -> None:
    with pytest.raises(UserError, match=words):
        find_places(asked)


@pytest.fixture
def selection() -> Selection:
    selection = Selection(DAY, datetime(2026, 11, 14, 12, tzinfo=UTC))
    selection.choose(TOWER, BAY.id)
    return selection


@pytest.fixture
def dialog(
    qtbot: QtBot, store: Store, selection: Selection
) -> Iterator[WhereFromDialog]:
    library = Library(store)
    library.add("begin", BAY, HEAD, SIDE, TOWER, WAY, LEG)
    jobs = Jobs()
    dialog = WhereFromDialog(library, selection, Preferences(Settings()), jobs)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: dialog.content is not None)
    yield dialog
    jobs.stop()


def test_it_answers_at_once_and_goes_to_the_minute(
    dialog: WhereFromDialog, selection: Selection, qtbot: QtBot
) -> None:
    rows = dialog._rows
    place = next(n for n, row in enumerate(rows) if row.name == "Head")

    with qtbot.waitSignals([dialog.dayAsked, dialog.positionAsked]):
        dialog.go(place)

    assert selection.vantage_point_id == HEAD.id
    assert selection.subject_id == TOWER.id


def test_a_place_on_a_way_can_become_a_vantage_point(
    dialog: WhereFromDialog, qtbot: QtBot
) -> None:
    place = next(n for n, r in enumerate(dialog._rows) if r.vantage_point_id is None)
    dialog.table.setCurrentCell(place, 0)
    assert dialog.add_button.isEnabled()

    with qtbot.waitSignal(dialog.addAsked) as asked:
        dialog.add()

    assert asked.args == [dialog._rows[place].position]


def test_a_tolerance_of_nothing_is_refused(dialog: WhereFromDialog) -> None:
    dialog.tolerance.line.selectAll()
    QTest.keyClicks(dialog.tolerance.line, "0")
    QTest.keyClick(dialog.tolerance.line, Qt.Key.Key_Return)

    assert "0.001 to 45" in dialog.tolerance.fault.text()
    assert dialog.tolerance.value == 0.5
