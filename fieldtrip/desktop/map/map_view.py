"""The map: a web view that shows GeoJSON layers by name and reports what is done."""

from __future__ import annotations

import json
import logging
import math
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPoint, Qt, QUrl, Signal
from PySide6.QtGui import QCloseEvent, QColor
from PySide6.QtWebChannel import QWebChannel
from PySide6.QtWebEngineCore import QWebEnginePage
from PySide6.QtWebEngineWidgets import QWebEngineView
from PySide6.QtWidgets import QWidget

from fieldtrip.desktop.map.bridge import MapBridge
from fieldtrip.desktop.map.ground import GroundBridge
from fieldtrip.desktop.map.handwork import Handwork
from fieldtrip.desktop.map.layer_queue import LayerQueue
from fieldtrip.desktop.map.overlays import OverlayBridge
from fieldtrip.desktop.map.page import MapPage
from fieldtrip.desktop.map.profile import map_profile
from fieldtrip.desktop.map.scheme import INDEX
from fieldtrip.desktop.map.tools import Tool
from fieldtrip.desktop.theme import DARK, LIGHT
from fieldtrip.geo import Position, normal_longitude_deg
from fieldtrip.settings import LengthUnit

_Ended = QWebEnginePage.RenderProcessTerminationStatus
log = logging.getLogger(__name__)


class MapView(QWebEngineView):
    """Remembers all it was told, so that the page may be loaded anew at any time.

    It must be gone before the application's web profile is: close it when its
    window closes.
    """

    pointed = Signal(object)  # Position: the tool POINT was used
    drawn = Signal(object)  # tuple[Position, ...]: LINE or AREA was used
    toolEnded = Signal()  # after either, or cancelled
    featureChosen = Signal(str)  # record id
    featureDropped = Signal(str, object)  # record id, Position where it was let go
    contextAsked = Signal(object, str, QPoint)  # Position, record id or "", on screen
    moved = Signal(object)  # Position under the pointer, or None
    ready = Signal()  # the page is there, and was sent everything
    painted = Signal(str)  # layer whose newest update is on the screen

    def __init__(self, cache_folder: Path, parent: QWidget | None = None) -> None:
        profile = map_profile(cache_folder)
        super().__init__(profile, parent)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.setAcceptDrops(False)  # the window takes files
        self.bridge = MapBridge(self)
        self.ground = GroundBridge(self)
        self.handwork = Handwork(self)
        self.overlays = OverlayBridge(profile.handler.overlays, self)
        self._layers = LayerQueue(self.bridge.layerShown.emit)
        self._visible: dict[str, bool] = {}
        self._is_dark = False
        self._length_unit = LengthUnit.METRE
        self._bounds: tuple[float, float, float, float] | None = None
        self._view: tuple[float, float, float] | None = None
        self._tool: tuple[Tool, str] | None = None
        self._echo: tuple[Position, str] | None = None

        page = MapPage(profile, self)
        page.setBackgroundColor(QColor(LIGHT.paper))
        channel = QWebChannel(page)
        channel.registerObject("bridge", self.bridge)
        channel.registerObject("ground", self.ground)
        channel.registerObject("handwork", self.handwork)
        channel.registerObject("overlays", self.overlays)
        page.setWebChannel(channel)
        page.renderProcessTerminated.connect(self._begin_again)
        self.setPage(page)
        self._listen()
        self.load(QUrl(INDEX))

    # Layers

    def show_layer(self, name: str, features: Mapping[str, Any]) -> None:
        """Show a GeoJSON FeatureCollection in place of any older one of this name."""
        self.show_layer_text(name, json.dumps(features, allow_nan=False))

    def show_layer_text(self, name: str, geojson: str) -> None:
        """Show what a job has already made text of."""
        self._layers.show(name, geojson)

    def hide_layer(self, name: str) -> None:
        """Take a layer away; nothing happens where there is none."""
        self._layers.hide(name)
        self.bridge.layerHidden.emit(name)

    def set_layer_visible(self, name: str, is_visible: bool) -> None:
        """Show or hide what a layer has, now and after every update."""
        self._visible[name] = is_visible
        self.bridge.layerVisibilitySet.emit(name, is_visible)

    # Looks

    def set_dark(self, is_dark: bool) -> None:
        """Draw on dark paper, or on light."""
        self._is_dark = is_dark
        self.page().setBackgroundColor(QColor((DARK if is_dark else LIGHT).paper))
        self.bridge.darkSet.emit(is_dark)

    def set_length_unit(self, unit: LengthUnit) -> None:
        """Write the scale bar in metres and kilometres, or in feet and miles."""
        self._length_unit = unit
        self.bridge.lengthUnitSet.emit(unit.value)

    def fit(self, positions: Sequence[Position]) -> None:
        """Show all these positions; nothing happens for none."""
        if not positions:
            return
        # Longitudes near the first one's, so that the date line does not part them.
        first = positions[0].lon_deg
        lats = [p.lat_deg for p in positions]
        lons = [first + _within_half_turn(p.lon_deg - first) for p in positions]
        self._bounds, self._view = (min(lats), min(lons), max(lats), max(lons)), None
        self.bridge.boundsFitted.emit(*self._bounds)

    def look_at(self, position: Position, zoom: float | None = None) -> None:
        """Put a position into the middle, at a zoom of 2 to 21, or as near as it is."""
        self._view = (
            position.lat_deg,
            position.lon_deg,
            -1.0 if zoom is None else zoom,
        )
        self.bridge.lookedAt.emit(*self._view)

    # Drawing by hand

    @property
    def tool(self) -> Tool | None:
        """The tool in use, or None."""
        return self._tool[0] if self._tool else None

    def start_tool(self, tool: Tool, hint: str = "") -> None:
        """Begin to draw; `hint` is put before the words that say how."""
        self._tool = (tool, f"{hint} {tool.hint}".strip())
        self.setFocus()
        self.bridge.toolStarted.emit(tool.value, self._tool[1])

    def cancel_tool(self) -> None:
        """Leave what was begun; nothing happens where no tool is in use."""
        if self._tool is not None:
            self.bridge.toolCancelled.emit()
            self._end_tool()

    def show_echo(self, position: Position | None, text: str = "") -> None:
        """Mark where typed coordinates would land; None takes the mark away."""
        if position is None:
            self._echo = None
            self.bridge.echoHidden.emit()
            return
        self._echo = (position, text)
        self.bridge.echoShown.emit(position.lat_deg, position.lon_deg, text)

    def run_js(self, script: str, callback: Callable[[Any], None]) -> None:
        """Run a script in the page; arrays and objects come back only as JSON text."""
        self.page().runJavaScript(script, 0, callback)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Go for good, while the web profile is still there."""
        super().closeEvent(event)
        self.deleteLater()

    # What the page says

    def _listen(self) -> None:
        bridge = self.bridge
        bridge.ready.connect(self._send_all)
        bridge.drawn.connect(self._settle)
        bridge.viewMoved.connect(self._remember_view)
        bridge.toolFinished.connect(self._finish_tool)
        bridge.toolAbandoned.connect(self._end_tool)
        bridge.featureChosen.connect(self.featureChosen)
        bridge.featureDropped.connect(
            lambda record_id, lat, lon: self.featureDropped.emit(
                record_id, _position(lat, lon)
            )
        )
        bridge.contextAsked.connect(self._ask_context)
        bridge.pointerMoved.connect(
            lambda lat, lon: self.moved.emit(_position(lat, lon))
        )
        bridge.pointerLeft.connect(lambda: self.moved.emit(None))

    def _send_all(self) -> None:
        bridge = self.bridge
        bridge.darkSet.emit(self._is_dark)
        bridge.lengthUnitSet.emit(self._length_unit.value)
        for name, is_visible in self._visible.items():
            bridge.layerVisibilitySet.emit(name, is_visible)
        if self._bounds:
            bridge.boundsFitted.emit(*self._bounds)
        if self._view:
            bridge.lookedAt.emit(*self._view)
        self._layers.open()
        if self._echo:
            self.show_echo(*self._echo)
        if self._tool:
            bridge.toolStarted.emit(*self._tool)
        self.handwork.send_all()
        self.overlays.send_all()
        self.ready.emit()

    def _settle(self, name: str, number: int, is_painted: bool) -> None:
        if self._layers.settle(name, number) and is_painted:
            self.painted.emit(name)

    def _remember_view(self, lat_deg: float, lon_deg: float, zoom: float) -> None:
        self._view = (lat_deg, lon_deg, zoom)

    def _finish_tool(self, name: str, text: str) -> None:
        if self.tool != name:
            return  # cancelled while its last word was under way
        self._tool = None
        positions = tuple(_position(lat, lon) for lat, lon in json.loads(text))
        if name == Tool.POINT:
            self.pointed.emit(positions[0])
        else:
            self.drawn.emit(positions)
        if self._tool is None:  # unless what was drawn began another
            self.toolEnded.emit()

    def _end_tool(self) -> None:
        self._tool = None
        self.toolEnded.emit()

    def _ask_context(
        self, lat_deg: float, lon_deg: float, record_id: str, x_px: int, y_px: int
    ) -> None:
        at = QPoint(x_px, y_px) * self.zoomFactor()
        self.contextAsked.emit(
            _position(lat_deg, lon_deg), record_id, self.mapToGlobal(at)
        )

    def _begin_again(
        self, status: QWebEnginePage.RenderProcessTerminationStatus, code: int
    ) -> None:
        if status is _Ended.NormalTerminationStatus:
            return  # closed, not crashed
        log.error("The map page ended (%s, %d) and is loaded again", status.name, code)
        self._layers.close()
        self.reload()


def _position(lat_deg: float, lon_deg: float) -> Position:
    """A position from the page, whose longitudes go on past the date line."""
    return Position(min(90.0, max(-90.0, lat_deg)), normal_longitude_deg(lon_deg))


def _within_half_turn(angle_deg: float) -> float:
    return math.remainder(angle_deg, 360.0)
