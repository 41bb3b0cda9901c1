"""The tree of places and trips: a location is filled when it is first opened."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from uuid import UUID

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QDrag,
    QFont,
    QKeyEvent,
    QMouseEvent,
    QPainter,
)
from PySide6.QtWidgets import (
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QTreeWidgetItemIterator,
)

from fieldtrip.desktop.charts.strip_drag import spot_data
from fieldtrip.desktop.content.places import PlaceRow, by_name
from fieldtrip.desktop.tips import plain_tip
from fieldtrip.places.records import VantagePoint

_ROW = Qt.ItemDataRole.UserRole
_CTRL = Qt.KeyboardModifier.ControlModifier
_SHIFT = Qt.KeyboardModifier.ShiftModifier
_WASH = 70  # of 255: how much of the highlight's colour a line gets that is chosen too
_GAP_PX = 16  # between a name and its note, at least
_Indicator = QTreeWidgetItem.ChildIndicatorPolicy
_Key = tuple[str, str, UUID]


class PlacesTree(QTreeWidget):
    """Shows rows, and changes only the lines of what was edited."""

    rowChosen = Signal(object)  # PlaceRow
    morePicked = Signal(tuple)  # record ids, chosen with Ctrl or Shift
    contextAsked = Signal(QPoint)  # on the screen; the line is already chosen

    def __init__(self, below: Callable[[UUID], Sequence[PlaceRow]]) -> None:
        super().__init__()
        self._below = below  # the rows of a location by its id
        self._is_filling = False
        self._is_lazy = False
        self._opens_all = True
        self._closed: set[UUID] = set()  # what the user folded
        self._opened: set[UUID] = set()  # and unfolded
        self._order: list[_Key] = []  # of the locations, as they stand
        self._items: dict[UUID, QTreeWidgetItem] = {}  # by record
        self._filled: dict[UUID, list[UUID]] = {}  # what stands below a location
        self._picked: frozenset[UUID] = frozenset()
        self._reached: UUID | None = None  # by Shift with an arrow
        self.setDragEnabled(True)
        self.setHeaderHidden(True)
        self.setItemDelegate(_RowDelegate(self))
        self.setIndentation(14)
        self.setUniformRowHeights(True)
        self.setExpandsOnDoubleClick(False)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.setAccessibleName("Places and trips")
        self.currentItemChanged.connect(self._choose)
        self.itemCollapsed.connect(self._fold)
        self.itemExpanded.connect(self._unfold)
        self.customContextMenuRequested.connect(self._ask_context)

    def show_all(
        self,
        locations: Sequence[PlaceRow],
        trips: Sequence[PlaceRow],
        *,
        opens_all: bool,
    ) -> None:
        """Show every location, open or to be opened, and every trip."""
        with self._filling():
            self._forget_all()
            self._is_lazy, self._opens_all = True, opens_all
            self._add_heading("PLACES", bool(locations))
            for row in locations:
                self._order.append(by_name(row.record))
                self.addTopLevelItem(self._location_item(row))
                self._open_if_wanted(row.record_id)
            self._add_trips(trips)

    def show_found(self, places: Sequence[PlaceRow], trips: Sequence[PlaceRow]) -> None:
        """Show what was found, all of it open."""
        with self._filling():
            self._forget_all()
            self._is_lazy = False
            self._add_heading("PLACES", bool(places))
            for row in places:
                item = self._item(row)
                item.setFont(0, self._bold())
                self.addTopLevelItem(item)
                self._expand_below(item, heeds_folds=False)
            self._add_trips(trips)

    def put_location(self, row: PlaceRow) -> None:
        """Show a new location, or an edited one, in its place by name."""
        with self._filling():
            item = self._items.get(row.record_id)
            key = by_name(row.record)
            if item is not None and _row_of(item).record.name == row.record.name:
                _write(item, row)
            else:
                self._take_location(row.record_id)
                insort(self._order, key)
                place = 1 + bisect_left(self._order, key)
                self.insertTopLevelItem(place, self._location_item(row))
            self._open_if_wanted(row.record_id)
            self._renew_below(row.record_id)

    def remove_location(self, location_id: UUID) -> None:
        """Take a location away with all below it."""
        with self._filling():
            self._take_location(location_id)

    def put_trips(self, trips: Sequence[PlaceRow]) -> None:
        """Show these trips in place of those that stand there."""
        with self._filling():
            while self.topLevelItemCount() > self._trips_start():
                item = self.takeTopLevelItem(self.topLevelItemCount() - 1)
                if item is not None and (row := item.data(0, _ROW)) is not None:
                    self._items.pop(row.record_id, None)
            self._add_trips(trips)

    def mark(self, record_id: UUID | None, location_id: UUID | None) -> None:
        """Show which record is chosen, opening its location for it."""
        with self._filling():
            if (
                self._is_lazy
                and record_id not in self._items
                and location_id in self._items
                and location_id not in self._filled
            ):
                self._fill(location_id)
                if record_id in self._items:
                    self._opened.add(location_id)
                    self._items[location_id].setExpanded(True)
        item = self._items.get(record_id) if record_id else None
        if item is self.currentItem():
            return
        self._is_filling = True  # it is chosen already
        if item is None:
            self.setCurrentIndex(QModelIndex())
        else:
            self.setCurrentItem(item)
        self._is_filling = False

    def mark_picked(self, picked: frozenset[UUID]) -> None:
        """Show which records are chosen together."""
        wash = QColor(self.palette().highlight().color())
        wash.setAlpha(_WASH)
        for record_id in self._picked | picked:
            item = self._items.get(record_id)
            if item is None:
                continue
            is_picked = record_id in picked
            item.setBackground(0, QBrush(wash) if is_picked else QBrush())
            said = "chosen together with others" if is_picked else ""
            item.setData(0, Qt.ItemDataRole.AccessibleDescriptionRole, said)
        self._picked = picked

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """With Ctrl a line is chosen too, or let go; with Shift all up to it."""
        held = event.modifiers() & (_CTRL | _SHIFT)
        item = self.itemAt(event.position().toPoint())
        if event.button() is not Qt.MouseButton.LeftButton or not held or item is None:
            super().mousePressEvent(event)
            return
        self._pick(self._up_to(item) if held & _SHIFT else [item])
        event.accept()

    def startDrag(self, _actions: Qt.DropAction) -> None:
        """Only vantage points can be taken along: to the plan of the day strip."""
        item = self.currentItem()
        row: PlaceRow | None = None if item is None else item.data(0, _ROW)
        if row is not None and isinstance(row.record, VantagePoint):
            drag = QDrag(self)
            drag.setMimeData(spot_data(row.record_id))
            drag.exec(Qt.DropAction.CopyAction)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Shift with up or down chooses the next line too."""
        key, current = event.key(), self._last_picked()
        is_step = key in (Qt.Key.Key_Up, Qt.Key.Key_Down)
        if current is None or not is_step or event.modifiers() & _SHIFT != _SHIFT:
            super().keyPressEvent(event)
            return
        beside = (
            self.itemAbove(current) if key == Qt.Key.Key_Up else self.itemBelow(current)
        )
        if beside is not None:
            self._pick([beside])
            row: PlaceRow | None = beside.data(0, _ROW)
            self._reached = row.record_id if row else self._reached
        event.accept()

    @property
    def has_locations(self) -> bool:
        """Whether any location is listed, while all are."""
        return bool(self._order)

    @property
    def has_trips(self) -> bool:
        """Whether any trip is listed, while all are."""
        return self.topLevelItemCount() > self._trips_start()

    def items(self) -> Iterator[QTreeWidgetItem]:
        """Every line, from top to bottom, as far as it is filled."""
        walk = QTreeWidgetItemIterator(self)
        while (item := walk.value()) is not None:
            yield item
            walk += 1

    def texts(self) -> list[str]:
        """The names on all lines, headings too."""
        return [item.text(0) for item in self.items()]

    # Filling

    @contextmanager
    def _filling(self) -> Iterator[None]:
        """Lines change without anything being chosen or folded by that."""
        was_filling, self._is_filling = self._is_filling, True
        bar = self.verticalScrollBar()
        place = bar.value()
        try:
            yield
        finally:
            self._is_filling = was_filling
        bar.setValue(place)

    def _forget_all(self) -> None:
        self.clear()
        self._order.clear()
        self._items.clear()
        self._filled.clear()

    def _add_heading(self, title: str, is_wanted: bool) -> None:
        if not is_wanted:
            return
        heading = QTreeWidgetItem([title])
        heading.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 0.85)
        font.setLetterSpacing(QFont.SpacingType.AbsoluteSpacing, 1.2)
        font.setWeight(QFont.Weight.DemiBold)
        heading.setFont(0, font)
        heading.setForeground(0, self.palette().placeholderText())
        self.addTopLevelItem(heading)

    def _add_trips(self, trips: Sequence[PlaceRow]) -> None:
        self._add_heading("TRIPS", bool(trips))
        for row in trips:
            item = self._item(row)
            item.setFont(0, self._bold())
            self.addTopLevelItem(item)

    def _trips_start(self) -> int:
        return len(self._order) + (1 if self._order else 0)

    def _location_item(self, row: PlaceRow) -> QTreeWidgetItem:
        item = self._item(row)
        item.setFont(0, self._bold())
        item.setChildIndicatorPolicy(_Indicator.ShowIndicator)
        return item

    def _item(self, row: PlaceRow) -> QTreeWidgetItem:
        item = QTreeWidgetItem()
        _write(item, row)
        self._items[row.record_id] = item
        for below in row.rows:
            item.addChild(self._item(below))
        return item

    def _bold(self) -> QFont:
        font = QFont(self.font())
        font.setWeight(QFont.Weight.DemiBold)
        return font

    def _take_location(self, location_id: UUID) -> None:
        item = self._items.pop(location_id, None)
        if item is None:
            return
        for record_id in self._filled.pop(location_id, ()):
            self._items.pop(record_id, None)
        place = self.indexOfTopLevelItem(item)
        self.takeTopLevelItem(place)
        del self._order[place - 1]

    def _fill(self, location_id: UUID) -> None:
        item = self._items[location_id]
        rows = self._below(location_id)
        for row in rows:
            item.addChild(self._item(row))
        self._filled[location_id] = [
            found.record_id for row in rows for found in (row, *row.rows)
        ]
        item.setChildIndicatorPolicy(_Indicator.DontShowIndicatorWhenChildless)
        for i in range(item.childCount()):
            self._expand_below(item.child(i))

    def _renew_below(self, location_id: UUID) -> None:
        if location_id not in self._filled:
            return
        for record_id in self._filled.pop(location_id):
            self._items.pop(record_id, None)
        self._items[location_id].takeChildren()
        self._fill(location_id)

    def _open_if_wanted(self, location_id: UUID) -> None:
        is_folded = location_id in self._closed
        if location_id in self._opened or (self._opens_all and not is_folded):
            if location_id not in self._filled:
                self._fill(location_id)
            self._items[location_id].setExpanded(True)

    def _expand_below(
        self, item: QTreeWidgetItem | None, *, heeds_folds: bool = True
    ) -> None:
        if item is None or not item.childCount():
            return
        is_folded = _row_of(item).record_id in self._closed
        item.setExpanded(not (heeds_folds and is_folded))
        for i in range(item.childCount()):
            self._expand_below(item.child(i), heeds_folds=heeds_folds)

    # What the user does

    def _pick(self, items: Sequence[QTreeWidgetItem]) -> None:
        rows: list[PlaceRow | None] = [item.data(0, _ROW) for item in items]
        ids = tuple(row.record_id for row in rows if row is not None)
        if ids:
            self.morePicked.emit(ids)

    def _up_to(self, item: QTreeWidgetItem) -> list[QTreeWidgetItem]:
        """The lines between the current one and this one that are not picked yet."""
        shown = [one for one in self.items() if not self.visualItemRect(one).isEmpty()]
        current = self.currentItem()
        if current not in shown or item not in shown:
            return [item]
        low, high = sorted((shown.index(current), shown.index(item)))
        return [
            one
            for one in shown[low : high + 1]
            if (row := one.data(0, _ROW)) is None or row.record_id not in self._picked
        ]

    def _last_picked(self) -> QTreeWidgetItem | None:
        """Where Shift with an arrow goes on from."""
        reached = self._items.get(self._reached) if self._reached else None
        return reached if self._picked and reached else self.currentItem()

    def _choose(self, item: QTreeWidgetItem | None) -> None:
        row: PlaceRow | None = None if item is None else item.data(0, _ROW)
        if not self._is_filling and row is not None:
            self.rowChosen.emit(row)

    def _fold(self, item: QTreeWidgetItem) -> None:
        if (row := item.data(0, _ROW)) and not self._is_filling and self._is_lazy:
            self._closed.add(row.record_id)
            self._opened.discard(row.record_id)

    def _unfold(self, item: QTreeWidgetItem) -> None:
        row: PlaceRow | None = item.data(0, _ROW)
        if row is None or self._is_filling or not self._is_lazy:
            return
        self._closed.discard(row.record_id)
        self._opened.add(row.record_id)
        is_location = row.record_id == row.location_id
        if is_location and row.record_id not in self._filled:
            with self._filling():
                self._fill(row.record_id)

    def _ask_context(self, place: QPoint) -> None:
        item = self.itemAt(place)
        if item is not None and item.data(0, _ROW) is not None:
            self.setCurrentItem(item)
            self.contextAsked.emit(self.viewport().mapToGlobal(place))


def _row_of(item: QTreeWidgetItem) -> PlaceRow:
    row: PlaceRow = item.data(0, _ROW)
    return row


def _write(item: QTreeWidgetItem, row: PlaceRow) -> None:
    item.setText(0, row.text)
    item.setData(0, _ROW, row)
    spoken = f"{row.text}, {row.note}" if row.note else row.text
    item.setData(0, Qt.ItemDataRole.AccessibleTextRole, spoken)
    item.setToolTip(0, plain_tip(row.hint or row.text))


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
