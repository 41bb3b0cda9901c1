"""The main job from an empty library to a checked trip, through the window.

Source of all tide figures: NOAA CO-OPS, San Francisco (9414290), official high and
low waters of 15 to 21 August 2026 above MLLW, UTC (tests/data/SOURCES.md).
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip import commands
from fieldtrip.desktop.dialogs.tide_table import TideTableDialog
from fieldtrip.desktop.fields import ChoiceField, Field, TextField
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.window import Window
from fieldtrip.geo import Position, bearing_deg
from fieldtrip.places.records import Leg, Location, Subject, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.store.store import Store
from fieldtrip.tides.records import Exposure, TideTable
from fieldtrip.tides.windows import windows_below
from fieldtrip.trips.records import Trip, Walk

pytestmark = [pytest.mark.web, pytest.mark.slow]

DAY = date(2026, 8, 15)
NOW = datetime(2026, 8, 14, 18, tzinfo=UTC)
ZONE = "America/Los_Angeles"
TABLE = Path(__file__).parents[1] / "data" / "noaa_san_francisco_2026-08.csv"
ROCK = Position(37.8085, -122.4785)


@pytest.fixture
def library_file(tmp_path: Path) -> Path:
    return tmp_path / "coast.fieldtrip"


@pytest.fixture
def open_window(
    tmp_path: Path, library_file: Path, qtbot: QtBot
) -> Iterator[Callable[[], Window]]:
    windows: list[Window] = []

    def opened() -> Window:
        window = Window(
            Store.open(library_file),
            Preferences(Settings(person="Ada")),
            Paths.below(tmp_path / "own"),
            lambda: NOW,
        )
        windows.append(window)
        with qtbot.waitSignal(window.map.ready, timeout=30_000):
            window.show()
        return window

    yield opened
    for window in windows:
        window.close()
        window.deleteLater()


def verb(window: Window, text: str) -> None:
    """Trigger a line of the menu bar."""
    for action in window.findChildren(QAction):
        if action.text().replace("&", "") == text:
            action.trigger()
            return
    raise AssertionError(f"no verb {text}")


def place_typed(window: Window, coordinates: str) -> None:
    """Type coordinates into the bar over the map."""
    bar = window.map.bar
    assert bar.isVisible()
    bar.line.setFocus()
    QTest.keyClicks(bar.line, coordinates)
    QTest.keyClick(bar.line, Qt.Key.Key_Return)


def fill(field: Field, text: str) -> None:
    """Type into a field, or choose in it by its words, and end editing."""
    if isinstance(field, ChoiceField):
        index = field.combo.findText(text)
        if index < 0:
            index = field.combo.findText(text, Qt.MatchFlag.MatchStartsWith)
        assert index >= 0, text
        field.combo.setCurrentIndex(index)
        field.combo.activated.emit(index)
        return
    assert isinstance(field, TextField)
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def javascript(window: Window, qtbot: QtBot, script: str) -> Any:
    view = window.map.view
    assert view is not None
    answers: list[Any] = []
    view.run_js(script, answers.append)
    qtbot.waitUntil(lambda: bool(answers))
    return answers[0]


def scout(window: Window) -> None:
    """Location, vantage point, subject and a tidal leg."""
    verb(window, "New location…")
    place_typed(window, "37.8080 -122.4780")
    fill(window.card.form(Location).fields["name"], "Far shore")
    for line, kind, where, name in (
        ("Add vantage point…", VantagePoint, "37.8080 -122.4780", "Ledge"),
        ("Add subject…", Subject, "37.8085 -122.4785", "Rock"),
    ):
        verb(window, line)
        place_typed(window, where)
        fill(window.card.form(kind).fields["name"], name)
    window.scouting.add_leg(
        (Position(37.8075, -122.4775), Position(37.8080, -122.4780))
    )
    form = window.card.form(Leg)
    for field, words in (
        ("name", "Beach"),
        ("ascent_m", "0"),
        ("descent_m", "0"),
        ("ground", "path"),
        ("is_exposed", "no"),
        ("is_tidal", "yes"),
        ("shut_above_m", "0.6"),
        ("shore", "out of reach of waves"),
        ("shut_datum", "MLLW"),
    ):
        fill(form.fields[field], words)


def paste_table(window: Window) -> None:
    verb(window, "Type tide table…")
    (dialog,) = window.findChildren(TideTableDialog)
    fill(dialog.port, "San Francisco")
    dialog.zone.combo.setEditText("UTC")
    dialog.zone.combo.textActivated.emit("UTC")
    fill(dialog.unit, "metres")
    fill(dialog.datum, "MLLW")
    fill(dialog.source, "NOAA CO-OPS 9414290")
    fill(dialog.exposure, "open coast")
    fill(dialog.distorted, "no")
    dialog.text.box.setPlainText(TABLE.read_text("utf-8"))
    dialog.text.finish()
    assert dialog.store_button.isEnabled(), dialog.content
    dialog.store_button.click()


def draft_trip(window: Window, there: str, back: str) -> Trip:
    """A trip over the beach and back, at clock times of the place."""
    window.selection.choose_time(DAY, datetime(2026, 8, 15, 19, tzinfo=UTC))
    verb(window, "New trip")
    page = window.trip
    fill(page.name, "Low water")
    fill(page.latest_return, "20:00")
    page.add_stop.click()
    (stop,) = page.stop_lines.values()
    fill(stop.leave, back)
    fill(stop.arrive, there)
    fill(stop.leave, back)
    page.add_walk.click()
    page.add_walk.click()
    out, home = page.walk_lines.values()
    for line, start in ((home, back), (out, there)):
        hour, minute = start.split(":")
        fill(line.finish, f"{hour}:{int(minute) + 10:02d}")
        fill(line.start, start)
        fill(line.finish, f"{hour}:{int(minute) + 10:02d}")
    fill(home.direction, "the other way")
    (trip,) = window.library.store.trips()
    return trip


def shown(window: Window, qtbot: QtBot, trip: Trip) -> list[tuple[str, str]]:
    """The Checks page, once it is of the trip as it is stored: severity and words."""
    window.card.turn_to("Checks")
    wanted = from_command_line(window, trip)

    def rows() -> list[tuple[str, str]]:
        content = window.checks._content
        if content is None or content.trip_id != trip.id:
            return []
        return sorted((str(row.severity), row.found) for row in content.rows)

    qtbot.waitUntil(lambda: rows() == wanted)
    return rows()


def from_command_line(window: Window, trip: Trip) -> list[tuple[str, str]]:
    """What `fieldtrip check` says of the same trip at the same instant, sorted."""
    path = window.library.store.path
    assert path is not None
    answer = commands.check_trip(
        argparse.Namespace(
            library=path, trip=str(trip.id), now=NOW.isoformat(), settings=None
        )
    )
    return sorted((f["severity"], f["found"]) for f in answer["findings"])


def crossing(rows: list[tuple[str, str]], window: Window, trip: Trip) -> set[str]:
    """The severities of the tide crossings among the findings."""
    path = window.library.store.path
    assert path is not None
    answer = commands.check_trip(
        argparse.Namespace(
            library=path, trip=str(trip.id), now=NOW.isoformat(), settings=None
        )
    )
    found = {f["severity"] for f in answer["findings"] if f["rule"] == "tide_crossing"}
    assert found <= {severity for severity, _ in rows}
    return found


def test_from_an_empty_library_to_a_checked_trip(
    open_window: Callable[[], Window], qtbot: QtBot
) -> None:
    window = open_window()
    scout(window)
    paste_table(window)

    (table,) = window.library.store.all(TideTable)
    assert len(table.turns) == 27
    assert table.exposure is Exposure.OPEN_COAST

    # Low water is at 14:43 UTC, 07:43 on the clock there.
    trip = draft_trip(window, "7:30", "8:00")
    rows = shown(window, qtbot, trip)
    assert crossing(rows, window, trip) == {"clear"}

    # 19:00 UTC is noon there.
    for walk, hour in zip(
        sorted(window.library.store.all(Walk), key=lambda w: w.start),
        (19.0, 19.5),
        strict=True,
    ):
        start = datetime(2026, 8, 15, tzinfo=UTC) + timedelta(hours=hour)
        moved = replace(walk, start=start, finish=start + timedelta(minutes=10))
        window.library.edit("move", walk, moved)
    rows = shown(window, qtbot, trip)
    assert crossing(rows, window, trip) == {"stop"}


def test_everything_is_there_again(
    open_window: Callable[[], Window], qtbot: QtBot
) -> None:
    window = open_window()
    scout(window)
    paste_table(window)
    draft_trip(window, "7:30", "8:00")
    kinds = (Location, VantagePoint, Subject, Leg, TideTable, Trip, Walk)
    stored = [sorted(window.library.store.all(kind), key=str) for kind in kinds]
    window.close()

    again = open_window()

    assert [sorted(again.library.store.all(kind), key=str) for kind in kinds] == stored
    assert all(stored)
    assert again.selection.trip_id == stored[5][0].id


def test_windows_of_the_pasted_table_agree_with_the_harmonic_curve(
    open_window: Callable[[], Window],
) -> None:
    window = open_window()
    scout(window)
    paste_table(window)
    (table,) = window.library.store.all(TideTable)

    found = windows_below(
        table.turns,
        0.60,
        datetime(2026, 8, 15, tzinfo=UTC),
        datetime(2026, 8, 18, tzinfo=UTC),
    )

    # Source: NOAA's published constants of the port, predicted after Schureman
    # (1958), Manual of Harmonic Analysis, SP 98; the first window is open at its
    # start because the table begins inside it.
    published = [
        (None, "15T03:31:59"),
        ("15T12:18:50", "15T17:21:51"),
        ("16T01:50:58", "16T04:46:40"),
        ("16T13:17:27", "16T17:30:10"),
        ("17T02:31:20", "17T05:58:50"),
        ("17T14:35:51", "17T17:22:06"),
    ]
    assert len(found) == len(published)
    for window_found, (opens, shuts) in zip(found, published, strict=True):
        if opens is not None:
            assert abs(window_found.start - instant(opens)) < timedelta(minutes=7)
        assert abs(window_found.stop - instant(shuts)) < timedelta(minutes=7)
    assert found[0].is_open_at_start


def test_rays_and_strip_show_what_the_engine_says(
    open_window: Callable[[], Window], qtbot: QtBot
) -> None:
    window = open_window()
    scout(window)
    at = datetime(2026, 8, 15, 23, 30, tzinfo=UTC)  # 16:30 on the clock there
    window.selection.choose_time(DAY, at)

    (ledge,) = window.library.store.all(VantagePoint)
    site = Site(ledge.position)
    events = {e.name: e for e in day_events(site, DAY, ZONE).events}
    wanted = {
        "Sunrise": events[EventName.SUNRISE].azimuth_deg,
        "Sunset": events[EventName.SUNSET].azimuth_deg,
        "Moonrise": events[EventName.MOONRISE].azimuth_deg,
        "Moonset": events[EventName.MOONSET].azimuth_deg,
        "16:30": sky_position(Body.SUN, site, at).azimuth_deg,
        "Moon 16:30": sky_position(Body.MOON, site, at).azimuth_deg,
    }

    def drawn() -> dict[str, float]:
        rays = json.loads(javascript(window, qtbot, "window.fieldtripRays()"))
        return {
            first_words(ray["label"]): bearing_deg(
                Position(*ray["start"]), Position(*ray["end"])
            )
            for ray in rays
        }

    qtbot.waitUntil(lambda: set(wanted) <= set(drawn()))
    found = drawn()
    for name, azimuth in wanted.items():
        assert found[name] == pytest.approx(azimuth, abs=0.01), name

    sunset = events[EventName.SUNSET].instant
    qtbot.waitUntil(lambda: window.strip.content is not None)
    qtbot.waitUntil(lambda: strip_sunset(window) is not None)
    clock = (sunset + timedelta(seconds=30)).astimezone(ZoneInfo(ZONE))
    assert strip_sunset(window) == f"{clock:%H:%M} sunset"


def first_words(label: str) -> str:
    """The name of a ray: its words before the time, or the time itself."""
    head = label.split(" · ")[0]
    return head if head[0].isdigit() or head.startswith("Moon ") else head.split()[0]


def strip_sunset(window: Window) -> str | None:
    """What the Light column says at sunset."""
    content = window.strip.content
    assert content is not None
    for mark in content.light.marks:
        if mark.is_sun and "sunset" in mark.texts[0]:
            return mark.texts[0]
    return None


def instant(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-08-{text}+00:00")
