"""Brings the map material onto the map, and knows how each sheet fares."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from itertools import count
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QObject, QUrl, Signal
from PySide6.QtGui import QDesktopServices

from fieldtrip.desktop.content.coast_features import coast_box, coast_text
from fieldtrip.desktop.content.material import (
    SHORE_CREDITS,
    ShownSheet,
    links,
    page_values,
    server_credits,
)
from fieldtrip.desktop.drawing_file import Drawing, read_drawing
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.profile import map_profile
from fieldtrip.desktop.map.tile_desk import from_file, from_server
from fieldtrip.desktop.map.tile_fetcher import TileFetcher
from fieldtrip.desktop.material_shelf import MaterialShelf
from fieldtrip.errors import UserError
from fieldtrip.material.box import Box
from fieldtrip.material.coast import Coast
from fieldtrip.material.coast_files import HOW_TO_GET
from fieldtrip.material.records import Kind, Material
from fieldtrip.material.template import checked_template, server_name
from fieldtrip.material.tile_file import TileFile

NO_CREDIT = (
    "Type whose map it is first: the server’s terms say how. It stands on the map."
)
_COAST_JOB = "coastline"
Opened = Callable[[], None]  # closes what a sheet holds


class MapGround(QObject):
    """Follows the shelf; opens what is switched on, and closes what is not.

    A sheet that cannot be shown never costs another: it has a sentence instead.
    """

    statesChanged = Signal()
    told = Signal(str)

    def __init__(
        self,
        shelf: MaterialShelf,
        jobs: Jobs,
        cache_folder: Path,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._shelf = shelf
        self._jobs = jobs
        self._cache_folder = cache_folder
        self._view: MapView | None = None
        self._coast: Coast | None = None
        self._seen: tuple[Box, float] | None = None  # by the user
        self._coast_at: tuple[Box, float] | None = None  # asked for, or shown
        self._open: dict[UUID, tuple[Material, Opened]] = {}
        self._shown: dict[UUID, ShownSheet] = {}
        self._states: dict[UUID, str] = {}
        self._fetcher: TileFetcher | None = None
        self._turns = count(1)
        shelf.changed.connect(self._follow)

    def attach(self, view: MapView) -> None:
        """Show the material on a map, now and whenever its page is new."""
        self._view = view
        view.ground.viewed.connect(self._look)
        view.ground.linkAsked.connect(self._open_link)
        view.ready.connect(self._tell_page)
        self._follow()

    def state(self, material_id: UUID) -> str:
        """A sentence on how a sheet fares; empty where there is nothing to say."""
        return self._states.get(material_id, "")

    def read_again(self, material_id: UUID) -> None:
        """Open a file or a server anew."""
        self._shut(material_id)
        self._follow()

    def close(self) -> None:
        """Let go of the map and of all files; before the jobs stop."""
        self._view = None
        for material_id in list(self._open):
            self._shut(material_id)
        if self._fetcher is not None:
            self._fetcher.close()

    # Following the shelf

    def _follow(self) -> None:
        if self._view is None:
            return
        stack = self._shelf.stack
        wanted = {each.id: each for each in stack if each.is_on}
        for material_id, (opened, _) in list(self._open.items()):
            now = wanted.get(material_id)
            if now is None or _source(now) != _source(opened):
                self._shut(material_id)
        for material_id in set(self._states) - set(wanted):
            del self._states[material_id]
        for material_id, material in wanted.items():
            if material_id not in self._open:
                self._try_to_open(material)
            elif material_id in self._shown:
                now_shown = replace(self._shown[material_id], material=material)
                self._shown[material_id] = now_shown
        self._tell_page()
        self.statesChanged.emit()

    def _try_to_open(self, material: Material) -> None:
        self._states.pop(material.id, None)
        # Held even if it fails: what fails is tried again when it is asked for.
        self._open[material.id] = (material, _nothing)
        try:
            match material.kind:
                case Kind.COAST:
                    self._open_coast(material)
                case Kind.PICTURES:
                    self._open_pictures(material)
                case Kind.SERVER:
                    self._open_server(material)
                case Kind.DRAWING:
                    self._open_drawing(material)
        except UserError as error:
            self._fail(material.id, error)

    def _shut(self, material_id: UUID) -> None:
        _, shut = self._open.pop(material_id, (None, _nothing))
        self._shown.pop(material_id, None)
        shut()

    def _fail(self, material_id: UUID, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self._shown.pop(material_id, None)
        self._states[material_id] = str(error)

    # Each kind

    def _open_coast(self, material: Material) -> None:
        if self._coast is None or not self._coast.is_installed:
            self._coast = Coast(self._cache_folder)
        if not self._coast.is_installed:
            raise UserError(HOW_TO_GET)
        self._open[material.id] = (material, lambda: self._hide(material.id))
        self._coast_at = None
        self._draw_coast()

    def _open_pictures(self, material: Material) -> None:
        file = TileFile(Path(material.source))
        desk = map_profile(self._cache_folder).handler.tiles
        desk.give(material.id.hex, from_file(file))

        def shut() -> None:
            desk.withdraw(material.id.hex)
            file.close()

        self._open[material.id] = (material, shut)
        facts = file.facts
        self._shown[material.id] = ShownSheet(
            material,
            facts.credits,
            facts.min_zoom,
            facts.max_zoom,
            facts.bounds,
            self._next_turn(),
        )

    def _open_server(self, material: Material) -> None:
        template = checked_template(material.source)
        credits_ = server_credits(material)
        if not credits_:
            raise UserError(NO_CREDIT)
        desk = map_profile(self._cache_folder).handler.tiles
        desk.give(material.id.hex, from_server(self._fetcher_in_use(), template))
        shut = _withdrawn(desk.withdraw, material.id.hex)
        self._open[material.id] = (material, shut)
        self._shown[material.id] = ShownSheet(
            material,
            credits_,
            max_zoom=material.finest_zoom,
            turn=self._next_turn(),
        )

    def _open_drawing(self, material: Material) -> None:
        self._open[material.id] = (material, lambda: self._hide(material.id))
        self._states[material.id] = "Being read…"

        def show(drawing: Drawing) -> None:
            if self._view is None or material.id not in self._open:
                return
            self._view.show_layer_text(_layer(material.id), drawing.text)
            now = self._shelf.find(material.id)
            self._shown[material.id] = ShownSheet(now or material)
            self._states[material.id] = drawing.note
            self._tell_page()
            self.statesChanged.emit()

        def fail(error: Exception) -> None:
            if material.id in self._open:
                self._fail(material.id, error)
                self.statesChanged.emit()

        self._jobs.start(
            _layer(material.id),
            read_drawing,
            Path(material.source),
            done=show,
            failed=fail,
            progressed=lambda _: None,
        )

    # The coastline follows the view

    def _look(
        self, south: float, west: float, north: float, east: float, zoom: float
    ) -> None:
        if south < north and west < east:
            self._seen = (Box(south, west, north, east), zoom)
            self._draw_coast()

    def _draw_coast(self) -> None:
        """Work the coastline out for what is seen, unless what is there suffices."""
        coast = next((m for m, _ in self._open.values() if m.kind is Kind.COAST), None)
        if coast is None or self._coast is None or self._seen is None:
            return
        box, zoom = self._seen
        if self._view is None or not self._coast.is_installed:
            return
        if (
            self._coast_at
            and self._coast_at[1] == zoom
            and self._coast_at[0].holds(box)
        ):
            return
        wide = coast_box(box, zoom)
        self._coast_at = (wide, zoom)

        def show(text: str) -> None:
            if self._view is None or coast.id not in self._open:
                return
            self._view.show_layer_text(_layer(coast.id), text)
            if coast.id not in self._shown:
                now = self._shelf.find(coast.id)
                self._shown[coast.id] = ShownSheet(now or coast, SHORE_CREDITS)
                self._tell_page()

        def fail(error: Exception) -> None:
            self._coast_at = None
            self._fail(coast.id, error)
            self._hide(coast.id)
            self._tell_page()
            self.statesChanged.emit()

        self._jobs.start(
            _COAST_JOB,
            coast_text,
            self._coast,
            wide,
            zoom,
            done=show,
            failed=fail,
            progressed=lambda _: None,
        )

    # The page

    def _tell_page(self) -> None:
        if self._view is not None:
            text = json.dumps(page_values(self._in_order()), allow_nan=False)
            self._view.ground.sheetsShown.emit(text)

    def _in_order(self) -> list[ShownSheet]:
        return [
            self._shown[each.id] for each in self._shelf.stack if each.id in self._shown
        ]

    def _hide(self, material_id: UUID) -> None:
        if self._view is not None:
            self._view.hide_layer(_layer(material_id))

    def _open_link(self, address: str) -> None:
        if address in links(self._in_order()):
            QDesktopServices.openUrl(QUrl(address))

    # Servers

    def _fetcher_in_use(self) -> TileFetcher:
        if self._fetcher is None:
            self._fetcher = TileFetcher(self._cache_folder, self)
            self._fetcher.troubled.connect(self._take_trouble)
            self._fetcher.answered.connect(lambda host: self._set_states(host, ""))
            self._fetcher.rested.connect(self._ask_again)
        return self._fetcher

    def _take_trouble(self, host: str, sentence: str, wait: str) -> None:
        self._set_states(host, sentence)
        self.told.emit(f"{sentence} {wait}")

    def _set_states(self, host: str, sentence: str) -> None:
        for material_id in self._of_server(host):
            self._states[material_id] = sentence
        self.statesChanged.emit()

    def _ask_again(self, host: str) -> None:
        """Let the page ask for what it looks at."""
        for material_id in self._of_server(host):
            self._shown[material_id] = replace(
                self._shown[material_id], turn=self._next_turn()
            )
        self._tell_page()

    def _of_server(self, host: str) -> list[UUID]:
        return [
            material_id
            for material_id, shown in self._shown.items()
            if shown.material.kind is Kind.SERVER
            and server_name(shown.material.source) == host
        ]

    def _next_turn(self) -> int:
        """A number that no address had before: the page remembers pictures by it."""
        return next(self._turns)


def _source(material: Material) -> tuple[object, ...]:
    """What makes it necessary to open a sheet anew."""
    return (material.source, material.credit, material.finest_zoom)


def _layer(material_id: UUID) -> str:
    """The name of a sheet's layer; `panes.js` makes the same."""
    return f"ground-{material_id.hex}"


def _withdrawn(withdraw: Callable[[str], None], sheet: str) -> Opened:
    return lambda: withdraw(sheet)


def _nothing() -> None:
    """Nothing to close."""
