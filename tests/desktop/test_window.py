"""The window as a whole: what is chosen along, what is remembered, what is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fieldtrip.demo import TRIP_NAME, demo_records
from fieldtrip.desktop import application
from fieldtrip.desktop.application import open_store, open_window
from fieldtrip.desktop.dialogs.forecast import ForecastDialog
from fieldtrip.desktop.dialogs.tide_table import TideTableDialog
from fieldtrip.desktop.menus import Menus
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences, read_settings, write_settings
from fieldtrip.desktop.window import Window
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.settings import LengthUnit, Settings, Theme
from fieldtrip.store.store import Change, Store
from fieldtrip.terrain.records import ElevationFile
from fieldtrip.times import zone_of
from fieldtrip.weather.records import Forecast
from tests.exchange.tide_story import coops_turns_csv
from tests.material.pictures import png, tile_file
from tests.terrain.elevation_story import write_hgt

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
ISLES = Location(
    name="Far isles", position=Position(-16.5, -151.7), zone="Pacific/Tahiti"
)


@pytest.fixture
def make(tmp_path: Path, qtbot: QtBot) -> Iterator[Callable[..., Window]]:
    """Windows that are never shown, so that no web engine is started."""
    made: list[Window] = []

    def window(*records: object) -> Window:
        store = Store.in_memory()
        store.apply(Change(None, record) for record in records)  # type: ignore[arg-type]
        made.append(
            Window(store, Preferences(Settings()), Paths.below(tmp_path), lambda: NOW)
        )
        return made[-1]

    yield window
    for each in made:
        each.close()
        each.deleteLater()


def test_the_next_trip_comes_with_its_day_and_its_last_stop(
    make: Callable[..., Window],
) -> None:
    window = make(*demo_records(NOW.date()))

    trip = window.library.store.find_trip(TRIP_NAME)
    last = max(
        (s for s in window.library.store.dossier(trip.location_id).stops_of(trip)),
        key=lambda s: s.number,
    )
    assert window.selection.trip_id == trip.id
    assert window.selection.day == trip.day
    assert window.selection.instant == last.arrive
    assert window.selection.vantage_point_id == last.vantage_point_id


def test_another_place_shows_the_same_day_and_clock_time(
    make: Callable[..., Window],
) -> None:
    window = make(*demo_records(NOW.date()), ISLES)
    before = window.selection.instant.astimezone(zone_of("Europe/Dublin"))

    window.selection.choose(ISLES, ISLES.id)

    after = window.selection.instant.astimezone(zone_of("Pacific/Tahiti"))
    assert (after.date(), after.time()) == (before.date(), before.time())
    assert window.selection.day == before.date()


def test_undoing_a_chosen_record_lets_go_of_it(make: Callable[..., Window]) -> None:
    window = make(ISLES)
    window.scouting.add_at(VantagePoint, ISLES.position)
    assert window.selection.record_kind is VantagePoint

    window.library.undo_stack.undo()

    assert window.selection.record_id is None
    window.card.refresh()  # unseen, it waits until it is shown
    assert window.card.title.text() in ("Fieldtrip", ISLES.name)


def test_an_empty_library_says_what_to_do(make: Callable[..., Window]) -> None:
    window = make()
    window.places.refresh()
    window.card.refresh()

    assert "New location" in window.places.hint.text()
    assert window.selection.location_id is None


@pytest.mark.web
def test_the_layout_is_remembered(make: Callable[..., Window], qtbot: QtBot) -> None:
    def shown() -> Window:
        window = make(ISLES)
        with qtbot.waitSignal(window.map.ready, timeout=30_000):
            window.show()
        return window

    window = shown()
    window.resize(790, 610)
    window.whole.setSizes([160, 280, 350])
    left, _, right = window.whole.sizes()
    size = window.size()
    window.close()

    again = shown()
    assert again.size() == size
    assert again.whole.sizes()[0] == pytest.approx(left, abs=2)
    assert again.whole.sizes()[2] == pytest.approx(right, abs=2)


def test_every_verb_has_a_key_of_its_own(make: Callable[..., Window]) -> None:
    window = make(ISLES)
    assert isinstance(window.menus, Menus)

    keys = [
        action.shortcut().toString()
        for action in window.actions_of_menus()
        if not action.shortcut().isEmpty()
    ]

    assert len(keys) > 20
    assert len(keys) == len(set(keys))


def test_settings_survive_and_a_damaged_file_is_no_obstacle(tmp_path: Path) -> None:
    file = tmp_path / "own" / "settings.json"
    wanted = Settings(
        length_unit=LengthUnit.FOOT,
        theme=Theme.DARK,
        person="Ada",
        text_percent=120,
        tide_columns=(("Day;Level", "date=1,height=2,order=day"),),
    )
    write_settings(wanted, file)
    assert read_settings(file) == wanted

    for damaged in (
        "",
        "[1",
        "[]",
        '{"theme": "purple", "text_percent": "big"}',
        '{"tide_columns": [["Day"], 3, ["Day", 4]]}',
    ):
        file.write_text(damaged, "utf-8")
        assert read_settings(file) == Settings()


def test_the_demo_is_fresh_each_time(tmp_path: Path, qapp: QApplication) -> None:
    paths = Paths.below(tmp_path)
    first = open_window(paths, None, demo=True, now=lambda: NOW)
    assert first is not None
    (trip, *_) = first.library.store.trips()
    first.library.remove("remove", trip)
    first.close()

    second = open_window(paths, None, demo=True, now=lambda: NOW)
    assert second is not None
    assert len(second.library.store.trips()) == 2
    assert not second.example.isHidden()
    second.close()


def test_what_is_no_library_is_said_and_another_can_be_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    picture = tmp_path / "picture.png"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(600))
    good = tmp_path / "good.fieldtrip"
    reasons: list[str] = []

    def answer(reason: str) -> Path:
        reasons.append(reason)
        return good

    monkeypatch.setattr(application, "_ask_for_another", answer)
    store = open_store(picture)

    assert store is not None
    assert store.path == good
    assert len(reasons) == 1
    assert "picture.png" in reasons[0]
    assert picture.read_bytes().startswith(b"\x89PNG")
    store.close()


def test_giving_up_opens_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "folder.fieldtrip").mkdir()
    monkeypatch.setattr(application, "_ask_for_another", lambda _: None)

    assert open_store(tmp_path / "folder.fieldtrip") is None


def test_today_is_the_places_own(make: Callable[..., Window]) -> None:
    window = make(
        Location(
            name="Ahead", position=Position(1.9, -157.4), zone="Pacific/Kiritimati"
        )
    )
    late = datetime(2026, 11, 25, 12, tzinfo=UTC)
    window._now = lambda: late

    assert window.today() == date(2026, 11, 26)


def test_a_place_moved_under_another_clock_is_said(make: Callable[..., Window]) -> None:
    window = make(ISLES)

    moved = replace(ISLES, position=Position(37.80, -122.47))
    window.library.edit("move", ISLES, moved)

    assert "America/Los_Angeles" in window.statusBar().currentMessage()


def test_files_of_map_pictures_dropped_on_the_window_become_material(
    make: Callable[..., Window], tmp_path: Path
) -> None:
    chart = tile_file(tmp_path / "a.MBTILES", {(0, 0, 0): png(1, 2, 3)}, name="Survey")
    window = make()

    drop(window, chart)

    assert [each.name for each in window.shelf.stack] == ["Survey", "Coastline"]
    material = window.menus.open_material()
    assert material.list.item(0).text().startswith("Survey\n")
    assert material is window.menus.open_material()


def test_elevation_files_dropped_on_the_window_are_added(
    make: Callable[..., Window], tmp_path: Path, qtbot: QtBot
) -> None:
    tile = write_hgt(tmp_path / "N49W009.hgt", 1201, 1201)
    window = make()

    drop(window, tile)
    qtbot.waitUntil(lambda: len(window.elevations.ground.sources) == 1)

    (file,) = window.library.store.all(ElevationFile)
    assert file.path == str(tile)
    assert window.menus.open_elevations() is window.menus.open_elevations()


def test_map_material_belongs_to_the_machine_and_not_to_the_library(
    make: Callable[..., Window], tmp_path: Path
) -> None:
    first = make()
    chart = tile_file(tmp_path / "a.mbtiles", {(0, 0, 0): png(1, 2, 3)})
    first.menus.open_material().add_files([chart])

    assert [each.source for each in make().shelf.stack] == [str(chart), ""]


def test_the_demo_s_coast_is_its_own_until_another_library_is_opened(
    tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(Paths.below(tmp_path), None, demo=True, now=lambda: NOW)
    assert window is not None
    assert [each.is_on for each in window.shelf.stack] == [False]

    window.replace_store(Store.in_memory())

    assert [each.is_on for each in window.shelf.stack] == [True]
    window.close()
    window.deleteLater()


def drop(window: Window, *paths: Path) -> None:
    """Let files fall on a window."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    event = QDropEvent(
        QPointF(10.0, 10.0),
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    window.dropEvent(event)
    assert event.isAccepted()


def test_one_window_for_typing_is_open_for_each_thing(
    make: Callable[..., Window],
) -> None:
    window = make(*demo_records(NOW.date()), ISLES)
    menus = window.menus
    (forecast,) = window.library.store.all(Forecast)

    for _ in range(3):
        menus.type_forecast()
        menus.type_tide_table()
    menus.type_forecast(forecast)

    open_now = [d for d in menus._dialogs if d.isVisible()]
    assert [type(d) for d in open_now] == [
        ForecastDialog,
        TideTableDialog,
        ForecastDialog,
    ]
    open_now[0].close()
    menus.type_forecast()
    assert len([d for d in menus._dialogs if d.isVisible()]) == 3
    menus.close_dialogs()


def test_tide_files_come_in_for_the_chosen_place(
    make: Callable[..., Window], qtbot: QtBot, tmp_path: Path
) -> None:
    window = make(ISLES)
    window.selection.choose(ISLES, ISLES.id)
    file = tmp_path / "tides.csv"
    file.write_bytes(coops_turns_csv())

    dialog = window.menus.import_tides([file])
    qtbot.waitUntil(lambda: bool(dialog.content.rows))

    assert dialog.owner_id == ISLES.id
    assert dialog.content.summary.startswith("NOAA CO-OPS, high and low waters")
    dialog.close()


def test_tide_files_belong_to_a_place(make: Callable[..., Window]) -> None:
    with pytest.raises(UserError, match="Make a location first"):
        make().menus.import_tides()
