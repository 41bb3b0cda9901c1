"""The map in the window: shows what is chosen, and turns gestures into edits."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any
from uuid import UUID

from PySide6.QtCore import QPoint, Qt, QTimer, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout

from fieldtrip.almanac.sky_site import seen_from
from fieldtrip.almanac.tide_day import LegTide
from fieldtrip.coordinates import degrees_minutes_text
from fieldtrip.desktop.content.crowd import thinned
from fieldtrip.desktop.content.forms import kind_word
from fieldtrip.desktop.content.hover import add_cards
from fieldtrip.desktop.content.map_features import EDGE_HINT
from fieldtrip.desktop.content.map_layers import (
    NOTHING,
    all_positions,
    leg_tides,
    place_layers,
    sky_layers,
)
from fieldtrip.desktop.content.map_outline import outline_features
from fieldtrip.desktop.content.trip_on_map import minute_features
from fieldtrip.desktop.coordinate_bar import CoordinateBar
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.line_work import LineWork
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.tools import Tool
from fieldtrip.desktop.map_aids import MapAids
from fieldtrip.desktop.map_crowd import MapCrowd
from fieldtrip.desktop.map_work import MapWork
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.scouting import Scouting
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.desktop.together import Together
from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position
from fieldtrip.places.records import (
    Closure,
    ClosureKind,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Shape,
)
from fieldtrip.sky.events import DayEvents, day_events
from fieldtrip.sky.site import Site
from fieldtrip.times import local_day
from fieldtrip.trips.dossier import Dossier, by_id

LAYERS: Mapping[str, str] = {
    "places": "Places",
    "routes": "Routes",
    "hazards": "Hazards",
    "closures": "Closures",
    "plan": "Plan of the trip",
    "minute": "What is shut now, and where the plan is",
    "sun": "Sun",
    "moon": "Moon",
}
_TOOL_OF = {Shape.POINT: Tool.POINT, Shape.LINE: Tool.LINE, Shape.AREA: Tool.AREA}
log = logging.getLogger(__name__)


class MapPanel(Panel):
    """Makes the web view once the window is up: the list must not wait for it."""

    told = Signal(str)
    contextAsked = Signal(object, str, QPoint)  # Position, record id or "", on screen
    viewMade = Signal(object)  # the MapView, once
    ready = Signal()

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        scouting: Scouting,
        cache_folder: Path,
        drawing: Callable[[], Path | None],
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._scouting = scouting
        self._cache_folder = cache_folder
        self._drawing = drawing
        self._theme = LIGHT
        self._visible: dict[str, bool] = {}
        self._then: Callable[[Any], None] | None = None  # what is done with a drawing
        self._tides: Mapping[UUID, LegTide] = {}  # of the chosen day
        self._fitted: UUID | None = None  # the location that the map was fitted to
        self.view: MapView | None = None
        self.lines = LineWork(library, selection, self)
        self.together = Together(library, selection, scouting, self)
        self.aids = MapAids(library, selection, preferences, self)
        self._work = MapWork(self.lines, self.together, preferences, self)
        self._crowd = MapCrowd(library, selection, preferences, self)
        self._places = NOTHING  # of the chosen location, before any is thinned out
        self._is_thinned = False
        self.bar = CoordinateBar()
        self._waiting = QLabel("The map is being made ready…")
        self._waiting.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._waiting.setProperty("soft", True)
        self._room = QGridLayout()  # the map, and over it the words while one waits
        self._room.addWidget(self._waiting, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.bar)
        column.addWidget(self.aids.bar)
        column.addLayout(self._room, 1)
        self.setMinimumSize(260, 200)
        self.bar.taken.connect(self._take_typed)
        self.bar.echoed.connect(self.show_echo)
        self.bar.left.connect(self._leave)
        for part in (self.lines, self.together, self.aids, self._work):
            part.told.connect(self.told)
        self.aids.busy.connect(self._leave)
        self._crowd.zoomed.connect(self._thin)
        self.follow(library.changed, selection.changed, preferences.changed)
        selection.minuteChanged.connect(self._show_sky)
        library.changed.connect(self._show_drawing)

    # Showing

    def refresh(self) -> None:
        """Show the places and the sky as they are now."""
        if self.view is None:
            QTimer.singleShot(0, self._make_view)
            return
        self.view.set_length_unit(self._preferences.settings.length_unit)
        self.view.setZoomFactor(self._preferences.settings.text_percent / 100.0)
        dossier = self._library.dossier(self._selection.location_id)
        trip = by_id(dossier.trips, self._selection.trip_id) if dossier else None
        day = local_day(self._selection.day, dossier.location.zone) if dossier else None
        settings = self._preferences.settings
        self._tides = {}
        if dossier and day:
            self._tides = leg_tides(dossier, day, trip, settings)
        layers = place_layers(
            dossier,
            (),
            trip,
            day,
            self._chosen(),
            settings,
            self._tides,
        )
        records = _records(dossier) if dossier else {}
        for name, features in layers.items():
            add_cards(features["features"], records.get, self._preferences.settings)
            if name != "places":
                self.view.show_layer(name, features)
        self._places = layers["places"]
        self._show_places()
        self._show_sky()
        if self._selection.location_id != self._fitted:
            self._fitted = self._selection.location_id
            self.fit()

    def _chosen(self) -> set[UUID]:
        selection = self._selection
        one = (selection.record_id, selection.vantage_point_id)
        return {found for found in (*one, *selection.picked) if found is not None}

    def _show_places(self) -> None:
        zoom = self._crowd.zoom
        if self.view is None:
            return
        features = self._places
        if zoom is not None:
            features = thinned(features, zoom, self._chosen())
        self._is_thinned = features is not self._places
        self.view.show_layer("places", features)

    def _thin(self, zoom: float) -> None:
        """Draw the places anew where a zoom lets other ones cover each other."""
        is_thinned = thinned(self._places, zoom, self._chosen()) is not self._places
        if is_thinned or self._is_thinned:
            self._show_places()

    def set_theme(self, theme: Theme) -> None:
        """Draw on this paper."""
        self._theme = theme
        if self.view is not None:
            self.view.set_dark(theme.is_dark)

    def set_layer_visible(self, name: str, is_visible: bool) -> None:
        """Show or hide a layer."""
        for one in (name, "around") if name == "places" else (name,):
            self._visible[one] = is_visible
            if self.view is not None:
                self.view.set_layer_visible(one, is_visible)

    def fit(self) -> None:
        """Show the whole chosen location, or all locations."""
        if self.view is None:
            return
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is not None:
            positions = list(all_positions(dossier))
        else:
            positions = [at.position for at in self._crowd.locations()]
        if len(set(positions)) == 1:
            self.view.look_at(positions[0], 15.0)
        else:
            self.view.fit(positions)

    def show_chosen(self) -> None:
        """Put what is chosen into the middle."""
        kind, record_id = self._selection.record_kind, self._selection.record_id
        record: Any = self._library.get(kind, record_id) if kind else None
        if self.view is None or record is None:
            return
        line: Line = getattr(record, "line", ())
        position: Position | None = getattr(record, "position", None)
        if isinstance(record, Location):
            self.fit()
        elif len(line) > 1:
            self.view.fit(line)
        elif position is not None or line:
            self.view.look_at(position or line[0], 16.0)

    def go_to(self, position: Position) -> None:
        """Put a position into the middle."""
        if self.view is not None:
            self.view.look_at(position)

    def show_echo(self, position: Position | None) -> None:
        """Mark where typed coordinates would land."""
        if self.view is not None:
            words = degrees_minutes_text(position) if position else ""
            self.view.show_echo(position, words)

    def focus_map(self) -> None:
        """Let the keys move the map."""
        if self.view is not None:
            self.view.setFocus()

    def close_view(self) -> None:
        """Let the page go while the web engine is still whole."""
        if self.view is not None:
            self.view.close()
            self.view = None

    # Drawing

    def ask_where(self) -> None:
        """Type coordinates to go to."""
        self._leave()
        self.bar.ask("Go to")

    def start_point(self, kind: type) -> None:
        """Place a new record by a click or by typed coordinates."""
        word = kind_word(kind)
        self._start(
            Tool.POINT,
            f"New {word}.",
            lambda position: self._scouting.add_at(kind, position),
        )
        self.bar.ask(f"New {word} at")

    def start_hazard(self, kind: HazardKind, shape: Shape) -> None:
        """Draw a new hazard."""

        def store(drawn: Any) -> None:
            line = (drawn,) if shape is Shape.POINT else drawn
            self._scouting.add_hazard(kind, shape, line)

        hint = f"New hazard: {kind}. {_edge_hint(kind, shape)}".strip()
        self._start(_TOOL_OF[shape], hint, store)
        if shape is Shape.POINT:
            self.bar.ask("New hazard at")

    def start_closure(self, kind: ClosureKind, shape: Shape) -> None:
        """Draw a new closure."""

        def store(drawn: Any) -> None:
            line = (drawn,) if shape is Shape.POINT else drawn
            self._scouting.add_closure(kind, shape, line)

        self._start(_TOOL_OF[shape], f"New closure: {kind}.", store)
        if shape is Shape.POINT:
            self.bar.ask("New closure at")

    def start_leg(self, start: Position | None = None) -> None:
        """Draw a new leg, on from a position if given."""

        def store(line: Line) -> None:
            self._scouting.add_leg(line if start is None else (start, *line))

        self._start(Tool.LINE, "New leg.", store)

    def start_redraw(self, record: Leg | Hazard | Closure) -> None:
        """Draw the line of a leg, a hazard or a closure again."""
        shape = Shape.LINE if isinstance(record, Leg) else record.shape

        def store(drawn: Any) -> None:
            line = (drawn,) if shape is Shape.POINT else drawn
            self._scouting.redraw(record, line)

        edge = _edge_hint(record.kind, shape) if isinstance(record, Hazard) else ""
        self._start(_TOOL_OF[shape], f"“{record.name}” again. {edge}".strip(), store)

    def _start(self, tool: Tool, hint: str, then: Callable[[Any], None]) -> None:
        if self.view is None:
            raise UserError("The map is not ready yet. Try again in a moment.")
        self.bar.close_quietly()
        self.aids.stop_measuring()
        self._then = None
        self.view.cancel_tool()
        self._then = then
        self.view.start_tool(tool, hint)

    def _finish(self, drawn: Any) -> None:
        then, self._then = self._then, None
        self.bar.close_quietly()
        if then is None:
            return
        try:
            then(drawn)
        except UserError as error:
            self.told.emit(str(error))

    def _take_typed(self, position: Position) -> None:
        if self._then is None:
            if self.view is not None:
                self.view.look_at(position)
            return
        then = self._then
        self._leave()
        self._then = then
        self._finish(position)
        if self.view is not None:
            self.view.look_at(position)  # what was made far off shall be seen

    def _leave(self) -> None:
        self._then = None
        self.bar.close_quietly()
        if self.view is not None:
            self.view.cancel_tool()

    def _end_tool(self) -> None:
        self._then = None
        self.bar.close_quietly()

    # The view

    def _make_view(self) -> None:
        if self.view is not None:
            return
        view = MapView(self._cache_folder, self)
        self.view = view
        view.setAccessibleName("Map")
        view.pointed.connect(self._finish)
        view.drawn.connect(self._finish)
        view.toolEnded.connect(self._end_tool)
        view.featureChosen.connect(self._choose)
        view.featureDropped.connect(self._drop)
        view.contextAsked.connect(self._ask_context)
        view.ready.connect(self._be_ready)
        for part in (self._crowd, self._work, self.aids):
            part.attach(view)
        view.set_dark(self._theme.is_dark)
        for name, is_visible in self._visible.items():
            view.set_layer_visible(name, is_visible)
        self._show_drawing()
        self._room.addWidget(view, 0, 0)
        self._waiting.raise_()
        self.setTabOrder(self.bar.take, view)
        self.viewMade.emit(view)
        self.refresh()

    def _be_ready(self) -> None:
        self._waiting.hide()
        self.ready.emit()

    def _show_drawing(self) -> None:
        """The outline of the land, where there is a drawing of it."""
        if self.view is None:
            return
        path = self._drawing()
        features = NOTHING
        try:
            if path:
                features = outline_features(json.loads(path.read_text("utf-8")))
        except (OSError, ValueError, UserError):
            log.warning("the drawing %s cannot be read", path)
        self.view.show_layer("outline", features)

    def _show_sky(self) -> None:
        if self.view is None or not self.isVisible():
            self._is_stale = True
            return
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            for name in ("sun", "moon", "minute"):
                self.view.show_layer(name, NOTHING)
            return
        settings = self._preferences.settings
        seen = seen_from(dossier, self._selection.vantage_point_id, settings)
        layers = sky_layers(
            seen,
            _events(seen.site, self._selection.day, dossier.location.zone),
            self._selection.instant,
            by_id(dossier.subjects, self._selection.subject_id),
            dossier,
            settings,
        )
        for name, features in layers.items():
            self.view.show_layer(name, features)
        self._show_way(dossier)

    def _show_way(self, dossier: Dossier) -> None:
        """What is shut at the minute, and where the plan of the day has one."""
        trip = by_id(dossier.trips, self._selection.trip_id)
        features = minute_features(
            dossier,
            trip if trip is not None and trip.day == self._selection.day else None,
            self._selection.instant,
            self._tides,
            self._preferences.settings,
        )
        if self.view is not None:
            self.view.show_layer("minute", features)

    def _choose(self, record_id: str) -> None:
        self._scouting.choose_id(UUID(record_id))

    def _drop(self, record_id: str, position: Position) -> None:
        try:
            self.together.move(UUID(record_id), position)
        except UserError as error:
            self.told.emit(str(error))
            self.refresh()  # back to where it was

    def _ask_context(self, position: Position, record_id: str, where: QPoint) -> None:
        kept = {self._selection.record_id, *self._selection.picked}
        if record_id and UUID(record_id) not in kept:
            self._choose(record_id)
        self.contextAsked.emit(position, record_id, where)


def _edge_hint(kind: HazardKind, shape: Shape) -> str:
    is_edge = kind is HazardKind.CLIFF_EDGE and shape is Shape.LINE
    return EDGE_HINT if is_edge else ""


def _records(dossier: Dossier) -> dict[str, Any]:
    """What the map draws of a location, by id."""
    kinds = (
        (dossier.location,), dossier.vantage_points, dossier.subjects, dossier.refuges,
        dossier.start_places, dossier.legs, dossier.hazards, dossier.closures,
    )  # fmt: skip
    return {str(record.id): record for kind in kinds for record in kind}


@lru_cache(maxsize=16)
def _events(site: Site, day: date, zone: str) -> DayEvents:
    """A day's events, kept: they stay while the minute moves."""
    return day_events(site, day, zone)
