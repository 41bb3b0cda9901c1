"""The plan's lines are told apart, in the real web engine."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.geo import Position
from tests.desktop.map.features import HOME, Ask, Words, collection, line

pytestmark = pytest.mark.web

EAST = Position(49.6, -8.39)
NORTH = Position(49.605, -8.4)


def test_where_no_route_is_known_the_line_is_dotted_and_says_so(
    qtbot: QtBot, view: MapView, ask: Ask, words: Words
) -> None:
    with qtbot.waitSignal(view.painted, check_params_cb=lambda name: name == "plan"):
        view.show_layer(
            "plan",
            collection(
                line(HOME, NORTH, kind="walk", label="", note="out 13:05, 21 min"),
                line(
                    HOME,
                    EAST,
                    kind="no-route",
                    label="no route known",
                    note="240 m straight",
                ),
            ),
        )

    for kind in ("walk", "no-route"):
        assert ask(f"document.querySelectorAll('path.{kind}').length") == 1, kind
    dashes = "getComputedStyle(document.querySelector('path.no-route')).strokeDasharray"
    plain = "getComputedStyle(document.querySelector('path.walk')).strokeDasharray"
    assert ask(plain) == "none"
    assert ask(dashes) != "none"
    assert "no route known | 240 m straight" in words()
