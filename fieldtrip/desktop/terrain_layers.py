"""Draws the ground on the map: light and shade, hillshade, steepness, what is seen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QObject, Signal

from fieldtrip.almanac.spots import Spot, spot_of
from fieldtrip.desktop.content.map_layers import NOTHING
from fieldtrip.desktop.content.terrain_key import (
    GroundLayer,
    KeyFacts,
    LitFacts,
    ground_key,
    inks,
    relief_light,
)
from fieldtrip.desktop.content.terrain_pictures import (
    GroundPicture,
    relief_picture,
    shade_picture,
    steep_picture,
    view_picture,
)
from fieldtrip.desktop.content.terrain_scene import (
    Scene,
    contour_step,
    contour_text,
    make_scene,
    suffices,
    wanted_around,
)
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.errors import UserError
from fieldtrip.material.box import Box
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import SkyPosition, sky_position
from fieldtrip.sky.site import Site
from fieldtrip.wording import clock_text, height_text

_SCENE_JOB = "ground of the map"
_ORDERS = {layer: order for order, layer in enumerate(GroundLayer)}
_VIEWS = (GroundLayer.SEEN_FROM, GroundLayer.SEES)
_EYES_M = 1.6  # of whoever looks at the subject
_NIGHT_DEG = -2.5  # apparent, of the Sun's upper limb: no height here still sees it


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What a picture was drawn from; while this stays, so does the picture."""

    scene: Scene
    more: object = None


class TerrainLayers(QObject):
    """Follows view, minute and choice; draws only what is switched on.

    Of the light one frame is under way at a time: minutes that were overtaken while
    it was drawn are never drawn.
    """

    told = Signal(str)
    worked = Signal(str, float)  # what is being worked out, 0..1; 1: done or ended
    ended = Signal(object)  # a GroundLayer that was switched off from here

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        elevations: Elevations,
        jobs: Jobs,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._elevations = elevations
        self._jobs = jobs
        self._theme = LIGHT
        self._view: MapView | None = None
        self._seen: tuple[Box, float] | None = None  # the view, and its zoom
        self._on: set[GroundLayer] = set()
        self._scene: Scene | None = None
        self._is_scene_asked = False
        self._trouble = ""
        self._drawn: dict[GroundLayer, _Drawn] = {}
        self._lit_under_way: int | None = None  # frame not yet painted; 0: computed
        self._is_lit_waiting = False
        self._lit: LitFacts | None = None
        self._step_m: float | None = None
        self._views: dict[GroundLayer, str] = {}
        library.changed.connect(self._refresh)
        selection.changed.connect(self._refresh)
        selection.minuteChanged.connect(self._follow_minute)
        preferences.changed.connect(self._begin_again)
        elevations.changed.connect(self._begin_again)

    # What the window asks

    def attach(self, view: MapView) -> None:
        """Draw on this view from now on."""
        self._view = view
        view.ground.viewed.connect(self._look)
        view.overlays.painted.connect(self._note_painted)
        view.ready.connect(self._be_ready)

    def close(self) -> None:
        """Let the view go; before the jobs stop."""
        self._view = None

    def set_on(self, layer: GroundLayer, is_on: bool) -> None:
        """Show a layer, or take it away and end the work for it."""
        if is_on == (layer in self._on):
            return
        if is_on:
            self._on.add(layer)
        else:
            self._on.discard(layer)
            self._drop(layer)
        self._refresh()

    def is_on(self, layer: GroundLayer) -> bool:
        """Whether a layer is switched on."""
        return layer in self._on

    def cancel(self) -> None:
        """End what takes long, and switch it off."""
        for layer in _VIEWS:
            if layer in self._on and layer not in self._drawn:
                self.set_on(layer, False)
                self.ended.emit(layer)

    def set_theme(self, theme: Theme) -> None:
        """Draw in the inks of light or dark paper."""
        if theme != self._theme:
            self._theme = theme
            self._begin_again()

    # The scene

    def _look(
        self, south: float, west: float, north: float, east: float, zoom: float
    ) -> None:
        if south < north and west < east:
            self._seen = (Box(south, west, north, east), zoom)
            self._refresh()

    def _be_ready(self) -> None:
        """The page is new: no frame of the old one will be painted."""
        self._lit_under_way = None
        self._refresh()

    def _begin_again(self) -> None:
        """Other heights, inks or units: everything is drawn anew."""
        self._scene = None
        self._is_scene_asked = False
        self._trouble = ""
        self._jobs.cancel(_SCENE_JOB)
        for layer in GroundLayer:
            self._forget(layer)
        self._refresh()

    def _refresh(self) -> None:
        """Draw what is on and not drawn yet for this view."""
        if self._view is None:
            return
        if self._on and self._seen is not None:
            scene = self._scene
            if scene is None or not suffices(scene.around, self._seen[0]):
                self._ask_scene(self._seen[0])
            if scene is not None:
                self._draw_all(scene)
        self._show_key()

    def _ask_scene(self, view: Box) -> None:
        if self._is_scene_asked or self._trouble:
            return
        self._is_scene_asked = True

        def show(scene: Scene) -> None:
            self._is_scene_asked = False
            self._scene = scene
            self._refresh()

        def fail(error: Exception) -> None:
            self._is_scene_asked = False
            if not isinstance(error, UserError):
                raise error
            self._trouble = str(error)
            self._show_key()

        self._jobs.start(
            _SCENE_JOB,
            make_scene,
            self._elevations.ground,
            wanted_around(view),
            done=show,
            failed=fail,
            progressed=lambda _: None,
        )

    # Layers

    def _draw_all(self, scene: Scene) -> None:
        if scene.grid is None:
            for layer in GroundLayer:
                self._drop(layer)
            return
        for layer in GroundLayer:
            if layer not in self._on:
                continue
            match layer:
                case GroundLayer.LIT:
                    self._draw_lit()
                case GroundLayer.CONTOURS:
                    self._draw_contours(scene)
                case GroundLayer.RELIEF:
                    ink, light = inks(self._theme)[layer], relief_light(self._theme)
                    self._draw(
                        layer, scene, None, relief_picture, scene.grid, ink, light
                    )
                case GroundLayer.STEEP:
                    ink = inks(self._theme)[layer]
                    self._draw(layer, scene, None, steep_picture, scene.grid, ink)
                case _:
                    self._draw_view(layer, scene)

    def _draw(
        self,
        layer: GroundLayer,
        scene: Scene,
        more: object,
        make: Callable[..., GroundPicture],
        *arguments: object,
        progressed: Callable[[float], None] | None = None,
    ) -> None:
        wanted = _Drawn(scene, more)
        if self._drawn.get(layer) == wanted:
            return
        self._drawn[layer] = wanted
        self._jobs.start(
            _job(layer),
            make,
            *arguments,
            done=partial(self._show, layer),
            failed=partial(self._fail, layer),
            progressed=progressed,
        )

    def _show(self, layer: GroundLayer, picture: GroundPicture) -> None:
        if self._view is None or layer not in self._on:
            return
        number = self._view.overlays.show(
            layer.value, picture.png, picture.box, _ORDERS[layer]
        )
        drawn = self._drawn.get(layer)
        if layer is GroundLayer.LIT:
            self._lit_under_way = number
        elif drawn is not None and isinstance(drawn.more, Spot):
            self._views[layer] = self._view_words(layer, drawn.more)
            self.worked.emit("", 1.0)
        self._show_key()

    def _fail(self, layer: GroundLayer, error: Exception) -> None:
        if layer is GroundLayer.LIT:
            self._lit_under_way = None
        if not isinstance(error, UserError):
            raise error
        self.told.emit(str(error))

    def _drop(self, layer: GroundLayer) -> None:
        """Take a layer away, and end the work for it."""
        self._forget(layer)
        if self._view is None:
            return
        if layer is GroundLayer.CONTOURS:
            self._view.show_layer(layer.value, NOTHING)
        else:
            self._view.overlays.hide(layer.value)

    def _forget(self, layer: GroundLayer) -> None:
        """What was drawn of it, or is being drawn, does no longer."""
        self._jobs.cancel(_job(layer))
        self._drawn.pop(layer, None)
        if layer is GroundLayer.LIT:
            self._lit, self._lit_under_way, self._is_lit_waiting = None, None, False
        elif layer is GroundLayer.CONTOURS:
            self._step_m = None
        elif self._views.pop(layer, None) is not None:
            self.worked.emit("", 1.0)

    # The light of the minute

    def _follow_minute(self) -> None:
        if GroundLayer.LIT in self._on and self._scene is not None:
            self._draw_lit()
            self._show_key()

    def _draw_lit(self) -> None:
        scene, view = self._scene, self._view
        if scene is None or scene.grid is None or view is None:
            return
        sun = self._sun(scene)
        if sun is None:
            return
        limb_deg = sun.apparent_altitude_deg + sun.semidiameter_deg
        is_up = limb_deg > _NIGHT_DEG
        wanted = _Drawn(scene, (sun.azimuth_deg, limb_deg))
        if self._drawn.get(GroundLayer.LIT) == wanted:
            return
        if self._lit_under_way is not None:
            self._is_lit_waiting = True
            return
        self._drawn[GroundLayer.LIT] = wanted
        self._lit = self._lit_facts(sun, is_up=is_up)
        if not is_up:
            view.overlays.hide(GroundLayer.LIT.value)
            return
        self._lit_under_way = 0
        self._jobs.start(
            _job(GroundLayer.LIT),
            shade_picture,
            scene.grid,
            sun.azimuth_deg,
            limb_deg,
            inks(self._theme)[GroundLayer.LIT],
            done=partial(self._show, GroundLayer.LIT),
            failed=partial(self._fail, GroundLayer.LIT),
        )

    def _note_painted(self, name: str, number: int) -> None:
        if name != GroundLayer.LIT.value or number != self._lit_under_way:
            return
        self._lit_under_way = None
        if self._is_lit_waiting:
            self._is_lit_waiting = False
            self._follow_minute()

    def _sun(self, scene: Scene) -> SkyPosition | None:
        try:
            site = Site(scene.around.middle)
            return sky_position(Body.SUN, site, self._selection.instant)
        except UserError:  # beyond the sky's years; the Light page says so
            return None

    def _lit_facts(self, sun: SkyPosition, *, is_up: bool) -> LitFacts:
        dossier = self._library.dossier(self._selection.location_id)
        zone = dossier.location.zone if dossier else "UTC"
        clock = clock_text(self._selection.instant, zone, self._preferences.settings)
        return LitFacts(clock, sun.azimuth_deg, sun.apparent_altitude_deg, is_up)

    # Contours and what is seen

    def _draw_contours(self, scene: Scene) -> None:
        if scene.grid is None or self._seen is None:
            return
        settings = self._preferences.settings
        step_m = contour_step(self._seen[1], scene.range_m, settings)
        wanted = _Drawn(scene, step_m)
        if self._drawn.get(GroundLayer.CONTOURS) == wanted:
            return
        self._drawn[GroundLayer.CONTOURS] = wanted

        def show(text: str) -> None:
            if self._view is not None and GroundLayer.CONTOURS in self._on:
                self._view.show_layer_text(GroundLayer.CONTOURS.value, text)
                self._step_m = step_m
                self._show_key()

        self._jobs.start(
            _job(GroundLayer.CONTOURS),
            contour_text,
            scene.grid,
            step_m,
            settings,
            done=show,
            failed=partial(self._fail, GroundLayer.CONTOURS),
        )

    def _draw_view(self, layer: GroundLayer, scene: Scene) -> None:
        spot = self._spot(layer)
        is_subject = layer is GroundLayer.SEES
        if spot is None:
            self._drop(layer)
            self._views[layer] = (
                "Choose a subject first."
                if is_subject
                else "Choose a vantage point first."
            )
            return
        if self._drawn.get(layer) == _Drawn(scene, spot):
            return
        words = self._view_words(layer, spot)
        self._views[layer] = f"{words}: being worked out…"
        self._draw(
            layer,
            scene,
            spot,
            view_picture,
            scene.grid,
            spot,
            _EYES_M if is_subject else 0.0,
            inks(self._theme)[layer],
            progressed=lambda fraction: self.worked.emit(words, min(fraction, 0.99)),
        )

    def _view_words(self, layer: GroundLayer, spot: Spot) -> str:
        height = height_text(spot.eye_m, self._preferences.settings)
        if layer is GroundLayer.SEES:
            return f"“{spot.name}”, {height} high, can be seen"
        return f"seen from “{spot.name}”, {height} above its ground"

    def _spot(self, layer: GroundLayer) -> Spot | None:
        selection = self._selection
        record: VantagePoint | Subject | None
        if layer is GroundLayer.SEES:
            record = self._library.get(Subject, selection.subject_id)
        else:
            record = self._library.get(VantagePoint, selection.vantage_point_id)
        return spot_of(record) if record is not None else None

    # The key

    def _show_key(self) -> None:
        if self._view is None:
            return
        scene = self._scene
        settings = self._preferences.settings
        layers = tuple(layer for layer in GroundLayer if layer in self._on)
        if self._on and scene is None and not self._trouble:
            self._view.overlays.show_key([])  # the ground is being read
            return
        grid = scene.grid if scene else None
        facts = KeyFacts(
            layers=layers,
            cell_m=scene.cell_m if scene and grid is not None else None,
            credits=self._elevations.credits,
            sources=tuple(s.name for s in self._elevations.ground.sources if s.name),
            is_surface=grid.is_surface if grid is not None else None,
            lit=self._lit,
            step_m=self._step_m,
            views=tuple(self._views.items()),
            trouble=self._trouble,
            unread=self._elevations.ground.unread,
        )
        self._view.overlays.show_key(ground_key(facts, settings))


def _job(layer: GroundLayer) -> str:
    return f"ground layer {layer}"
