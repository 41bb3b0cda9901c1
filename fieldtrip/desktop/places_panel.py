"""The list of places and trips, with a search box."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from html import escape
from uuid import UUID

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import QFont, QKeySequence, QPainter, QShortcut
from PySide6.QtWidgets import (
    QLabel,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QTreeWidgetItemIterator,
    QVBoxLayout,
)

from fieldtrip.desktop.content.places import (
    Kept,
    PlaceRow,
    PlacesContent,
    places_content,
)
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.panel import Panel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Hazard,
    Leg,
    Location,
    Refuge,
    Subject,
    VantagePoint,
)
from fieldtrip.trips.records import Trip

_ROW = Qt.ItemDataRole.UserRole
_GAP_PX = 16  # between a name and its note, at least


class PlacesPanel(Panel):
    """Shows what the library holds; choosing a line chooses it for the window."""

    contextAsked = Signal(QPoint)  # on the screen; the line is already chosen
    removeAsked = Signal()
    editAsked = Signal()

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        today: Callable[[], date],
    ) -> None:
        super().__init__()
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._today = today
        self._is_filling = False
        self._closed: set[UUID] = set()  # what the user folded

        self.search = QLineEdit()
        self.search.setPlaceholderText("Search places and notes")
        self.search.setAccessibleName("Search places and notes")
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self.refresh)
        self.hint = QLabel()
        self.hint.setWordWrap(True)
        self.hint.setTextFormat(Qt.TextFormat.PlainText)
        self.hint.setProperty("soft", True)
        self.hint.setContentsMargins(4, 6, 4, 0)
        self.tree = _tree()
        self.tree.currentItemChanged.connect(self._choose)
        self.tree.itemCollapsed.connect(self._fold)
        self.tree.itemExpanded.connect(self._unfold)
        self.tree.itemActivated.connect(lambda *_: self.editAsked.emit())
        self.tree.customContextMenuRequested.connect(self._ask_context)
        delete = QShortcut(QKeySequence.StandardKey.Delete, self.tree)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.removeAsked)
        self.setMinimumWidth(150)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 10, 6, 6)
        layout.addWidget(self.search)
        layout.addWidget(self.hint)
        layout.addWidget(self.tree)
        self.follow(library.changed, preferences.changed, selection.changed)

    def refresh(self) -> None:
        """Read the records anew and keep what was folded and chosen."""
        store = self._library.store
        kept = Kept(
            locations=store.all(Location),
            vantage_points=store.all(VantagePoint),
            subjects=store.all(Subject),
            routes=store.all(AccessRoute),
            legs=store.all(Leg),
            refuges=store.all(Refuge),
            hazards=store.all(Hazard),
            notes=store.all(AccessNote),
            trips=store.all(Trip),
        )
        settings = self._preferences.settings
        query = self.search.text()
        self.show_content(places_content(kept, query, self._today(), settings))

    def show_content(self, content: PlacesContent) -> None:
        """Put the rows into the tree; decide nothing."""
        self._is_filling = True
        try:
            bar = self.tree.verticalScrollBar()
            place = bar.value()
            self.tree.clear()
            hints = (content.places_hint, content.trips_hint)
            self.hint.setText("\n".join(hint for hint in hints if hint))
            self.hint.setVisible(any(hints))
            self._add_part("PLACES", content.places)
            self._add_part("TRIPS", content.trips)
            self._mark_chosen()
            bar.setValue(place)
        finally:
            self._is_filling = False

    def items(self) -> Iterator[QTreeWidgetItem]:
        """Every line, from top to bottom."""
        walk = QTreeWidgetItemIterator(self.tree)
        while (item := walk.value()) is not None:
            yield item
            walk += 1

    def _add_part(self, title: str, rows: tuple[PlaceRow, ...]) -> None:
        if not rows:
            return
        heading = QTreeWidgetItem([title])
        heading.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 0.85)
        font.setLetterSpacing(QFont.SpacingType.AbsoluteSpacing, 1.2)
        font.setWeight(QFont.Weight.DemiBold)
        heading.setFont(0, font)
        heading.setForeground(0, self.palette().placeholderText())
        self.tree.addTopLevelItem(heading)
        for row in rows:
            item = self._item(row)
            font = item.font(0)
            font.setWeight(QFont.Weight.DemiBold)
            item.setFont(0, font)
            self.tree.addTopLevelItem(item)
            self._open(item)

    def _item(self, row: PlaceRow) -> QTreeWidgetItem:
        item = QTreeWidgetItem([row.text])
        item.setData(0, _ROW, row)
        item.setData(0, Qt.ItemDataRole.AccessibleTextRole, f"{row.text}, {row.note}")
        item.setToolTip(0, _plain(row.hint or row.text))
        for below in row.rows:
            item.addChild(self._item(below))
        return item

    def _open(self, item: QTreeWidgetItem) -> None:
        row: PlaceRow = item.data(0, _ROW)
        item.setExpanded(row.record_id not in self._closed)
        for i in range(item.childCount()):
            child = item.child(i)
            if child is not None:
                self._open(child)

    def _mark_chosen(self) -> None:
        wanted = self._selection.record_id
        for item in self.items():
            row: PlaceRow | None = item.data(0, _ROW)
            if row is not None and row.record_id == wanted:
                self.tree.setCurrentItem(item)
                return

    def _choose(self, item: QTreeWidgetItem | None) -> None:
        row: PlaceRow | None = None if item is None else item.data(0, _ROW)
        if self._is_filling or row is None:
            return
        self._selection.choose(row.record, row.location_id)

    def _fold(self, item: QTreeWidgetItem) -> None:
        if (row := item.data(0, _ROW)) and not self._is_filling:
            self._closed.add(row.record_id)

    def _unfold(self, item: QTreeWidgetItem) -> None:
        if (row := item.data(0, _ROW)) and not self._is_filling:
            self._closed.discard(row.record_id)

    def _ask_context(self, place: QPoint) -> None:
        item = self.tree.itemAt(place)
        if item is not None and item.data(0, _ROW) is not None:
            self.tree.setCurrentItem(item)
            self.contextAsked.emit(self.tree.viewport().mapToGlobal(place))


def _tree() -> QTreeWidget:
    tree = QTreeWidget()
    tree.setHeaderHidden(True)
    tree.setItemDelegate(_RowDelegate(tree))
    tree.setIndentation(14)
    tree.setUniformRowHeights(True)
    tree.setExpandsOnDoubleClick(False)
    tree.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
    tree.setAccessibleName("Places and trips")
    return tree


class _RowDelegate(QStyledItemDelegate):
    """Writes a row's note at the right, in what its name leaves free."""

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the name as usual, then the note."""
        super().paint(painter, option, index)
        row: PlaceRow | None = index.data(_ROW)
        if row is None or not row.note:
            return
        self.initStyleOption(option, index)
        small = QFont(option.font)
        small.setPointSizeF(small.pointSizeF() * 0.88)
        small.setWeight(QFont.Weight.Normal)
        taken = option.fontMetrics.horizontalAdvance(row.text) + _GAP_PX
        free = option.rect.adjusted(taken, 0, -6, 0)
        painter.save()
        painter.setFont(small)
        painter.setPen(option.palette.placeholderText().color())
        note = painter.fontMetrics().elidedText(
            row.note, Qt.TextElideMode.ElideRight, free.width()
        )
        if len(note) > 1:
            align = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(free, align, note)
        painter.restore()


def _plain(text: str) -> str:
    """A tool tip guesses whether its text is HTML; this one says so, and escapes it."""
    return f"<span>{escape(text)}</span>"
