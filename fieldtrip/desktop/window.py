"""The main window.  Everything is put together here, by hand and in the open."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import (
    QAction,
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
)
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QMainWindow,
    QMenu,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop import style
from fieldtrip.desktop.card import Card
from fieldtrip.desktop.checks_panel import ChecksPanel
from fieldtrip.desktop.content.day_clock import on_day
from fieldtrip.desktop.day_strip_panel import DayStripPanel
from fieldtrip.desktop.defaults import choose_along
from fieldtrip.desktop.drop_work import DropWork
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.file_traffic import dropped_files
from fieldtrip.desktop.ground_of_places import GroundOfPlaces
from fieldtrip.desktop.ground_section import GroundSection
from fieldtrip.desktop.horizons import Horizons
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.light_panel import LightPanel
from fieldtrip.desktop.map_ground import MapGround
from fieldtrip.desktop.map_panel import MapPanel
from fieldtrip.desktop.material_shelf import MaterialShelf
from fieldtrip.desktop.menus import Desk, Menus
from fieldtrip.desktop.next_dates import NextDates
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.photo_section import PhotoSection
from fieldtrip.desktop.places_panel import PlacesPanel
from fieldtrip.desktop.plan_panel import PlanPanel
from fieldtrip.desktop.plan_work import PlanWork
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.scouting import Scouting
from fieldtrip.desktop.selection import Selection, whole_minute
from fieldtrip.desktop.sheet_making import ground_files
from fieldtrip.desktop.skyline_panel import SkylinePanel
from fieldtrip.desktop.source_list import SourceList
from fieldtrip.desktop.terrain_layers import TerrainLayers
from fieldtrip.desktop.theme import DARK, LIGHT, Theme
from fieldtrip.desktop.tide_panel import TidePanel
from fieldtrip.desktop.trip_day_panel import TripDayPanel
from fieldtrip.desktop.trip_panel import TripPanel
from fieldtrip.desktop.work_bar import WorkBar
from fieldtrip.material.tile_file import SUFFIX as TILES_SUFFIX
from fieldtrip.phrasing import CAUTIONS
from fieldtrip.places.land_zone import land_zone
from fieldtrip.places.records import Location
from fieldtrip.settings import Theme as ThemeChoice
from fieldtrip.store.store import Change, Store
from fieldtrip.terrain.elevation_files import is_elevation_file
from fieldtrip.times import local_date, zone_of
from fieldtrip.trips.dossier import by_id
from fieldtrip.trips.records import Trip

LIGHT_PAGE, SKYLINE_PAGE, TIDE_PAGE, CHECKS_PAGE = "Light", "Skyline", "Tide", "Checks"
PLAN_PAGE = "Plan"


class Window(QMainWindow):
    """Places left, map and card in the middle, the day strip right."""

    def __init__(
        self,
        store: Store,
        preferences: Preferences,
        paths: Paths,
        now: Callable[[], datetime],
        *,
        drawing: Path | None = None,
    ) -> None:
        super().__init__()
        self.setAcceptDrops(True)
        self._now = now
        self._layout_file = QSettings(
            str(paths.config / "window.ini"), QSettings.Format.IniFormat
        )
        self.drawing = drawing
        self.preferences = preferences
        preferences.setParent(self)
        self.jobs = Jobs(self)
        self._material_file = paths.config / "material.json"
        self._drops_file = paths.config / "drops_turned_down.json"
        # The demo draws its own invented coast, and keeps nothing.
        self.shelf = MaterialShelf(None if drawing else self._material_file, self)
        self.ground = MapGround(self.shelf, self.jobs, paths.cache, self)
        self.library = Library(store, self)
        self.elevations = Elevations(self.library, self.jobs, self)
        here = now().astimezone()  # until a place with a zone of its own is chosen
        self.selection = Selection(here.date(), whole_minute(now()), self)
        self.places_ground = GroundOfPlaces(
            self.library, self.selection, self.elevations, self.jobs, self
        )
        self.drops = DropWork(
            self.library,
            self.selection,
            self.preferences,
            self.elevations,
            self.jobs,
            self,
            kept=None if drawing else self._drops_file,
        )
        self.terrain = TerrainLayers(
            self.library,
            self.selection,
            self.preferences,
            self.elevations,
            self.jobs,
            self,
        )
        self._zone: str | None = None  # in which the selection's day was chosen
        self._trip_shown: object = None
        self._step = 0  # of the undo stack
        self.scouting = Scouting(self.library, self.selection, self.today, self)
        # Before any panel follows: they shall hear of a choice when it is whole.
        self.library.changed.connect(self._keep_choices_sound)
        self.selection.changed.connect(self._follow_choice)
        self._make_panels(paths)
        self._lay_out()
        self.menus = Menus(
            Desk(
                window=self,
                library=self.library,
                selection=self.selection,
                preferences=preferences,
                jobs=self.jobs,
                shelf=self.shelf,
                ground=self.ground,
                elevations=self.elevations,
                horizons=self.horizons,
                terrain=self.terrain,
                drops=self.drops,
                planning=self.planning,
                scouting=self.scouting,
                places=self.places,
                map=self.map,
                card=self.card,
                strip=self.strip,
                below=self.below,
                tell=self.tell,
                turn_to_library=self.replace_store,
                now=now,
                today=self.today,
                sheet_ground=lambda: ground_files(
                    self.shelf.stack,
                    self.drawing,
                    paths.cache,
                    self.elevations.ground,
                ),
            )
        )
        self._connect()
        self._restore_layout()
        self.use_theme()
        self._choose_first()

    def today(self) -> date:
        """The civil day at the chosen location, or here."""
        zone = self.zone
        now = self._now()
        return local_date(now, zone) if zone else now.astimezone().date()

    @property
    def zone(self) -> str | None:
        """The zone of the chosen location."""
        dossier = self.library.dossier(self.selection.location_id)
        return dossier.location.zone if dossier else None

    @property
    def theme(self) -> Theme:
        """The theme in force."""
        choice = self.preferences.settings.theme
        if choice is ThemeChoice.SYSTEM:
            scheme = QGuiApplication.styleHints().colorScheme()
            return DARK if scheme == Qt.ColorScheme.Dark else LIGHT
        return DARK if choice is ThemeChoice.DARK else LIGHT

    def actions_of_menus(self) -> Iterator[QAction]:
        """Every line of the menu bar, with those of menus inside menus."""
        waiting = list(self.menuBar().actions())
        while waiting:
            action = waiting.pop(0)
            menu = action.menu()
            if isinstance(menu, QMenu):
                waiting += menu.actions()
            elif not action.isSeparator():
                yield action

    def use_theme(self) -> None:
        """Draw everything in the theme in force."""
        theme = self.theme
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        style.apply(app, theme, self.preferences.settings.text_percent)
        self.map.set_theme(theme)
        for panel in (self.strip, self.light, self.tide, self.checks, self.trip):
            panel.set_theme(theme)
        self.skyline.set_theme(theme)
        self.plan.set_theme(theme)
        self.ground_section.set_theme(theme)
        self.terrain.set_theme(theme)
        self.places.refresh()

    def tell(self, sentence: str) -> None:
        """Say something in the status line for a while."""
        self.statusBar().showMessage(sentence, 12_000)

    def replace_store(self, store: Store) -> None:
        """Turn to another library."""
        self.card.finish()
        self.checks.finish()
        self.plan.finish()
        self.drawing = None
        self.selection.choose(None, None)
        self.shelf.turn_to(self._material_file)
        self.drops.keep_in(self._drops_file)
        self.library.replace_store(store)
        self._choose_first()
        self._title()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let files be dropped anywhere on the window."""
        if dropped_files(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Show what is in the files, to choose what comes in."""
        event.acceptProposedAction()
        paths = dropped_files(event.mimeData())
        pictures = [path for path in paths if path.suffix.lower() == TILES_SUFFIX]
        if pictures:
            self.menus.open_material().add_files(pictures)
        heights = [path for path in paths if is_elevation_file(path)]
        if heights:
            self.menus.open_elevations().add_files(heights)
        others = [path for path in paths if path not in (*pictures, *heights)]
        if others:
            self.menus.files.open_import(others)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Store what is being typed, and end in the order that Qt's engine needs."""
        self.card.finish()
        self.checks.finish()
        self.plan.finish()
        self._layout_file.setValue("geometry", self.saveGeometry())
        for name, splitter in self._splitters.items():
            self._layout_file.setValue(name, splitter.saveState())
        self._layout_file.sync()
        self.menus.close_dialogs()
        self.ground.close()
        self.terrain.close()
        self.jobs.stop()  # before the widgets that jobs report to are gone
        self.map.close_view()
        self.library.store.close()
        super().closeEvent(event)

    def _make_panels(self, paths: Paths) -> None:
        four = (self.library, self.selection, self.preferences, self.jobs)
        self.places = PlacesPanel(
            self.library, self.selection, self.preferences, self.today
        )
        self.map = MapPanel(
            self.library,
            self.selection,
            self.preferences,
            self.scouting,
            paths.cache,
            lambda: self.drawing,
        )
        self.horizons = Horizons(self.elevations, self.jobs, paths.cache, self)
        self.strip = DayStripPanel(*four, horizons=self.horizons)
        self.light = LightPanel(*four, self.horizons)
        self.skyline = SkylinePanel(*four, self.elevations, self.horizons)
        self.tide = TidePanel(*four)
        self.trip = TripPanel(*four, more=TripDayPanel(*four, now=self._now))
        self.checks = ChecksPanel(*four, now=self._now)
        self.planning = PlanWork(*four, self, now=self._now)
        self.plan = PlanPanel(*four, self.planning, now=self._now)
        self.ground_section = GroundSection(*four, self.elevations, self.drops)
        self.photo_section = PhotoSection(*four)
        self.next_dates = NextDates(
            *four,
            today=self.today,
            now=self._now,
            skyline_of=self.horizons.skyline_deg,
        )
        self.elevations.changed.connect(self.next_dates.look_again)
        self.sources = SourceList(self.library, self.selection, self.preferences)
        self.card = Card(
            self.library,
            self.selection,
            self.preferences,
            trip_page=self.trip,
            sources=self.sources,
            ground=self.ground_section,
            dates=self.next_dates,
            photo=self.photo_section,
            pages={
                LIGHT_PAGE: self.light,
                SKYLINE_PAGE: self.skyline,
                TIDE_PAGE: self.tide,
                PLAN_PAGE: self.plan,
                CHECKS_PAGE: self.checks,
            },
        )

    def _lay_out(self) -> None:
        self.below = QWidget()
        column = QVBoxLayout(self.below)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        # The Checks page brings its own, in the same place.
        cautions = QLabel(" ".join(CAUTIONS))
        self.card.pageShown.connect(
            lambda name: cautions.setVisible(name != CHECKS_PAGE)
        )
        cautions.setWordWrap(True)
        cautions.setProperty("soft", True)
        cautions.setContentsMargins(16, 2, 10, 6)
        cautions.setProperty("type", "print")
        column.addWidget(self.card, 1)
        column.addWidget(cautions)

        self.middle = QSplitter(Qt.Orientation.Vertical)
        self.middle.addWidget(self.map)
        self.middle.addWidget(self.below)
        self.middle.setStretchFactor(0, 3)
        self.middle.setStretchFactor(1, 2)
        self.middle.setSizes([520, 330])
        self.middle.setCollapsible(0, False)
        self.whole = QSplitter(Qt.Orientation.Horizontal)
        for widget in (self.places, self.middle, self.strip):
            self.whole.addWidget(widget)
        for index, stretch in enumerate((2, 8, 3)):
            self.whole.setStretchFactor(index, stretch)
        self.whole.setSizes([270, 800, 400])
        self.whole.setCollapsible(1, False)
        self.setCentralWidget(self.whole)
        self.resize(1500, 940)
        self._splitters = {"middle": self.middle, "whole": self.whole}
        self.statusBar().setSizeGripEnabled(False)
        self.work = WorkBar()
        self.statusBar().addPermanentWidget(self.work)
        self.example = QLabel("Example data: an invented coast")
        self.example.setContentsMargins(0, 5, 14, 0)
        self.example.setProperty("soft", True)
        self.menuBar().setCornerWidget(self.example)

    def _connect(self) -> None:
        self.library.failed.connect(self.tell)
        self.library.undo_stack.indexChanged.connect(self._forget_what_was_said)
        self.library.changed.connect(self._compare_zone)
        self.preferences.changed.connect(self.use_theme)
        QGuiApplication.styleHints().colorSchemeChanged.connect(
            lambda _: self.use_theme()
        )
        self.scouting.made.connect(lambda _: self.card.edit())
        self.scouting.told.connect(self.tell)
        self.map.told.connect(self.tell)
        self.map.viewMade.connect(self.ground.attach)
        self.map.viewMade.connect(self.terrain.attach)
        self.skyline.placeAsked.connect(self.map.go_to)
        self.skyline.placeAsked.connect(self.map.show_echo)
        self.skyline.placeLeft.connect(lambda: self.map.show_echo(None))
        self.skyline.addAsked.connect(self.menus.open_elevations)
        self.map.viewMade.connect(self.drops.attach)
        self.drops.told.connect(self.tell)
        self.terrain.told.connect(self.tell)
        self.terrain.worked.connect(self.work.show_work)
        self.work.cancelled.connect(self.terrain.cancel)
        self.ground.told.connect(self.tell)
        self.elevations.told.connect(self.tell)
        self.card.echoed.connect(self.map.show_echo)
        self.card.redrawAsked.connect(self.map.start_redraw)
        self.places.editAsked.connect(self.card.edit)
        self.next_dates.searchAsked.connect(self.menus.find_dates)
        self.checks.mapAsked.connect(self._show_on_map)
        self.checks.stripAsked.connect(self._show_on_strip)
        self.planning.attach(self.strip.chart)
        self.planning.told.connect(self.tell)
        self.planning.pageAsked.connect(lambda: self.card.turn_to(PLAN_PAGE))
        self.plan.minuteAsked.connect(self._show_on_strip)
        self.plan.compareAsked.connect(self.menus.compare_days)
        self.plan.stopsAsked.connect(self.menus.add_stops)
        self._title()

    def _restore_layout(self) -> None:
        geometry = self._layout_file.value("geometry")
        if geometry is not None:
            self.restoreGeometry(geometry)
        for name, splitter in self._splitters.items():
            state = self._layout_file.value(name)
            if state is not None:
                splitter.restoreState(state)

    def _choose_first(self) -> None:
        """Show the next trip, or else the first place, when a library opens."""
        trips = self.library.store.trips()
        coming = [trip for trip in trips if trip.day >= self.today()]
        for trip in (*coming, *reversed(trips)):
            self.selection.choose(trip, trip.location_id)
            return
        for location in self.library.store.locations():
            self.selection.choose(location, location.id)
            return

    def _follow_choice(self) -> None:
        """Bring day and zone along with a newly chosen place or trip."""
        dossier = self.library.dossier(self.selection.location_id)
        if dossier is None:
            return
        choose_along(self.selection, dossier, self.today())
        zone = dossier.location.zone
        day, instant = self.selection.day, self.selection.instant
        if zone != self._zone:
            # The same day and clock time, at the other place.
            instant = on_day(day, _as_in(instant, self._zone or zone, zone), zone)
            self._zone = zone
        if self.selection.record_kind is Trip:
            trip = by_id(dossier.trips, self.selection.record_id)
            shown = (trip.id, trip.day) if trip else None
            if trip is not None and shown != self._trip_shown:
                self._trip_shown = shown
                stops = dossier.stops_of(trip)
                day = trip.day
                if stops:  # the minute goes to the last stop, and so do the rays
                    self.selection.use(
                        vantage_point_id=stops[-1].vantage_point_id,
                        subject_id=stops[-1].subject_id,
                    )
                instant = stops[-1].arrive if stops else on_day(day, instant, zone)
                if local_date(instant, zone) != day:
                    instant = on_day(day, instant, zone)
        else:
            self._trip_shown = None
        self.selection.choose_time(day, instant)

    def _keep_choices_sound(self, changes: list[Change]) -> None:
        """Let go of what an edit or an undo removed; turn to what it brought back."""
        selection = self.selection
        added = [c.after for c in changes if c.before is None and c.after is not None]
        if selection.record_id is None and added:
            self.scouting.choose_id(added[0].id)
        if self.library.dossier(selection.location_id) is None:
            selection.choose(None, None)
            return
        kind = selection.record_kind
        if kind is not None and self.library.get(kind, selection.record_id) is None:
            selection.choose(None, selection.location_id)
        self._follow_choice()

    def _show_on_map(self, record_id: UUID) -> None:
        """Choose what a finding speaks of, and bring it into sight."""
        if self.scouting.choose_id(record_id):
            self.map.show_chosen()

    def _show_on_strip(self, instant: datetime) -> None:
        """Move the cursor of the day strip to the time of a finding."""
        zone = self.zone
        if zone is not None:
            self.strip.show()
            self.selection.choose_time(local_date(instant, zone), instant)

    def _forget_what_was_said(self, step: int) -> None:
        """What was said of a step no longer holds when the step is taken back."""
        if step < self._step:
            self.statusBar().clearMessage()
        self._step = step

    def _compare_zone(self, changes: list[Change]) -> None:
        """Say so where a location was moved to where another clock is kept."""
        for change in changes:
            before, after = change.before, change.after
            if not isinstance(before, Location) or not isinstance(after, Location):
                continue
            if before.position == after.position:
                continue
            there = land_zone(after.position)
            if there is not None and there != after.zone:
                self.tell(
                    f"“{after.name}” keeps the time zone {after.zone}; where it lies "
                    f"now it is {there}. Change it on the card if need be."
                )

    def _title(self) -> None:
        self.example.setVisible(self.drawing is not None)
        if self.drawing is not None:
            name = "Demo: an invented coast; changes are not kept"
        else:
            path = self.library.store.path
            name = path.name if path is not None else "not kept"
        if self.library.store.is_read_only:
            name += " (reading only)"
        self.setWindowTitle(f"{name} — Fieldtrip")


def _as_in(instant: datetime, zone: str, other: str) -> datetime:
    """The instant at which the clock of `other` shows what that of `zone` shows."""
    local = instant.astimezone(zone_of(zone)).replace(tzinfo=zone_of(other))
    return local.astimezone(UTC)
