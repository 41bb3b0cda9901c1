"""The coming dates on a vantage point's card."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.dates import KnownSkyline, next_dates
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.next_dates import NONE_KEPT, NextDates
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.store.store import Store
from fieldtrip.trips.wanted import Alignment
from tests.desktop.dialogs.test_dates import (
    BAY,
    DOSSIER,
    HEAD,
    SEARCH,
    TODAY,
    TOWER,
    nobody,
)

NOW = datetime(2026, 11, 14, 9, tzinfo=UTC)


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("begin", BAY, HEAD, TOWER)
    return library


@pytest.fixture
def line(qtbot: QtBot, library: Library) -> Iterator[NextDates]:
    selection = Selection(TODAY, NOW)
    selection.choose(HEAD, BAY.id)
    jobs = Jobs()
    line = NextDates(
        library,
        selection,
        Preferences(Settings()),
        jobs,
        today=lambda: TODAY,
        now=lambda: NOW,
    )
    qtbot.addWidget(line)
    line.show()
    yield line
    jobs.stop()


def test_without_a_kept_search_it_says_how_one_is_made(line: NextDates) -> None:
    assert line.hint.text() == NONE_KEPT


def test_a_kept_search_tells_its_next_dates(
    line: NextDates, library: Library, qtbot: QtBot
) -> None:
    library.add("keep", SEARCH)

    qtbot.waitUntil(lambda: len(line.lines) == 1)
    assert line.lines[0].text() == (
        "“Weekend sunsets”: Sat 14 Nov, Sun 15 Nov, Sat 21 Nov …"
    )
    with qtbot.waitSignal(line.searchAsked) as asked:
        line.lines[0].click()
    assert asked.args == [SEARCH.id]


def test_a_long_name_is_cut_short_and_whole_in_the_tool_tip(line: NextDates) -> None:
    words = f"“{'long ' * 60}name”: Sat 14 Nov"

    line.show_content(((SEARCH.id, words),))

    (shown,) = line.lines
    assert shown.text().endswith("…")
    assert "name”: Sat 14 Nov" in shown.toolTip()


def test_a_search_whose_days_are_over_says_so() -> None:
    old = replace(SEARCH, first_day=date(2026, 1, 1), last_day=date(2026, 2, 1))
    dossier = replace(DOSSIER, searches=(old,))

    found = next_dates(dossier, HEAD.id, TODAY, NOW, Settings(), None, nobody)

    assert found == ((old.id, "“Weekend sunsets”: its last day is over"),)


def test_a_search_that_cannot_be_made_says_why() -> None:
    empty = replace(SEARCH, conditions=())
    dossier = replace(DOSSIER, searches=(empty,))

    found = next_dates(dossier, HEAD.id, TODAY, NOW, Settings(), None, nobody)

    assert "Say at least one thing" in found[0][1]


def test_the_ground_counts_for_the_next_dates_too() -> None:
    south = Alignment(body=Body.SUN, bearing_deg=200.0, altitude_max_deg=30.0)
    search = replace(SEARCH, conditions=(south,))
    dossier = replace(DOSSIER, searches=(search,))
    wall = KnownSkyline(np.full(720, 40.0), np.full(720, 40.0))

    seen, hidden = (
        next_dates(dossier, HEAD.id, TODAY, NOW, Settings(), skyline_of, nobody)
        for skyline_of in (None, lambda _: wall)
    )

    assert "Sat 14 Nov" in seen[0][1]
    assert "none by" in hidden[0][1]
