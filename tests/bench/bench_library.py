"""A library of 1,000 locations and 5,000 vantage points: searching, editing, listing.

Run offscreen unless `QT_QPA_PLATFORM` says otherwise.  Figures are medians.  The
peers do the same the plain way: a loop over every record's text, and a list that
reads and draws everything anew.
"""

from __future__ import annotations

import os
import random
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from statistics import median
from time import perf_counter
from unicodedata import combining, normalize

from PySide6.QtWidgets import QApplication

from fieldtrip.desktop.library import Library
from fieldtrip.desktop.places_panel import PlacesPanel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.store.store import Change, Store
from tests.bench.rows import Row

TODAY = date(2026, 11, 25)
LOCATIONS, POINTS = 1_000, 5_000
ROUNDS = 21
# Of one letter, as one types on, of two words, of none that is there.
QUERIES = ("s", "st", "stile", "stile led", "point 12", "zzz")
_WORDS = (
    "stile", "ledge", "bar", "cove", "skerry", "gully", "storm", "beach", "boathouse",
    "tower", "arch", "lagoon", "shingle", "kelp", "swell", "ridge", "bothy", "quay",
)  # fmt: skip


def run() -> list[Row]:
    """Milliseconds."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    with _library() as store:
        rows = [*_searches(store), *_edits(store)]
        rows += _lists(store, app.processEvents)
    return rows


def _searches(store: Store) -> list[Row]:
    for query in QUERIES:
        store.search(query)
    records: list[Location | VantagePoint] = [*store.all(Location)]
    records += store.all(VantagePoint)
    texts = [(record.id, _plain(f"{record.name} {record.notes}")) for record in records]

    def loop(query: str) -> object:
        words = _plain(query).split()
        return [i for i, text in texts if all(word in text for word in words)]

    peer = "a loop over all texts, read and folded before"
    slowest = max(QUERIES, key=lambda query: _ms(lambda: store.search(query)))
    return [
        Row(
            f"search, the slowest of {len(QUERIES)} (“{slowest}”)",
            _ms(lambda: store.search(slowest)), "ms", peer, _ms(lambda: loop(slowest)),
        ),
        Row(
            "search, two words",
            _ms(lambda: store.search("stile led")), "ms",
            peer, _ms(lambda: loop("stile led")),
        ),
    ]  # fmt: skip


def _edits(store: Store) -> list[Row]:
    points = store.all(VantagePoint)
    edits = iter(points)

    def edit() -> None:
        point = next(edits)
        store.apply([Change(point, replace(point, notes="Kelp on the stile."))])

    return [
        Row("edit one vantage point and commit", _ms(edit), "ms"),
    ]


def _lists(store: Store, settle: Callable[[], object]) -> list[Row]:
    library = Library(store)
    selection = Selection(TODAY, datetime(2026, 11, 25, 12, tzinfo=UTC))
    panel = PlacesPanel(library, selection, Preferences(Settings()), lambda: TODAY)
    panel.resize(300, 900)
    panel.show()
    settle()
    points, locations = iter(store.all(VantagePoint)), iter(store.all(Location))
    queries = iter(QUERIES * ROUNDS)

    def edit() -> None:
        point = next(points)
        library.edit("note", point, replace(point, name=f"{point.name} again"))
        settle()

    def rename() -> None:
        location = next(locations)
        library.edit("name", location, replace(location, name=f"A {location.name}"))
        settle()

    def choose() -> None:
        point = next(points)
        selection.choose(point, point.location_id)
        settle()

    def search() -> None:
        panel.search.setText(next(queries))
        settle()

    def anew() -> None:
        panel.refresh()
        settle()

    anew()
    peer, all_ms = "the list read and drawn anew", _ms(anew)
    edit()
    choose()
    rows = [
        Row("edit a vantage point, list shown", _ms(edit), "ms", peer, all_ms),
        Row("rename a location, list shown", _ms(rename), "ms", peer, all_ms),
        Row("choose a point elsewhere, list shown", _ms(choose), "ms", peer, all_ms),
        Row("type on in the search box, list shown", _ms(search), "ms", peer, all_ms),
    ]
    panel.close()
    panel.deleteLater()
    settle()
    return rows


@contextmanager
def _library() -> Iterator[Store]:
    rng = random.Random(20261125)
    locations = [
        Location(
            name=f"Coast {i} {rng.choice(_WORDS)}",
            position=Position(40.0 + i / 100.0, -8.4),
            zone="Europe/Dublin",
            notes=" ".join(rng.choices(_WORDS, k=30)),
        )
        for i in range(LOCATIONS)
    ]
    points = [
        VantagePoint(
            location_id=locations[i % LOCATIONS].id,
            name=f"Point {i} {rng.choice(_WORDS)}",
            position=locations[i % LOCATIONS].position,
            notes=" ".join(rng.choices(_WORDS, k=30)),
        )
        for i in range(POINTS)
    ]
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(Path(folder) / "large.fieldtrip")
        store.apply([*(Change(None, at) for at in locations)])
        store.apply([*(Change(None, point) for point in points)])
        yield store
        store.close()


def _ms(work: Callable[[], object]) -> float:
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return 1000.0 * median(times)


def _plain(text: str) -> str:
    folded = normalize("NFKD", text.casefold())
    return "".join(letter for letter in folded if not combining(letter))
