"""A window in which a place is looked up on the network."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.coordinates import degrees_minutes_text
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.online_places import COPYRIGHT, SERVICE, TERMS, OnlinePlace
from fieldtrip.errors import UserError
from fieldtrip.wording import count_text

_PLACE = Qt.ItemDataRole.UserRole
_JOB = "online places"


class OnlinePlacesDialog(QDialog):
    """Sends what is typed when asked to, and lists what comes back."""

    goAsked = Signal(object)  # Position
    locationAsked = Signal(object)  # OnlinePlace

    def __init__(
        self, jobs: Jobs, find: Callable[[str], tuple[OnlinePlace, ...]]
    ) -> None:
        super().__init__()
        self._jobs = jobs
        self._find = find
        self.setWindowTitle("Find a place online")
        self.resize(560, 420)
        about = _words(
            f"What you type is sent to {SERVICE} when you press Search, and at no "
            "other time. Nothing else is sent."
        )
        self.line = QLineEdit()
        self.line.setPlaceholderText("A village, a headland, an island…")
        self.line.setAccessibleName("Name of the place")
        self.ask = QPushButton("Search")
        self.ask.setDefault(True)
        self.ask.clicked.connect(self.search)
        self.status = _words("")
        self.status.setAccessibleName("What came of the search")
        self.list = QListWidget()
        self.list.setAccessibleName("Places found")
        self.list.setWordWrap(True)
        self.go = QPushButton("Show on the map")
        self.make = QPushButton("New location there")
        for button in (self.go, self.make):
            button.setAutoDefault(False)
        self.go.clicked.connect(self._go)
        self.make.clicked.connect(self._make)
        self.list.itemSelectionChanged.connect(self._heed_choice)
        self.list.itemActivated.connect(lambda _: self._go())
        terms = QLabel(
            f'Places © <a href="{COPYRIGHT}">OpenStreetMap contributors</a> · '
            f'<a href="{TERMS}">Terms of the search</a>'
        )
        terms.setOpenExternalLinks(True)  # outside, in the usual browser
        self.terms = terms

        top = QHBoxLayout()
        top.addWidget(self.line, 1)
        top.addWidget(self.ask)
        below = QHBoxLayout()
        below.addWidget(terms, 1)
        below.addWidget(self.go)
        below.addWidget(self.make)
        column = QVBoxLayout(self)
        column.addWidget(about)
        column.addLayout(top)
        column.addWidget(self.status)
        column.addWidget(self.list, 1)
        column.addLayout(below)
        self._heed_choice()

    def search(self) -> None:
        """Send what is typed; the answer comes when it comes."""
        self._say(f"Asking {SERVICE}…")
        self.ask.setEnabled(False)
        self.list.clear()
        self._jobs.start(
            _JOB,
            self._find,
            self.line.text(),
            done=self.show_places,
            failed=self._fail,
        )

    def show_places(self, places: Sequence[OnlinePlace]) -> None:
        """List what was found."""
        self.ask.setEnabled(True)
        self.list.clear()
        for place in places:
            where = degrees_minutes_text(place.position)
            item = QListWidgetItem(f"{place.name}\n{where}")
            item.setData(_PLACE, place)
            self.list.addItem(item)
        if not places:
            self._say("No place of that name was found. Try fewer or other words.")
            return
        self._say(f"{count_text(len(places), 'place')} found.")
        self.list.setCurrentRow(0)
        self.list.setFocus()

    def _fail(self, error: Exception) -> None:
        self.ask.setEnabled(True)
        if not isinstance(error, UserError):
            raise error
        self._say(str(error), is_fault=True)

    def _say(self, text: str, *, is_fault: bool = False) -> None:
        self.status.setText(text)
        self.status.setProperty("fault", is_fault)
        self.status.style().unpolish(self.status)
        self.status.style().polish(self.status)

    def _heed_choice(self) -> None:
        is_chosen = self._chosen() is not None
        self.go.setEnabled(is_chosen)
        self.make.setEnabled(is_chosen)

    def _chosen(self) -> OnlinePlace | None:
        items = self.list.selectedItems()
        place: OnlinePlace | None = items[0].data(_PLACE) if items else None
        return place

    def _go(self) -> None:
        if (place := self._chosen()) is not None:
            self.goAsked.emit(place.position)

    def _make(self) -> None:
        if (place := self._chosen()) is not None:
            self.locationAsked.emit(place)
            self.close()


def _words(text: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label
