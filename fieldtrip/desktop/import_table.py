"""The table in which one ticks what comes in, as what, and under which name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from fieldtrip.desktop.content.incoming import (
    COLUMNS,
    Row,
    Target,
    done_text,
    texts,
    with_kind,
    with_name,
)
from fieldtrip.exchange.found import PlaceKind
from fieldtrip.settings import Settings

NAME, KIND, TWIN = 0, 1, 2
THUMBNAIL_PX = 40
_Index = QModelIndex | QPersistentModelIndex
_ROLE = Qt.ItemDataRole


class ImportModel(QAbstractTableModel):
    """Rows that can be ticked, named, and turned into other kinds."""

    edited = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows: tuple[Row, ...] = ()
        self._target: Target | None = None
        self._settings = Settings()
        self._pictures: dict[bytes, QPixmap] = {}

    def show_rows(
        self, rows: Sequence[Row], target: Target | None, settings: Settings
    ) -> None:
        """Put other rows in place of all that are there."""
        self.beginResetModel()
        self.rows, self._target, self._settings = tuple(rows), target, settings
        self._pictures.clear()
        self.endResetModel()

    def tick_all(self, is_taken: bool) -> None:
        """Take in everything, or nothing."""
        self.rows = tuple(replace(row, is_taken=is_taken) for row in self.rows)
        self._told(0, len(self.rows) - 1)

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008
        """One for each thing."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008
        """The same for all."""
        return 0 if parent.isValid() else len(COLUMNS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = _ROLE.DisplayRole
    ) -> Any:
        """Words above the columns."""
        if role == _ROLE.DisplayRole and orientation == Qt.Orientation.Horizontal:
            return COLUMNS[section]
        return None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Names are typed, kinds and twins chosen, and every row is ticked."""
        flags = super().flags(index)
        if not index.isValid():
            return flags
        row = self.rows[index.row()]
        if index.column() == NAME:
            flags |= Qt.ItemFlag.ItemIsUserCheckable | Qt.ItemFlag.ItemIsEditable
        if index.column() == KIND and len(row.proposal.kinds) > 1:
            flags |= Qt.ItemFlag.ItemIsEditable
        if index.column() == TWIN and row.twin is not None:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: _Index, role: int = _ROLE.DisplayRole) -> Any:
        """What a cell shows."""
        if not index.isValid():
            return None
        row = self.rows[index.row()]
        if role == _ROLE.CheckStateRole and index.column() == NAME:
            taken = Qt.CheckState.Checked if row.is_taken else Qt.CheckState.Unchecked
            return int(taken.value)
        if role == _ROLE.DecorationRole and index.column() == NAME:
            return self._picture(row)
        if role in (_ROLE.DisplayRole, _ROLE.EditRole):
            return texts(row, self._settings)[index.column()]
        if role == _ROLE.ToolTipRole:
            return row.proposal.place.notes[:500] or None
        return None

    def setData(self, index: _Index, value: Any, role: int = _ROLE.EditRole) -> bool:
        """Take a tick, a name, a kind, or what becomes of a twin."""
        if not index.isValid() or self._target is None:
            return False
        row = self.rows[index.row()]
        if role == _ROLE.CheckStateRole and index.column() == NAME:
            state = value.value if isinstance(value, Qt.CheckState) else value
            new = replace(row, is_taken=state == Qt.CheckState.Checked.value)
        elif role != _ROLE.EditRole:
            return False
        elif index.column() == NAME:
            new = with_name(row, str(value).strip(), self._target)
        elif index.column() == KIND and value in row.proposal.kinds:
            new = with_kind(row, PlaceKind(value), self._target)
        elif index.column() == TWIN and isinstance(value, bool):
            new = replace(row, is_merged=value)
        else:
            return False
        self.rows = (*self.rows[: index.row()], new, *self.rows[index.row() + 1 :])
        self._told(index.row(), index.row())
        return True

    def _told(self, first: int, last: int) -> None:
        if last >= first:
            self.dataChanged.emit(
                self.index(first, 0), self.index(last, len(COLUMNS) - 1)
            )
        self.edited.emit()

    def _picture(self, row: Row) -> QPixmap | None:
        photo = row.proposal.place.photo
        if photo is None or not photo.thumbnail:
            return None
        if photo.thumbnail not in self._pictures:
            picture = QPixmap()
            picture.loadFromData(photo.thumbnail)
            self._pictures[photo.thumbnail] = picture.scaled(
                THUMBNAIL_PX,
                THUMBNAIL_PX,
                Qt.AspectRatioMode.KeepAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
        return self._pictures[photo.thumbnail]


class _ChoiceDelegate(QStyledItemDelegate):
    """Chooses one of a few words."""

    def __init__(
        self,
        choices: Callable[[Row], Sequence[tuple[Any, str]]],
        now: Callable[[Row], Any],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._choices = choices
        self._now = now

    def createEditor(
        self, parent: QWidget, _option: QStyleOptionViewItem, index: _Index
    ) -> QWidget:
        combo = QComboBox(parent)
        row = _row(index)
        for value, text in self._choices(row):
            combo.addItem(text, value)
        combo.setCurrentIndex(
            [value for value, _ in self._choices(row)].index(self._now(row))
        )
        combo.activated.connect(lambda _: self._finish(combo))
        return combo

    def setEditorData(self, _editor: QWidget, _index: _Index) -> None:
        """It was made with the row's value."""

    def setModelData(
        self, editor: QWidget, model: QAbstractItemModel, index: _Index
    ) -> None:
        assert isinstance(editor, QComboBox)
        choices = self._choices(_row(index))
        # Not by itemData: Qt would give a word of an enumeration back as a text.
        value, _ = choices[editor.currentIndex()]
        model.setData(index, value, _ROLE.EditRole)

    def _finish(self, combo: QComboBox) -> None:
        self.commitData.emit(combo)
        self.closeEditor.emit(combo)


class ImportTable(QTableView):
    """The model in a view that needs no mouse."""

    def __init__(self) -> None:
        super().__init__()
        self.choices = ImportModel(self)
        self.setModel(self.choices)
        self.setAccessibleName("What the files hold")
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.SelectedClicked
        )
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(
            QHeaderView.ResizeMode.ResizeToContents
        )
        header = self.horizontalHeader()
        header.setStretchLastSection(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        for column, width_px in enumerate((220, 130, 230, 220)):
            self.setColumnWidth(column, width_px)
        self.setItemDelegateForColumn(
            KIND,
            _ChoiceDelegate(
                lambda row: [(kind, str(kind)) for kind in row.proposal.kinds],
                lambda row: row.kind,
                self,
            ),
        )
        self.setItemDelegateForColumn(
            TWIN,
            _ChoiceDelegate(
                lambda _: [(True, done_text(True)), (False, done_text(False))],
                lambda row: row.is_merged,
                self,
            ),
        )


def _row(index: _Index) -> Row:
    model = index.model()
    assert isinstance(model, ImportModel)
    return model.rows[index.row()]
