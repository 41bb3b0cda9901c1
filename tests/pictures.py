"""Writes pictures of the window in its main states: `python -m tests.pictures OUT_DIR`.

Nothing is compared: they are there to be looked at.  The window is opened
offscreen on a fresh demo, at a fixed hour, so that two runs show the same.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication, QWidget

from fieldtrip.desktop.application import open_window
from fieldtrip.desktop.card import NOTES
from fieldtrip.desktop.content.day_clock import on_day
from fieldtrip.desktop.content.sieve import Sieve
from fieldtrip.desktop.content.terrain_key import GroundLayer
from fieldtrip.desktop.dialogs.compare_days import CompareDaysDialog
from fieldtrip.desktop.dialogs.dates import DatesDialog
from fieldtrip.desktop.dialogs.return_plan import ReturnPlanDialog
from fieldtrip.desktop.dialogs.where_from import WhereFromDialog
from fieldtrip.desktop.environment import prepare_environment
from fieldtrip.desktop.map.scheme import register_scheme
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.skyline_panel import SIGHT
from fieldtrip.desktop.window import (
    CHECKS_PAGE,
    LIGHT_PAGE,
    PLAN_PAGE,
    SKYLINE_PAGE,
    TIDE_PAGE,
    Window,
)
from fieldtrip.places.records import (
    Closure,
    Hazard,
    Leg,
    Location,
    Subject,
    VantagePoint,
    WantedTurn,
)
from fieldtrip.settings import LengthUnit, SpeedUnit, Theme
from fieldtrip.sky.bodies import Body
from fieldtrip.trips.records import DateSearch, Trip
from fieldtrip.trips.wanted import (
    Alignment,
    AroundTurn,
    OnWeekdays,
    WaterLevel,
    WayOpen,
)

NOW = datetime(2026, 11, 14, 12, 0, tzinfo=UTC)
SIZE = (1500, 940)  # pixels
SETTLE_MS = 1500  # for workers and the page; generous, nothing is measured


@dataclass(frozen=True, slots=True)
class State:
    """One picture: its name, how the window gets there, and on which library."""

    name: str
    reach: Callable[[Window], QWidget | None]  # None: the window itself
    is_demo: bool = True


def as_opened(window: Window) -> None:
    """The demo as it opens."""


def vantage_point(window: Window) -> None:
    """A vantage point on the card."""
    show_first(window, VantagePoint)


def leg(window: Window) -> None:
    """A leg that the tide shuts."""
    show_first(window, Leg)


def hazard(window: Window) -> None:
    """A hazard, drawn on the map."""
    show_first(window, Hazard)


def closure(window: Window) -> None:
    """A closure, drawn on a day on which it holds."""
    show_first(window, Closure)
    zone = window.zone
    assert zone is not None
    day = date(2027, 6, 12)
    window.selection.choose_time(day, on_day(day, window.selection.instant, zone))


def location(window: Window) -> None:
    """A location with what holds there on the chosen day."""
    show_first(window, Location)


def searching(window: Window) -> None:
    """Words found in notes."""
    window.places.search.setText("tern")


def narrowed(window: Window) -> None:
    """Only what the tide can shut."""
    window.places.use_sieve(Sieve(tide_bound=True))


def light(window: Window) -> None:
    """The light on a subject."""
    show_first(window, Subject)
    window.card.turn_to(LIGHT_PAGE)


def tide(window: Window) -> None:
    """The tide of the day."""
    window.card.turn_to(TIDE_PAGE)


def checks(window: Window) -> None:
    """The checklist of the trip."""
    window.card.turn_to(CHECKS_PAGE)


def plan(window: Window) -> None:
    """The best plan of the trip."""
    window.middle.setSizes([300, 640])
    window.card.turn_to(PLAN_PAGE)
    while window.plan.content.planned is None:
        settle(200)


def plan_conflict(window: Window) -> None:
    """What stands in the way of a plan, and what would help."""
    trip = window.library.get(Trip, window.selection.trip_id)
    dossier = window.library.dossier(window.selection.location_id)
    assert trip is not None
    assert dossier is not None
    last = dossier.stops_of(trip)[-1]
    window.library.edit(
        "come back early",
        trip,
        replace(trip, latest_return=last.arrive + timedelta(minutes=30)),
    )
    plan(window)


def compare_days(window: Window) -> QWidget:
    """The same trip over a month."""
    window.menus.compare_days()
    dialog = next(
        each for each in window.findChildren(CompareDaysDialog) if each.isVisible()
    )
    dialog.run()
    while dialog.content is None:
        settle(200)
    return dialog


def dates(window: Window) -> QWidget:
    """When the Sun stands by the tower, the tide rising, at a weekend, the bar open."""
    dossier = window.library.dossier(window.selection.location_id)
    assert dossier is not None
    spot = next(v for v in dossier.vantage_points if v.name.startswith("Gully"))
    tower = next(s for s in dossier.subjects if "tower" in s.name)
    first = NOW.date()
    search = DateSearch(
        location_id=dossier.location.id,
        name="Sun by the tower",
        first_day=first,
        last_day=date(first.year + 10, first.month, first.day),
        conditions=(
            Alignment(body=Body.SUN, tolerance_deg=2.0),
            AroundTurn(is_high=False, before_min=60.0, after_min=120.0),
            WaterLevel(turn=WantedTurn.RISING),
            OnWeekdays(days=(5, 6)),
            WayOpen(),
        ),
        vantage_point_id=spot.id,
        subject_id=tower.id,
    )
    window.library.add("keep a search for dates", search)
    window.menus.find_dates(search.id)
    dialog = next(each for each in window.findChildren(DatesDialog) if each.isVisible())
    dialog.run()
    while dialog.content is None:
        settle(200)
    return dialog


def where_from(window: Window) -> QWidget:
    """From where the Sun stands over the tower on a day."""
    dossier = window.library.dossier(window.selection.location_id)
    assert dossier is not None
    tower = next(s for s in dossier.subjects if "tower" in s.name)
    window.selection.use(subject_id=tower.id)
    equinox = date(2027, 3, 21)
    window.selection.choose_time(equinox, datetime(2027, 3, 21, 7, 0, tzinfo=UTC))
    window.menus.find_places()
    dialog = next(
        each for each in window.findChildren(WhereFromDialog) if each.isVisible()
    )
    while dialog.content is None:
        settle(200)
    return dialog


def dark_dates(window: Window) -> QWidget:
    """The search for dates on dark paper."""
    prefer(window, theme=Theme.DARK)
    return dates(window)


def dark_where_from(window: Window) -> QWidget:
    """The same question the other way round, on dark paper."""
    prefer(window, theme=Theme.DARK)
    return where_from(window)


def gates(window: Window) -> None:
    """The gates of the trip, and its day from door to door."""
    window.card.turn_to(NOTES)
    window.middle.setSizes([140, 800])
    settle()
    bar = window.card.notes.verticalScrollBar()
    bar.setValue(window.trip.y() + window.trip.more.y() if window.trip.more else 0)


def skyline(window: Window) -> None:
    """The ground against the sky, with the day's Sun and Moon."""
    show_first(window, Subject)
    window.card.turn_to(SKYLINE_PAGE)


def line_of_sight(window: Window) -> None:
    """The ground below the line to the subject."""
    skyline(window)
    window.skyline.turn_to(SIGHT)


def drops(window: Window) -> None:
    """Drops near a leg, proposed as cliff edges."""
    legs = window.library.store.all(Leg)
    gully = next(leg for leg in legs if leg.name.startswith("Gully"))
    window.scouting.choose_id(gully.id)
    window.drops.look()
    settle()
    window.card.notes.verticalScrollBar().setValue(10_000)
    window.map.show_chosen()


def leg_profile(window: Window) -> None:
    """A leg with its profile."""
    legs = window.library.store.all(Leg)
    leg = next(leg for leg in legs if leg.name.startswith("Gully"))
    window.scouting.choose_id(leg.id)
    settle()
    window.card.notes.verticalScrollBar().setValue(10_000)


def lit_layer(window: Window) -> None:
    """Ground and sea that the Sun reaches at the chosen minute."""
    show_ground(window, GroundLayer.LIT, GroundLayer.CONTOURS)


def relief(window: Window) -> None:
    """Hillshade with contours."""
    show_ground(window, GroundLayer.RELIEF, GroundLayer.CONTOURS)


def steepness(window: Window) -> None:
    """Where the ground is steep."""
    show_ground(window, GroundLayer.RELIEF, GroundLayer.STEEP)


def viewshed(window: Window) -> None:
    """What can be seen from a vantage point."""
    show_ground(window, GroundLayer.SEEN_FROM, GroundLayer.CONTOURS)


def dark_relief(window: Window) -> None:
    """The ground on dark paper."""
    prefer(window, theme=Theme.DARK)
    show_ground(window, *GroundLayer)


def checks_long(window: Window) -> None:
    """More of the checklist, on the way and back."""
    window.card.turn_to(CHECKS_PAGE)
    window.middle.setSizes([140, 800])
    settle()
    window.checks.area.verticalScrollBar().setValue(1400)


def return_plan(window: Window) -> QWidget:
    """The text for whoever waits."""
    window.menus.show_return_plan()
    return next(
        each for each in window.findChildren(ReturnPlanDialog) if each.isVisible()
    )


def dark(window: Window) -> None:
    """The dark theme."""
    prefer(window, theme=Theme.DARK)


def other_units(window: Window) -> None:
    """Feet, knots and a clock of twelve hours."""
    prefer(window, length_unit=LengthUnit.FOOT, speed_unit=SpeedUnit.KNOT)
    prefer(window, clock_24h=False)


def small(window: Window) -> None:
    """A small screen."""
    window.resize(1024, 700)


def large_text(window: Window) -> None:
    """Text half as large again."""
    prefer(window, text_percent=150)


def nothing_yet(window: Window) -> None:
    """An empty library."""


STATES = (
    State("as-opened", as_opened),
    State("vantage-point", vantage_point),
    State("leg", leg),
    State("hazard", hazard),
    State("closure", closure),
    State("location", location),
    State("searching", searching),
    State("narrowed", narrowed),
    State("light", light),
    State("tide", tide),
    State("checks", checks),
    State("plan", plan),
    State("plan-conflict", plan_conflict),
    State("compare-days", compare_days),
    State("dates", dates),
    State("dark-dates", dark_dates),
    State("where-from", where_from),
    State("dark-where-from", dark_where_from),
    State("gates", gates),
    State("skyline", skyline),
    State("line-of-sight", line_of_sight),
    State("drops", drops),
    State("leg-profile", leg_profile),
    State("lit-layer", lit_layer),
    State("relief", relief),
    State("steepness", steepness),
    State("viewshed", viewshed),
    State("dark-relief", dark_relief),
    State("checks-long", checks_long),
    State("return-plan", return_plan),
    State("dark", dark),
    State("other-units", other_units),
    State("small", small),
    State("large-text", large_text),
    State("nothing-yet", nothing_yet, is_demo=False),
)


def main(arguments: list[str]) -> int:
    """Write one PNG for each state, or for those that are named."""
    parser = argparse.ArgumentParser(prog="python -m tests.pictures")
    parser.add_argument("folder", type=Path, metavar="OUT_DIR")
    parser.add_argument("names", nargs="*", metavar="STATE")
    options = parser.parse_args(arguments)
    unknown = set(options.names) - {state.name for state in STATES}
    if unknown:
        known = ", ".join(state.name for state in STATES)
        parser.error(
            f"no state is called {', '.join(sorted(unknown))}; there is {known}"
        )

    prepare_environment()
    register_scheme()
    app = QApplication(sys.argv[:1])
    options.folder.mkdir(parents=True, exist_ok=True)
    for state in STATES:
        if not options.names or state.name in options.names:
            picture(app, state, options.folder / f"{state.name}.png")
    return 0


def picture(app: QApplication, state: State, file: Path) -> None:
    """Open a window, bring it into a state, and write what it shows."""
    font = app.font()
    with tempfile.TemporaryDirectory() as folder:
        window = open_window(
            Paths.below(Path(folder)), None, demo=state.is_demo, now=lambda: NOW
        )
        if window is None:
            raise RuntimeError("no window")
        window.resize(*SIZE)
        window.show()
        settle()
        shown = state.reach(window) or window
        settle()
        if not shown.grab().save(str(file)):
            raise OSError(f"{file} could not be written")
        window.close()
        settle(200)
    app.setFont(font)
    sys.stdout.write(f"{file}: {state.reach.__doc__}\n")


def settle(milliseconds: int = SETTLE_MS) -> None:
    """Let workers, the page and the painting go on for a while."""
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def show_first(window: Window, kind: type) -> None:
    """Choose the first record of a kind."""
    record: Any = window.library.store.all(kind)[0]
    window.selection.choose(record, window.selection.location_id)


def show_ground(window: Window, *layers: GroundLayer) -> None:
    """Switch layers of the ground on, and look at all of the place."""
    for layer in layers:
        window.terrain.set_on(layer, True)
    settle()


def prefer(window: Window, **changed: Any) -> None:
    """Change some of the settings."""
    settings = window.preferences.settings
    window.preferences.settings = replace(settings, **changed)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
