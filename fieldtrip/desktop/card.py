"""The card below the map: all about what is chosen, on a few pages."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.almanac.crossing_seen import leg_words
from fieldtrip.desktop.content.forms import FORMS, kind_word, title_of
from fieldtrip.desktop.content.places import due_text
from fieldtrip.desktop.content.standing import standing_text
from fieldtrip.desktop.elided import ElidedLabel
from fieldtrip.desktop.file_traffic import dropped_files
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.photo_section import PhotoSection
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.record_form import RecordForm
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.source_list import SourceList
from fieldtrip.desktop.trip_panel import TripPanel
from fieldtrip.places.records import Leg, Location, VantagePoint
from fieldtrip.trips.records import Trip
from fieldtrip.wording import date_text

NOTES = "Notes"
_LEAST_SUBTITLE_PX = 70  # with the margins round it
_NOTHING = (
    "Nothing is chosen. Choose a place in the list or on the map, or make the first "
    "one with Place ▸ New location…"
)


_LEAST_PAGE_PX = 120


class Card(Panel):
    """A heading, tabs, and one page at a time."""

    echoed = Signal(object)  # Position being typed, or None
    pageShown = Signal(str)  # its name
    redrawAsked = Signal(object)  # a record whose line is to be drawn anew

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        *,
        trip_page: TripPanel,
        sources: SourceList,
        pages: Mapping[str, QWidget],
        ground: QWidget | None = None,
        dates: QWidget | None = None,
        photo: PhotoSection | None = None,
    ) -> None:
        super().__init__()
        self.setAcceptDrops(True)
        self._photo = photo
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._forms: dict[type, RecordForm] = {}
        self.trip_page = trip_page
        self.sources = sources

        self._heading = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self.title = ElidedLabel(least_letters=18)
        self.title.setProperty("type", "title")
        self.subtitle = ElidedLabel(least_letters=4)
        self.subtitle.setProperty("soft", True)
        self.tabs = QTabBar()
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setUsesScrollButtons(True)  # only where the card is narrow
        self.tabs.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.tabs.setAccessibleName("Pages of the card")
        self.pages = QStackedWidget()
        self.notes = _NotesPage(trip_page, sources, ground, dates, photo)
        for name, page in {NOTES: self.notes, **pages}.items():
            self.tabs.addTab(name)
            page.setMinimumWidth(_LEAST_PAGE_PX)  # no page may widen the window
            self.pages.addWidget(page)
        self.tabs.currentChanged.connect(self.pages.setCurrentIndex)
        self.tabs.currentChanged.connect(
            lambda i: self.pageShown.emit(self.tabs.tabText(i))
        )
        self._lay_out()
        self.follow(library.changed, selection.changed, preferences.changed)

    def refresh(self) -> None:
        """Show the chosen record as it is stored."""
        dossier = self._library.dossier(self._selection.location_id)
        kind = self._selection.record_kind
        record: Any = None
        if kind is not None:
            record = self._library.get(kind, self._selection.record_id)
        if record is None or dossier is None:
            self._head("Fieldtrip", "")
            self.notes.say(_NOTHING)
            return
        location = dossier.location
        if isinstance(record, Trip):
            self._head(record.name, f"{date_text(record.day)} · {location.name}")
            self.notes.show_trip()
            return
        words = kind_word(type(record))
        where = "" if isinstance(record, Location) else f" · {location.name}"
        due = due_text(record, self._selection.day)
        self._head(title_of(record), f"{words}{where}{f' · {due}' if due else ''}")
        form = self.form(type(record))
        form.show_record(record, dossier)
        is_location = isinstance(record, Location)
        settings = self._preferences.settings
        standing = ""
        if is_location:
            standing = standing_text(dossier, self._selection.day, settings)
        elif isinstance(record, Leg):
            standing = leg_words(dossier, record, self._selection.day, settings)
        self.notes.show_form(
            form,
            with_sources=is_location,
            with_ground=isinstance(record, VantagePoint | Leg),
            with_dates=isinstance(record, VantagePoint),
            with_photo=isinstance(record, VantagePoint),
            standing=standing,
        )

    def form(self, kind: type) -> RecordForm:
        """The form for a kind of record, made when it is first needed."""
        if kind not in self._forms:
            form = RecordForm(kind, self._library, self._preferences)
            form.echoed.connect(self.echoed)
            form.redrawAsked.connect(self.redrawAsked)
            self._forms[kind] = form
        return self._forms[kind]

    def turn_to(self, page: str) -> None:
        """Show a page by its name."""
        for i in range(self.tabs.count()):
            if self.tabs.tabText(i) == page:
                self.tabs.setCurrentIndex(i)

    def edit(self) -> None:
        """Bring the form forward, ready to type over the name."""
        self.turn_to(NOTES)
        self.refresh()
        kind = self._selection.record_kind
        if kind is not None and kind in FORMS:
            self.form(kind).focus_name()
        elif kind is Trip:
            self.trip_page.setFocus()

    def show_ground(self) -> None:
        """Bring what the elevation model says of the chosen record into sight."""
        self.turn_to(NOTES)
        self.refresh()
        self.notes.show_ground()

    def minimumSizeHint(self) -> QSize:
        """As narrow as the pages are, whichever way the heading stands."""
        wanted = super().minimumSizeHint()
        margins = self._heading.contentsMargins()
        tabs = self.tabs.sizeHint().width() + margins.left() + margins.right()
        return QSize(max(tabs, self.pages.minimumSizeHint().width()), wanted.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the tabs below the name where both do not fit beside each other."""
        super().resizeEvent(event)
        names = self.title.minimumSizeHint().width() + _LEAST_SUBTITLE_PX
        is_narrow = names + self.tabs.sizeHint().width() > self.width()
        across, down = (
            QBoxLayout.Direction.LeftToRight,
            QBoxLayout.Direction.TopToBottom,
        )
        self._heading.setDirection(down if is_narrow else across)
        self._heading.setSpacing(2 if is_narrow else 12)

    def finish(self) -> None:
        """End what is being typed as if the fields were left."""
        for form in self._forms.values():
            form.finish()
        self.trip_page.finish()
        if self._photo is not None:
            self._photo.finish()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take a picture for a vantage point; the window takes all else."""
        if self._photo is not None and self._photo.takes(event.mimeData()):
            event.acceptProposedAction()
        else:
            event.ignore()

    def dropEvent(self, event: QDropEvent) -> None:
        """Keep the picture with the vantage point that is shown."""
        if self._photo is not None and self._photo.takes(event.mimeData()):
            event.acceptProposedAction()
            self._photo.add_file(dropped_files(event.mimeData())[0])

    def _head(self, title: str, subtitle: str) -> None:
        self.title.setText(title)
        self.subtitle.setText(subtitle)

    def _lay_out(self) -> None:
        names = QHBoxLayout()
        names.setSpacing(12)
        names.addWidget(self.title)
        names.addWidget(self.subtitle, 1)
        head = self._heading
        head.setContentsMargins(16, 8, 10, 2)
        head.setSpacing(12)
        head.addLayout(names, 1)
        head.addWidget(self.tabs)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.pages, 1)
        self.setMinimumHeight(120)


class _NotesPage(QScrollArea):
    """The form of the chosen record, a trip's plan, or a hint what to do."""

    def __init__(
        self,
        trip_page: QWidget,
        sources: SourceList,
        ground: QWidget | None,
        dates: QWidget | None,
        photo: QWidget | None,
    ) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self._trip_page = trip_page
        self._sources = sources
        self._ground = ground or QWidget()
        self._dates = dates or QWidget()
        self._photo = photo or QWidget()
        self._hint = QLabel()
        self._hint.setWordWrap(True)
        self._hint.setProperty("soft", True)
        self._hint.setTextFormat(Qt.TextFormat.PlainText)
        self.standing = QLabel()  # what holds here on the chosen day
        self.standing.setWordWrap(True)
        self.standing.setTextFormat(Qt.TextFormat.PlainText)
        self.standing.setAccessibleName("What holds here on the chosen day")
        self.standing.setContentsMargins(0, 0, 0, 6)
        self._body = QWidget()
        self._column = QVBoxLayout(self._body)
        self._column.setContentsMargins(16, 6, 16, 12)
        self._column.addWidget(self._hint)
        self._column.addWidget(self.standing)
        self._column.addWidget(trip_page)
        self._column.addWidget(sources)
        self._column.addWidget(self._photo)
        self._column.addWidget(self._dates)
        self._column.addWidget(self._ground)
        self._column.addStretch(1)
        self._forms: list[RecordForm] = []
        self.setWidget(self._body)

    def say(self, hint: str) -> None:
        """Show nothing but a hint."""
        self._hint.setText(hint)
        self._show_only(self._hint)

    def show_trip(self) -> None:
        """Show the plan of the chosen trip."""
        self._show_only(self._trip_page)

    def show_form(
        self,
        form: RecordForm,
        *,
        with_sources: bool,
        with_ground: bool,
        with_dates: bool,
        with_photo: bool,
        standing: str = "",
    ) -> None:
        """Show a record's form, with what else belongs to it."""
        if form not in self._forms:
            self._forms.append(form)
            self._column.insertWidget(self._column.indexOf(self.standing) + 1, form)
        self.standing.setText(standing)
        above = [self.standing] if standing else []
        below: list[QWidget] = [self._sources] if with_sources else []
        below += [self._photo] if with_photo else []
        below += [self._dates] if with_dates else []
        below += [self._ground] if with_ground else []
        self._show_only(*above, form, *below)

    def show_ground(self) -> None:
        """Scroll down to it."""
        self._column.activate()
        self.ensureWidgetVisible(self._ground)

    def _show_only(self, *wanted: QWidget) -> None:
        own = (
            self._hint,
            self.standing,
            self._trip_page,
            self._sources,
            self._photo,
            self._dates,
            self._ground,
        )
        for widget in (*own, *self._forms):
            widget.setVisible(widget in wanted)
