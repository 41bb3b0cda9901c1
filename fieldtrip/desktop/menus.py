"""The menu bar and the menus that open on a place: every verb, with its key."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QObject, QPoint, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtWidgets import QApplication, QFileDialog, QMainWindow, QMenu, QWidget

from fieldtrip.coordinates import decimal_text, degrees_minutes_text, utm_text
from fieldtrip.desktop.card import NOTES, Card
from fieldtrip.desktop.content.dates import search_for_stop
from fieldtrip.desktop.content.forms import kind_word
from fieldtrip.desktop.day_strip_panel import DayStripPanel
from fieldtrip.desktop.dialogs.about import show_about, show_keys
from fieldtrip.desktop.dialogs.add_stops import AddStopsDialog
from fieldtrip.desktop.dialogs.compare_days import CompareDaysDialog
from fieldtrip.desktop.dialogs.crossing import CrossingDialog
from fieldtrip.desktop.dialogs.dates import DatesDialog
from fieldtrip.desktop.dialogs.elevation import ElevationDialog
from fieldtrip.desktop.dialogs.forecast import ForecastDialog
from fieldtrip.desktop.dialogs.material import MaterialDialog
from fieldtrip.desktop.dialogs.return_plan import ReturnPlanDialog
from fieldtrip.desktop.dialogs.settings import SettingsDialog
from fieldtrip.desktop.dialogs.stop_wants import StopWantsDialog
from fieldtrip.desktop.dialogs.tide_files import TideFilesDialog
from fieldtrip.desktop.dialogs.tide_station import TideStationDialog
from fieldtrip.desktop.dialogs.tide_table import TideTableDialog
from fieldtrip.desktop.dialogs.trip_sheet import TripSheetDialog
from fieldtrip.desktop.dialogs.where_from import WhereFromDialog
from fieldtrip.desktop.drop_work import DropWork
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.file_traffic import FileTraffic
from fieldtrip.desktop.horizons import Horizons
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map_ground import MapGround
from fieldtrip.desktop.map_menus import (
    add_copying,
    add_ground_layers,
    add_line_context,
    add_line_verbs,
    add_measuring,
)
from fieldtrip.desktop.map_panel import LAYERS, MapPanel
from fieldtrip.desktop.material_shelf import MaterialShelf
from fieldtrip.desktop.menu import Menu
from fieldtrip.desktop.paths import LIBRARY_FILTER, LIBRARY_SUFFIX
from fieldtrip.desktop.places_panel import PlacesPanel
from fieldtrip.desktop.plan_work import PlanWork
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.scouting import Scouting
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.sheet_making import GroundFiles
from fieldtrip.desktop.terrain_layers import TerrainLayers
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import (
    ClosureKind,
    HazardKind,
    Location,
    Refuge,
    Shape,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.settings import Theme
from fieldtrip.store.store import Store
from fieldtrip.tides.records import TideTable
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Stop, Trip
from fieldtrip.weather.records import Forecast

PAGES = ("Notes", "Light", "Tide", "Checks", "Skyline", "Plan")
_WAYS_REACH_M = 8_000.0  # around a location, within which its ways lie
_POINTS = (VantagePoint, Subject, Refuge, StartPlace)
_POINT_KEYS = {VantagePoint: "Ctrl+Shift+V", Subject: "Ctrl+Shift+S"}
_HAZARDS = (
    ("Cliff edge, as a line…", HazardKind.CLIFF_EDGE, Shape.LINE),
    ("Cliff foot, as a line…", HazardKind.CLIFF_FOOT, Shape.LINE),
    ("Tide, as an area…", HazardKind.TIDE, Shape.AREA),
    ("Waves, as a point…", HazardKind.WAVES, Shape.POINT),
    ("Soft ground, as an area…", HazardKind.SOFT_GROUND, Shape.AREA),
    ("Slippery rock, as a point…", HazardKind.SLIPPERY, Shape.POINT),
    ("River, as a line…", HazardKind.RIVER, Shape.LINE),
    ("Other, as a point…", HazardKind.OTHER, Shape.POINT),
)
_CLOSURES = (
    ("Nesting, as an area…", ClosureKind.NESTING, Shape.AREA),
    ("A season, as an area…", ClosureKind.SEASONAL, Shape.AREA),
    ("Gate or car park hours, as a point…", ClosureKind.HOURS, Shape.POINT),
    ("Works, as a line…", ClosureKind.WORKS, Shape.LINE),
    ("Other, as an area…", ClosureKind.OTHER, Shape.AREA),
)
_THEMES = {
    Theme.SYSTEM: "Paper as the system has it",
    Theme.LIGHT: "Light paper",
    Theme.DARK: "Dark paper",
}


@dataclass(frozen=True, slots=True)
class Desk:
    """The parts of the window that a verb may need."""

    window: QMainWindow
    library: Library
    selection: Selection
    preferences: Preferences
    jobs: Jobs
    shelf: MaterialShelf
    ground: MapGround
    elevations: Elevations
    horizons: Horizons
    terrain: TerrainLayers
    drops: DropWork
    planning: PlanWork
    scouting: Scouting
    places: PlacesPanel
    map: MapPanel
    card: Card
    strip: DayStripPanel
    below: QWidget  # the card with its cautions
    tell: Callable[[str], None]
    turn_to_library: Callable[[Store], None]
    now: Callable[[], datetime]
    today: Callable[[], date]  # at the chosen place
    sheet_ground: Callable[[], GroundFiles]


class Menus(QObject):
    """Builds the menus, and does what needs a dialog."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk.window)
        self._desk = desk
        self._dialogs: list[QWidget] = []
        self._find_online: Callable[..., Any] | None = None  # which minds its manners
        self._material: MaterialDialog | None = None
        self._elevation: ElevationDialog | None = None
        self.files = FileTraffic(
            desk.window,
            desk.library,
            desk.selection,
            desk.preferences,
            desk.jobs,
            desk.map,
            keep=self._keep,
            tell=desk.tell,
            now=desk.now,
        )
        self._library_menu(self._top("&Library"))
        self._edit_menu(self._top("&Edit"))
        self._place_menu(self._top("&Place"))
        self._trip_menu(self._top("&Trip"))
        self._view_menu(self._top("&View"))
        self._help_menu(self._top("&Help"))
        desk.map.contextAsked.connect(self.open_on_map)
        desk.places.contextAsked.connect(self.open_on_list)
        desk.places.removeAsked.connect(self._remove)
        desk.card.sources.tideTableAsked.connect(self.type_tide_table)
        desk.card.sources.forecastAsked.connect(self.type_forecast)
        desk.card.sources.stationAsked.connect(self.choose_station)
        desk.card.trip_page.stopWantsAsked.connect(self.say_what_stop_wants)
        desk.strip.datesAsked.connect(lambda: self.find_dates())

    def close_dialogs(self) -> None:
        """Close what is still open, with what was typed in it kept as drafts."""
        for dialog in self._dialogs:
            dialog.close()

    # The menu bar

    def _top(self, title: str) -> Menu:
        window = self._desk.window
        return Menu(window.menuBar().addMenu(title), window, self._desk.tell)

    def _library_menu(self, menu: Menu) -> None:
        menu.verb("&New library…", self._new_library)
        menu.verb("&Open…", self._open_library, QKeySequence.StandardKey.Open)
        menu.verb("Save a &copy as…", self._save_copy)
        menu.rule()
        menu.verb("&Settings…", self._settings, "Ctrl+,")
        menu.rule()
        menu.verb("&Quit", self._desk.window.close, QKeySequence.StandardKey.Quit)

    def _edit_menu(self, menu: Menu) -> None:
        stack = self._desk.library.undo_stack
        for action, key in (
            (stack.createUndoAction(self._desk.window, "&Undo"), "Ctrl+Z"),
            (stack.createRedoAction(self._desk.window, "&Redo"), "Ctrl+Shift+Z"),
        ):
            action.setShortcut(QKeySequence(key))
            menu.menu.addAction(action)
        menu.rule()
        menu.verb("&Edit what is chosen", self._desk.card.edit, "F2")
        menu.verb("Re&move what is chosen", self._remove, "Ctrl+Backspace")
        add_copying(menu, self._desk.map, _copy, "Ctrl+Shift+C")
        menu.rule()
        menu.verb("&Find", self._find, QKeySequence.StandardKey.Find)

    def _place_menu(self, menu: Menu) -> None:
        the_map = self._desk.map
        menu.verb("New &location…", partial(the_map.start_point, Location), "Ctrl+L")
        menu.rule()
        for kind in _POINTS:
            menu.verb(
                f"Add {kind_word(kind)}…",
                partial(self._add_point, kind),
                _POINT_KEYS.get(kind),
            )
        menu.verb("Draw &leg of a route…", self._draw_leg, "Ctrl+Shift+L")
        add_line_verbs(menu.below("Line or &route"), the_map)
        hazards = menu.below("Add &hazard")
        for text, hazard, shape in _HAZARDS:
            hazards.verb(text, partial(self._add_hazard, hazard, shape))
        menu.verb("Look for d&rops in the elevation model", self._look_for_drops)
        menu.verb("Add access &note", self._desk.scouting.add_note, "Ctrl+Shift+N")
        menu.verb("Note how the crossing &was…", self.note_crossing)
        menu.verb("&Tide station…", self.choose_station)
        menu.verb("Add per&mit", self._desk.scouting.add_permit)
        closures = menu.below("Add &closure")
        for text, closure, shape in _CLOSURES:
            closures.verb(text, partial(self._add_closure, closure, shape))
        not_drawn = partial(
            self._desk.scouting.add_closure, ClosureKind.OTHER, Shape.AREA
        )
        closures.verb("Not drawn on the map", not_drawn)
        menu.rule()
        menu.verb("&Import…", self.files.ask_import, "Ctrl+I")
        menu.verb("&Export…", self.files.ask_export, "Ctrl+E")
        menu.rule()
        menu.verb("&Find a place online…", self.find_online, "Ctrl+Shift+G")
        menu.verb("&Go to coordinates…", the_map.ask_where, "Ctrl+G")
        menu.verb("Show the whole &place", the_map.fit, "Ctrl+0")

    def _trip_menu(self, menu: Menu) -> None:
        menu.verb("&New trip", self._new_trip, QKeySequence.StandardKey.New)
        menu.verb("&Find dates…", lambda: self.find_dates(), "Ctrl+Shift+D")
        menu.verb("&Make the plan", self._desk.planning.make, "Ctrl+Shift+P")
        menu.verb("Compare &days…", self.compare_days, "Ctrl+Shift+Y")
        menu.verb("From w&here on this day…", self.find_places, "Ctrl+Shift+W")
        menu.verb("Show &checks", partial(self._page, "Checks"), "Ctrl+K")
        menu.verb("Add &gate", self._add_gate, "Ctrl+Shift+K")
        menu.verb("&Return plan…", self.show_return_plan, "Ctrl+Alt+R")
        menu.verb("Trip &sheet…", self.open_sheet, QKeySequence.StandardKey.Print)
        menu.rule()
        menu.verb("Type &tide table…", self.type_tide_table, "Ctrl+T")
        menu.verb("&Import tide file…", self.import_tides, "Ctrl+Shift+T")
        menu.verb("Type &forecast…", self.type_forecast, "Ctrl+Shift+F")

    def _view_menu(self, menu: Menu) -> None:
        desk = self._desk
        for number, page in enumerate(PAGES, start=1):
            menu.verb(f"{page} page", partial(self._page, page), f"Ctrl+{number}")
        menu.rule()
        for text, widget, key in (
            ("List of places", desk.places, "F6"),
            ("Card", desk.below, "F7"),
            ("Day strip", desk.strip, "F8"),
        ):
            menu.switch(text, True, widget.setVisible, key)
        layers = menu.below("On the &map")
        for name, words in LAYERS.items():
            layers.switch(words, True, partial(desk.map.set_layer_visible, name))
        add_ground_layers(menu.below("Of the &ground"), desk.terrain)
        menu.rule()
        add_measuring(menu, desk.map)
        menu.rule()
        menu.verb("Map mate&rial…", self.open_material, "Ctrl+Shift+M")
        menu.verb("&Elevation files…", self.open_elevations, "Ctrl+Shift+E")
        menu.rule()
        menu.verb("Go to the map", desk.map.focus_map, "Ctrl+M")
        menu.verb("Go to the day strip", partial(_focus, desk.strip), "Ctrl+D")
        menu.rule()
        menu.verb("Larger text", partial(self._scale_text, 10), "Ctrl++")
        menu.verb("Smaller text", partial(self._scale_text, -10), "Ctrl+-")
        menu.rule()
        theme = desk.preferences.settings.theme
        menu.one_of({str(k): v for k, v in _THEMES.items()}, str(theme), self._paper)

    def _help_menu(self, menu: Menu) -> None:
        window = self._desk.window
        menu.verb("&Keys", lambda: self._keep(show_keys(window)), "F1")
        menu.verb("&About Fieldtrip", lambda: self._keep(show_about(window)))

    # Menus on a place

    def open_on_map(self, position: Position, record_id: str, where: QPoint) -> None:
        """What can be done at a spot on the map, or with what lies there."""
        desk = self._desk
        _close_popup()  # a fast hand may ask again before the last one is up
        pop = QMenu(desk.window)
        pop.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu = Menu(pop, pop, desk.tell)
        if record_id:
            menu.verb("Edit", desk.card.edit)
            menu.verb("Remove", self._remove)
            add_copying(menu, desk.map, _copy)
            menu.rule()
            add_line_context(menu, desk.map)
        if desk.selection.location_id is not None:
            for kind in _POINTS:
                menu.verb(
                    f"Add {kind_word(kind)} here",
                    partial(desk.scouting.add_at, kind, position),
                )
            menu.verb("Draw a leg from here…", partial(self._draw_leg, position))
        menu.verb(
            "New location here", partial(desk.scouting.add_at, Location, position)
        )
        menu.rule()
        for text in (
            decimal_text(position),
            degrees_minutes_text(position),
            utm_text(position),
        ):
            menu.verb(f"Copy {text}", partial(_copy, text))
        pop.popup(where)

    def open_on_list(self, where: QPoint) -> None:
        """What can be done with the chosen line of the list."""
        desk = self._desk
        _close_popup()  # a fast hand may ask again before the last one is up
        pop = QMenu(desk.window)
        pop.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu = Menu(pop, pop, desk.tell)
        menu.verb("Edit", desk.card.edit)
        menu.verb("Show on the map", desk.map.show_chosen)
        menu.verb("New trip here", self._new_trip)
        add_copying(menu, desk.map, _copy)
        menu.rule()
        menu.verb("Remove", self._remove)
        pop.popup(where)

    # Verbs

    def type_tide_table(self, table: TideTable | None = None) -> None:
        """Open the window in which a printed table is typed."""
        desk = self._desk
        dossier = self._dossier("A tide table belongs to a location")
        if self._raise_open(TideTableDialog, (table or dossier.location).id):
            return
        dialog = TideTableDialog(
            desk.library, dossier.location, desk.preferences, table=table
        )
        self._keep(dialog)

    def import_tides(self, paths: Sequence[Path] = ()) -> TideFilesDialog:
        """Open the window in which tide files come in, and ask for them."""
        desk = self._desk
        dossier = self._dossier("Tide files belong to a location")
        dialog = TideFilesDialog(
            desk.library, dossier.location, desk.preferences, desk.jobs, paths
        )
        dialog.told.connect(desk.tell)
        self._keep(dialog)
        if not paths:
            dialog.ask_files()
        return dialog

    def type_forecast(self, forecast: Forecast | None = None) -> None:
        """Open the window in which a forecast is typed."""
        desk = self._desk
        dossier = self._dossier("A forecast belongs to a location")
        if self._raise_open(ForecastDialog, (forecast or dossier.location).id):
            return
        dialog = ForecastDialog(
            desk.library,
            dossier.location,
            desk.preferences,
            day=desk.selection.day,
            now=desk.now,
            forecast=forecast,
        )
        self._keep(dialog)

    def open_sheet(self) -> TripSheetDialog:
        """Open the window of the trip sheet, or bring it forward."""
        desk = self._desk
        for dialog in self._dialogs:
            if isinstance(dialog, TripSheetDialog) and dialog.isVisible():
                dialog.raise_()
                dialog.activateWindow()
                return dialog
        made = TripSheetDialog(
            desk.library,
            desk.selection,
            desk.preferences,
            desk.jobs,
            ground=desk.sheet_ground,
            now=desk.now,
            heights_changed=desk.elevations.changed,
        )
        self._keep(made)
        return made

    def choose_station(self) -> None:
        """Open the window in which a place gets its tide station."""
        desk = self._desk
        dossier = self._dossier("A tide station belongs to a location")
        at = dossier.location.id
        if not self._raise_open(TideStationDialog, at):
            self._keep(
                TideStationDialog(desk.library, at, desk.preferences, now=desk.now)
            )

    def note_crossing(self) -> None:
        """Open the window in which one notes that a crossing was open or shut."""
        desk = self._desk
        dossier = self._dossier("A crossing belongs to a location")
        if self._raise_open(CrossingDialog, dossier.location.id):
            return
        dialog = CrossingDialog(
            desk.library,
            dossier,
            desk.preferences,
            leg_id=desk.selection.record_id,
            instant=desk.selection.instant,
            now=desk.now,
        )
        self._keep(dialog)

    def find_dates(self, search_id: UUID | None = None) -> None:
        """Open the window in which one searches for dates, or on a kept search."""
        desk = self._desk
        dossier = self._dossier("Dates belong to a location")
        if self._raise_open(DatesDialog, dossier.location.id):
            for open_one in self._dialogs:
                if isinstance(open_one, DatesDialog) and search_id is not None:
                    open_one.turn_to(search_id)
            return
        dialog = DatesDialog(
            desk.library,
            desk.selection,
            desk.preferences,
            desk.jobs,
            today=desk.today,
            now=desk.now,
            skyline_of=desk.horizons.skyline_deg,
            search=by_id(dossier.searches, search_id),
        )
        dialog.dayAsked.connect(desk.selection.choose_time)
        dialog.told.connect(desk.tell)
        self._keep(dialog)

    def find_dates_for_stop(self, stop_id: UUID) -> None:
        """Open the search for dates on what a stop needs."""
        desk = self._desk
        stop = desk.library.get(Stop, stop_id)
        trip = None if stop is None else desk.library.get(Trip, stop.trip_id)
        dossier = None if trip is None else desk.library.dossier(trip.location_id)
        if stop is None or trip is None or dossier is None:
            return
        desk.selection.choose(trip, trip.location_id)
        self.find_dates()
        for dialog in self._dialogs:
            if isinstance(dialog, DatesDialog) and dialog.owner_id == trip.location_id:
                dialog.take(search_for_stop(dossier, stop, desk.today()), trip.id)

    def find_places(self) -> None:
        """Open the window that tells from where a body stands over a subject."""
        desk = self._desk
        dossier = self._dossier("What is looked at belongs to a location")
        if self._raise_open(WhereFromDialog, dossier.location.id):
            return
        ground = desk.elevations.ground
        dialog = WhereFromDialog(
            desk.library,
            desk.selection,
            desk.preferences,
            desk.jobs,
            grid_at=lambda position: ground.grid_for(position, _WAYS_REACH_M),
        )
        dialog.dayAsked.connect(desk.selection.choose_time)
        dialog.positionAsked.connect(desk.map.go_to)
        dialog.addAsked.connect(
            lambda position: desk.scouting.add_at(VantagePoint, position)
        )
        self._keep(dialog)

    def say_what_stop_wants(self, stop_id: UUID) -> None:
        """Open the window in which one says what a stop is for."""
        desk = self._desk
        stop = desk.library.get(Stop, stop_id)
        if stop is not None and not self._raise_open(StopWantsDialog, stop_id):
            dialog = StopWantsDialog(desk.library, stop, desk.preferences)
            dialog.datesAsked.connect(self.find_dates_for_stop)
            self._keep(dialog)

    def show_return_plan(self) -> None:
        """Open the window with the text for whoever waits."""
        desk = self._desk
        trip = self._chosen_trip()
        if not self._raise_open(ReturnPlanDialog, trip.id):
            dialog = ReturnPlanDialog(
                desk.library, trip, desk.preferences, now=desk.now
            )
            self._keep(dialog)

    def _add_gate(self) -> None:
        """Show the trip's page, and add a gate to it."""
        trip, card = self._chosen_trip(), self._desk.card
        self._desk.below.show()
        self._desk.selection.choose(trip, trip.location_id)
        card.turn_to(NOTES)
        if card.trip_page.more is not None:
            card.trip_page.more.add()

    def _chosen_trip(self) -> Trip:
        trip = self._desk.library.get(Trip, self._desk.selection.trip_id)
        if trip is None:
            raise UserError("Choose a trip in the list first, or make one: New trip.")
        return trip

    def compare_days(self) -> None:
        """Open the window in which the chosen trip is planned for many days."""
        desk = self._desk
        if self._raise_open(CompareDaysDialog, self._chosen_trip().id):
            return
        dialog = CompareDaysDialog(
            desk.library,
            desk.selection,
            desk.preferences,
            desk.jobs,
            desk.planning,
            now=desk.now,
        )
        dialog.told.connect(desk.tell)
        self._keep(dialog)

    def add_stops(self) -> None:
        """Open the window in which vantage points are chosen as stops."""
        desk, trip = self._desk, self._chosen_trip()
        dossier = desk.library.dossier(trip.location_id)
        if dossier is not None and not self._raise_open(AddStopsDialog, trip.id):
            minute = desk.selection.instant
            self._keep(AddStopsDialog(desk.library, dossier, trip, minute))

    def find_online(self) -> None:
        """Open the window in which a place is looked up on the network."""
        # Imported when it is wanted: it takes a third of a second, and few want it.
        from fieldtrip.desktop.dialogs.online_places import OnlinePlacesDialog
        from fieldtrip.desktop.online_places import OnlinePlaces

        desk = self._desk
        if self._find_online is None:
            self._find_online = OnlinePlaces().find
        dialog = OnlinePlacesDialog(desk.jobs, self._find_online)
        dialog.goAsked.connect(desk.map.go_to)
        dialog.locationAsked.connect(
            lambda place: self._add_place(place.position, place.short_name)
        )
        self._keep(dialog)

    def _add_place(self, position: Position, name: str) -> None:
        self._desk.map.go_to(position)
        try:
            self._desk.scouting.add_location(position, name)
        except UserError as error:  # a library that is open for reading only
            self._desk.tell(str(error))

    def open_material(self) -> MaterialDialog:
        """Open the window of what lies below our own layers, or bring it forward."""
        if self._material is None:
            self._material = MaterialDialog(self._desk.shelf, self._desk.ground)
        self._keep(self._material)
        return self._material

    def open_elevations(self) -> ElevationDialog:
        """Open the window of the library's elevation files, or bring it forward."""
        desk = self._desk
        if self._elevation is None:
            self._elevation = ElevationDialog(desk.elevations, desk.preferences)
        self._keep(self._elevation)
        return self._elevation

    def _dossier(self, why: str) -> Dossier:
        at = self._desk.scouting.location_id()
        dossier = self._desk.library.dossier(at)
        if dossier is None:
            raise UserError(f"{why}: choose one in the list first.")
        return dossier

    def _raise_open(
        self,
        kind: type[
            TideTableDialog
            | ForecastDialog
            | TideStationDialog
            | CrossingDialog
            | ReturnPlanDialog
            | StopWantsDialog
            | DatesDialog
            | WhereFromDialog
            | CompareDaysDialog
            | AddStopsDialog
        ],
        owner_id: UUID,
    ) -> bool:
        """Bring a window for the same thing forward, if one is open."""
        for dialog in self._dialogs:
            if not isinstance(dialog, kind) or not dialog.isVisible():
                continue
            if dialog.owner_id == owner_id:
                dialog.raise_()
                dialog.activateWindow()
                return True
        return False

    def _keep(self, dialog: QWidget) -> None:
        """Show a window beside this one, and hold on to it while it is open."""
        self._dialogs = [d for d in self._dialogs if d.isVisible()]
        self._dialogs.append(dialog)
        dialog.setParent(self._desk.window, Qt.WindowType.Window)
        dialog.show()
        dialog.raise_()
        dialog.activateWindow()

    def _new_trip(self) -> None:
        dossier = self._dossier("A trip goes to a location")
        day = self._desk.selection.day
        trip = Trip(location_id=dossier.location.id, name="New trip", day=day)
        self._desk.library.add("add trip", trip)
        self._desk.selection.choose(trip, dossier.location.id)
        self._desk.card.edit()

    def _add_point(self, kind: type) -> None:
        self._desk.scouting.location_id()  # refuses where there is none
        self._desk.map.start_point(kind)

    def _add_hazard(self, kind: HazardKind, shape: Shape) -> None:
        self._desk.scouting.location_id()
        self._desk.map.start_hazard(kind, shape)

    def _add_closure(self, kind: ClosureKind, shape: Shape) -> None:
        self._desk.scouting.location_id()
        self._desk.map.start_closure(kind, shape)

    def _draw_leg(self, start: Position | None = None) -> None:
        self._desk.scouting.location_id()
        self._desk.map.start_leg(start)

    def _look_for_drops(self) -> None:
        self._desk.drops.look()
        self._desk.below.show()
        self._desk.card.show_ground()

    def _remove(self) -> None:
        self._desk.map.together.remove()

    def _find(self) -> None:
        self._desk.places.show()
        self._desk.places.search.setFocus()
        self._desk.places.search.selectAll()

    def _page(self, name: str) -> None:
        self._desk.below.show()
        self._desk.card.turn_to(name)
        _focus(self._desk.card.pages.currentWidget())

    def _paper(self, value: str) -> None:
        preferences = self._desk.preferences
        preferences.settings = replace(preferences.settings, theme=Theme(value))

    def _scale_text(self, by: int) -> None:
        preferences = self._desk.preferences
        percent = min(max(preferences.settings.text_percent + by, 70), 200)
        preferences.settings = replace(preferences.settings, text_percent=percent)

    def _settings(self) -> None:
        self._keep(SettingsDialog(self._desk.preferences))

    def _new_library(self) -> None:
        path = self._ask_path("New library", f"library{LIBRARY_SUFFIX}")
        if path is None:
            return
        if path.exists():
            raise UserError(f"“{path.name}” is already there. Choose another name.")
        self._desk.turn_to_library(Store.open(path))

    def _open_library(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self._desk.window, "Open a library", "", LIBRARY_FILTER
        )
        if name:
            self._desk.turn_to_library(Store.open(Path(name)))

    def _save_copy(self) -> None:
        path = self._ask_path("Save a copy as", f"copy{LIBRARY_SUFFIX}")
        if path is not None:
            self._desk.library.store.copy_to(path)
            self._desk.elevations.carry_along(path)
            self._desk.tell(f"A copy of the library was written to {path}.")

    def _ask_path(self, title: str, name: str) -> Path | None:
        found, _ = QFileDialog.getSaveFileName(
            self._desk.window, title, name, LIBRARY_FILTER
        )
        if not found:
            return None
        path = Path(found)
        return path if path.suffix else path.with_suffix(LIBRARY_SUFFIX)


def _close_popup() -> None:
    while isinstance(popup := QApplication.activePopupWidget(), QMenu):
        popup.close()


def _copy(text: str) -> None:
    QGuiApplication.clipboard().setText(text)


def _focus(widget: QWidget | None) -> None:
    if widget is not None:
        widget.setFocus(Qt.FocusReason.ShortcutFocusReason)
