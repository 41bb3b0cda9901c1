"""A library with an invented coast, and what works on the plans of its trip."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.plan_work import PlanWork
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Stop
from tests.desktop.plan_story import NOW, TRIP, fill
from tests.desktop.strip_story import DAY, KEEL, at


class Desk:
    """A library with what works on its plans, and what that said."""

    def __init__(self, store: Store, qtbot: QtBot) -> None:
        fill(store)
        self.library = Library(store)
        self.selection = Selection(DAY, at(12))
        self.selection.choose(TRIP, KEEL.id)
        self.preferences = Preferences(Settings())
        self.jobs = Jobs()
        self.work = PlanWork(
            self.library,
            self.selection,
            self.preferences,
            self.jobs,
            now=lambda: NOW,
        )
        self.told: list[str] = []
        self.work.told.connect(self.told.append)
        self.qtbot = qtbot

    @property
    def dossier(self) -> Dossier:
        """The coast as it is kept now."""
        found = self.library.dossier(KEEL.id)
        assert found is not None
        return found

    def stop(self, stop: Stop) -> Stop:
        """A stop as it is kept now."""
        found = self.library.get(Stop, stop.id)
        assert found is not None
        return found

    def wait_for_words(self, count: int = 1) -> str:
        """Wait until so much was said; the last of it."""
        self.qtbot.waitUntil(lambda: len(self.told) >= count)
        return self.told[-1]
