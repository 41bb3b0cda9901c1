"""The story of bringing in tide files."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.tide_opening import Becomes
from fieldtrip.desktop.dialogs.tide_files import TideFilesDialog
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences, read_settings
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.tides.records import TideTable
from fieldtrip.tides.stations import Station, StationKind
from tests.exchange.tide_story import (
    annual_txt,
    coops_series_csv,
    coops_turns_csv,
    datums_json,
    harcon_json,
    linz_2013,
    linz_2017,
)
from tests.tides.published import SAN_FRANCISCO, constants, official_turns

PLACE = Location(name="Keel", position=Position(49.6, -8.4), zone="Europe/Dublin")


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", PLACE)
    library.undo_stack.clear()
    return library


@pytest.fixture
def jobs(qtbot: QtBot) -> Iterator[Jobs]:
    jobs = Jobs()
    yield jobs
    jobs.stop()


@pytest.fixture
def preferences(tmp_path: Path) -> Preferences:
    return Preferences(Settings(), file=tmp_path / "settings.json")


@pytest.fixture
def dialog(
    library: Library, preferences: Preferences, jobs: Jobs, qtbot: QtBot
) -> TideFilesDialog:
    dialog = TideFilesDialog(library, PLACE, preferences, jobs)
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def opened(dialog: TideFilesDialog, qtbot: QtBot, folder: Path, **files: bytes) -> None:
    """Bring files in and wait until they are read and judged."""
    paths = []
    for name, data in files.items():
        path = folder / name.replace("_", ".")
        path.write_bytes(data)
        paths.append(path)
    dialog.open(paths)
    judged(dialog, qtbot)


def judged(dialog: TideFilesDialog, qtbot: QtBot) -> None:
    """Wait until what is shown is of what stands in the fields."""

    def check() -> None:
        assert not dialog.stop_button.isVisible()
        assert dialog._shown == dialog.answers()
        assert not dialog._later.isActive()

    qtbot.waitUntil(check)


def answer(dialog: TideFilesDialog, qtbot: QtBot, **values: object) -> None:
    for name, value in values.items():
        field = getattr(dialog, name)
        field.set_value(value)
    dialog._check_soon()
    judged(dialog, qtbot)


def test_a_week_of_turns_becomes_a_printed_table(
    dialog: TideFilesDialog, library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, tides_csv=coops_turns_csv())
    assert not dialog.store_button.isEnabled()
    asked = "\n".join(dialog.content.faults)
    assert "zone" in asked
    assert "unit" in asked
    assert "datum" in asked
    # Source: NOAA CO-OPS, San Francisco, 15 August 2026, as the file writes it.
    assert dialog.content.rows[0] == ("low", "Sat 15 Aug 2026 02:24", "", "0.491")

    answer(dialog, qtbot, port="Pier", zone="UTC", unit="m", datum="MLLW")
    assert dialog.content.faults == ()
    dialog.store()

    (table,) = library.store.all(TideTable)
    assert table.turns == official_turns(SAN_FRANCISCO)
    assert (table.zone, table.unit, table.datum) == ("UTC", "m", "MLLW")
    library.undo_stack.undo()
    assert library.store.all(TideTable) == []


def test_the_preview_shows_the_first_and_the_last(
    dialog: TideFilesDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, lyttelton_csv=linz_2013())

    answer(dialog, qtbot, datum="chart datum")

    rows = dialog.content.rows
    assert rows[0] == ("low", "Tue 1 Jan 2013 00:55", "31 Dec 12:55",
                       "0.60 m")  # fmt: skip
    assert "more" in rows[8][1]
    assert rows[-1][0] in ("high", "low")
    assert not dialog.zone.isEnabled()  # the file says so
    assert dialog.port.value == "Lyttelton"


@pytest.mark.slow
def test_a_year_becomes_a_station_once_its_curve_is_found(
    dialog: TideFilesDialog, library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, lyttelton_csv=linz_2013())
    answer(dialog, qtbot, datum="chart datum", becomes=Becomes.FIT)
    assert dialog.fit_button.isEnabled()
    assert not dialog.store_button.isEnabled()

    dialog.find_curve()
    qtbot.waitUntil(dialog.store_button.isEnabled, timeout=60_000)
    # LINZ prints decimetres: rounding alone leaves 2.9 cm.
    assert "typical difference of 2.9 cm" in dialog.content.summary
    dialog.store()

    (station,) = library.store.all(Station)
    location = library.get(Location, PLACE.id)
    assert station.kind is StationKind.FIT
    assert station.year == 2013
    assert location is not None
    assert location.station_id == station.id
    library.undo_stack.undo()
    assert library.store.all(Station) == []
    assert library.get(Location, PLACE.id) == PLACE


def test_what_runs_can_be_stopped(
    dialog: TideFilesDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, lyttelton_csv=linz_2013())
    answer(dialog, qtbot, datum="chart datum", becomes=Becomes.FIT)

    dialog.find_curve()
    assert dialog.stop_button.isVisible()
    dialog.stop_button.click()
    judged(dialog, qtbot)

    assert dialog.fit_button.isEnabled()
    assert not dialog.store_button.isEnabled()


def test_constants_and_levels_become_a_station(
    dialog: TideFilesDialog, library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(
        dialog, qtbot, tmp_path, harcon_json=harcon_json(), datums_json=datums_json()
    )
    answer(dialog, qtbot, port="Pier")
    assert dialog.content.faults == ()
    dialog.store()

    (station,) = library.store.all(Station)
    assert station.kind is StationKind.CONSTANTS
    assert station.constants == constants(SAN_FRANCISCO).constants
    # Source: NOAA CO-OPS, datums of 9414290: MSL 0.951 m above MLLW.
    assert station.z0_m == pytest.approx(0.951)


def test_constants_alone_ask_for_their_mean_level(
    dialog: TideFilesDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, harcon_json=harcon_json())

    assert dialog.z0.isVisible()
    assert any("mean sea level" in fault for fault in dialog.content.faults)
    answer(dialog, qtbot, port="Pier", datum="MLLW", z0=0.951)
    assert dialog.content.faults == ()


def test_feet_taken_for_metres_are_asked_about(
    dialog: TideFilesDialog, library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    known = constants(SAN_FRANCISCO)
    station = Station(
        name="Pier", kind=StationKind.CONSTANTS, datum="MLLW", z0_m=known.z0_m,
        constants=known.constants, source="NOAA CO-OPS",
    )  # fmt: skip
    library.add("station", station)
    library.edit("use", PLACE, replace(PLACE, station_id=station.id))
    rows = coops_turns_csv().decode().split("\r\n")
    feet = [rows[0]]
    for row in filter(None, rows[1:]):
        when, metres, mark = row.split(",")
        feet.append(f"{when},{float(metres) / 0.3048:.2f},{mark}")

    opened(dialog, qtbot, tmp_path, feet_csv="\n".join([*feet, ""]).encode())
    answer(dialog, qtbot, port="Pier", zone="UTC", unit="m", datum="MLLW")
    assert any("in feet?" in doubt for doubt in dialog.content.doubts)
    assert not dialog.store_button.isEnabled()

    answer(dialog, qtbot, unit="ft")
    assert dialog.content.doubts == ()
    assert dialog.store_button.isEnabled()

    answer(dialog, qtbot, unit="m")
    dialog.right.setChecked(True)
    judged(dialog, qtbot)
    assert dialog.store_button.isEnabled()

    answer(dialog, qtbot, unit="ft")
    answer(dialog, qtbot, unit="m")
    assert not dialog.right.isChecked()  # a tick answers one question only
    assert not dialog.store_button.isEnabled()


def test_columns_are_asked_for_once_and_remembered(
    dialog: TideFilesDialog,
    preferences: Preferences,
    library: Library,
    jobs: Jobs,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    data = (
        b"When;Level\n03/04/2026 05:10;0,60\n03/04/2026 11:25;4,10\n"
        b"03/04/2026 17:40;0,80\n"
    )
    opened(dialog, qtbot, tmp_path, odd_csv=data)
    box = dialog.columns
    assert box.isVisible()
    assert not box.use_button.isEnabled()  # 3 April or 4 March

    box.roles["Date"].setCurrentIndex(0)
    box.roles["Height"].setCurrentIndex(1)
    box.order.setCurrentIndex(1)
    box.order.activated.emit(1)
    box.use_button.click()
    judged(dialog, qtbot)
    assert not box.isVisible()
    answer(dialog, qtbot, port="P", zone="UTC", unit="m", datum="LAT", source="a sheet")
    assert dialog.content.rows[0][1].startswith("Fri 3 Apr 2026")

    kept = read_settings(tmp_path / "settings.json")
    assert kept.tide_columns == (("When;Level", "date=1,height=2,order=day"),)
    second = TideFilesDialog(library, PLACE, Preferences(kept), jobs)
    qtbot.addWidget(second)
    opened(second, qtbot, tmp_path, odd_csv=data)
    assert second._opened.unsettled == ()
    assert second._opened.files[0].turns[0].clock.month == 4


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"<html>Service unavailable</html>", "web page"),
        (b'{"error": {"message": "No Predictions data was found."}}', "No Predictions"),
        (b"", "empty"),
        (b"\x00\x01" * 100, "no text"),
        (linz_2013()[:9000], "not whole"),
    ],
)
def test_a_bad_file_says_so_and_stores_nothing(
    data: bytes,
    reason: str,
    dialog: TideFilesDialog,
    library: Library,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    opened(dialog, qtbot, tmp_path, bad_csv=data)

    assert len(dialog.content.faults) == 1
    assert reason in dialog.content.faults[0]
    assert not dialog.store_button.isEnabled()
    dialog.store()
    assert library.store.all(TideTable) == []


def test_a_file_that_is_gone_says_so(
    dialog: TideFilesDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    dialog.open([tmp_path / "none.csv", tmp_path])
    judged(dialog, qtbot)

    assert "none.csv cannot be read" in dialog.content.faults[0]
    assert "is a folder" in dialog.content.faults[1]


def test_a_short_series_is_too_little_for_a_curve(
    dialog: TideFilesDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, hours_csv=coops_series_csv())

    answer(dialog, qtbot, port="Pier", zone="UTC", unit="m", datum="MLLW")

    assert any("at least 355" in fault for fault in dialog.content.faults)
    assert not dialog.fit_button.isEnabled()


def test_a_clock_with_summer_time_is_hinted_at(
    dialog: TideFilesDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, april_csv=linz_2017())
    assert "summer time" in dialog.hint.text()

    answer(dialog, qtbot, zone="Etc/GMT-12", datum="chart datum")
    assert any("give the zone by its name" in f for f in dialog.content.faults)

    answer(dialog, qtbot, zone="Pacific/Auckland", port="The harbour")
    assert dialog.content.faults == ()
    assert isinstance(dialog.content.made, TideTable)
    assert dialog.content.made.port == "The harbour"  # though the file has another name
    assert any("twice" in note for note in dialog.content.notes)


@pytest.mark.slow
def test_an_annual_table_says_almost_all(
    dialog: TideFilesDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(dialog, qtbot, tmp_path, annual_txt=annual_txt())

    assert not dialog.unit.isEnabled()
    assert not dialog.datum.isEnabled()
    answer(dialog, qtbot, zone="America/Los_Angeles", becomes=Becomes.TABLE)
    # Source: NOAA CO-OPS, Port Townsend 2017: a stand of 16 h 27 min is left out.
    assert dialog.content.doubts[0].startswith("1 gap between turns of over 16 hours")

    dialog.right.setChecked(True)
    judged(dialog, qtbot)
    assert dialog.content.faults == ()
    assert isinstance(dialog.content.made, TideTable)
    assert dialog.content.made.unit == "cm"
