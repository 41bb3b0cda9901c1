"""What is shut has shapes and words of its own, in the real web engine."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.geo import Position
from tests.desktop.map.features import HOME, Ask, Words, area, collection, line, point

pytestmark = pytest.mark.web

EAST = Position(49.6, -8.39)
NORTH = Position(49.605, -8.4)
SHUT = "closed until 31 July"


def show(qtbot: QtBot, view: MapView, *features: dict[str, object]) -> None:
    with qtbot.waitSignal(
        view.painted, check_params_cb=lambda name: name == "closures"
    ):
        view.show_layer("closures", collection(*features))


def test_areas_lines_and_gates_are_drawn_with_their_words(
    qtbot: QtBot, view: MapView, ask: Ask, words: Words
) -> None:
    show(
        qtbot,
        view,
        area(HOME, EAST, NORTH, kind="shut-area", label="Terns", note=SHUT),
        line(HOME, NORTH, kind="shut-line", label="Works", note=SHUT),
        point(EAST, kind="shut-point", label="Gate", note="open 08:00 to 18:30 only"),
    )

    for what in ("path.shut-area", "path.shut-line", "path.shut-bars",
                 ".symbol.shut-point path"):  # fmt: skip
        assert ask(f"document.querySelectorAll('{what}').length") > 0, what
    style = "getComputedStyle(document.querySelector('path.shut-area')).fill"
    assert "shut-hatch" in ask(style)
    assert {f"Terns | {SHUT}", f"Works | {SHUT}"} <= set(words())
    assert "Gate | open 08:00 to 18:30 only" in words()


def test_what_is_not_shut_is_not_hatched(qtbot: QtBot, view: MapView, ask: Ask) -> None:
    show(
        qtbot,
        view,
        area(HOME, EAST, NORTH, kind="shut-area", label="Terns", is_faint=True),
    )

    style = "getComputedStyle(document.querySelector('path.shut-area')).fill"
    assert ask(style) == "none"
