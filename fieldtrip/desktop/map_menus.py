"""The lines of menus that work on lines and routes, measure, and choose together."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from fieldtrip.desktop.content.terrain_key import LAYER_WORDS, GroundLayer
from fieldtrip.desktop.map_panel import MapPanel
from fieldtrip.desktop.menu import Menu
from fieldtrip.desktop.terrain_layers import TerrainLayers
from fieldtrip.places.records import Hazard, Leg, Shape

_GROUND_KEYS = ("Ctrl+Alt+L", "Ctrl+Alt+H", "Ctrl+Alt+C", "Ctrl+Alt+S", None, None)


def add_line_verbs(menu: Menu, the_map: MapPanel) -> None:
    """Everything that can be done to points and routes; each refuses in words."""
    lines = the_map.lines
    menu.verb("Next &point", partial(lines.walk, 1))
    menu.verb("Point &before", partial(lines.walk, -1))
    menu.verb("&Add a point after it", lines.add_after)
    menu.verb("&Remove the point", lines.remove_current)
    menu.verb("&Turn the hazard's line round", lines.turn_round)
    menu.rule()
    menu.verb("&Split the leg at the point", lines.split)
    menu.verb("&Join the leg with the next", lines.join)
    menu.verb("Leg &earlier in its route", partial(lines.move_in_route, -1))
    menu.verb("Leg &later in its route", partial(lines.move_in_route, 1))
    menu.verb("Turn the &whole route round", lines.reverse)


def add_line_context(menu: Menu, the_map: MapPanel) -> None:
    """What of it can be done to the line under the pointer, and to its point."""
    lines, record = the_map.lines, the_map.lines.record
    if record is None:
        return
    if lines.index is not None:
        menu.verb("Remove this point", lines.remove_current)
        menu.verb("Add a point after it", lines.add_after)
        if isinstance(record, Leg) and 0 < lines.index < len(record.line) - 1:
            menu.verb("Split the leg here", lines.split)
    if isinstance(record, Leg):
        menu.verb("Join with the next leg", lines.join)
        menu.verb("Earlier in its route", partial(lines.move_in_route, -1))
        menu.verb("Later in its route", partial(lines.move_in_route, 1))
        menu.verb("Turn the whole route round", lines.reverse)
    elif isinstance(record, Hazard) and record.shape is Shape.LINE:
        menu.verb("Turn the line round", lines.turn_round)
    menu.rule()


def add_measuring(menu: Menu, the_map: MapPanel) -> None:
    """Measuring, range rings, and looking along a bearing."""
    aids = the_map.aids
    menu.verb("Meas&ure on the map", aids.measure, "Ctrl+R")
    rings = menu.switch(
        "Range rin&gs round the chosen point", False, aids.show_rings, "Ctrl+Shift+R"
    )
    aids.ringsTurned.connect(rings.setChecked)
    menu.verb("Range ring of a radius…", aids.ask_radius)
    menu.verb("Look along a &bearing…", aids.ask_bearing, "Ctrl+B")
    menu.verb("Clear the bearings looked along", aids.clear_looks)


def add_ground_layers(menu: Menu, terrain: TerrainLayers) -> None:
    """What is drawn of the ground, from the library's elevation files."""
    switches = {
        layer: menu.switch(words, False, partial(terrain.set_on, layer), key)
        for (layer, words), key in zip(LAYER_WORDS.items(), _GROUND_KEYS, strict=True)
    }

    def turn_off(layer: GroundLayer) -> None:
        switches[layer].setChecked(False)

    terrain.ended.connect(turn_off)


def add_copying(
    menu: Menu,
    the_map: MapPanel,
    copy: Callable[[str], None],
    key: str | None = None,
) -> None:
    """Copying the places of all that is chosen."""

    def copy_all() -> None:
        copy(the_map.together.coordinates_text())

    menu.verb("&Copy coordinates of what is chosen", copy_all, key)
