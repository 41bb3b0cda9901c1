"""The lines of the trip page: one stop, one walk."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.trip import StopRow, TripContent, WalkRow
from fieldtrip.desktop.editing import RecordEditor
from fieldtrip.desktop.fields import ChoiceField, Field, TextField, TimeField
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.theme import Theme
from fieldtrip.desktop.tips import plain_tip
from fieldtrip.store.changes import Change
from fieldtrip.trips.records import Walk

_A_DAY = date(2000, 1, 1)  # until a trip is shown
_BUTTON_WIDTH = 30
_GAP = 6
_DIRECTIONS = ((False, "as drawn"), (True, "the other way"))


class _Line(QWidget):
    """Fields side by side, each under its column's name, a remark below them."""

    removeAsked = Signal()

    def __init__(self, library: Library) -> None:
        super().__init__()
        self.editor = RecordEditor(library, self)
        self.remark = QLabel()
        self.remark.setWordWrap(True)
        self.remark.setTextFormat(Qt.TextFormat.PlainText)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 2)
        column.setSpacing(2)
        self.cells = QHBoxLayout()
        self.cells.setSpacing(_GAP)
        column.addLayout(self.cells)
        column.addWidget(self.remark)
        self.remove = self._button("✕", self.removeAsked.emit)
        self._add_key("Ctrl+Del", self.removeAsked.emit)

    def set_theme(self, theme: Theme) -> None:
        """Give the remark the colour of a caution."""
        self.remark.setStyleSheet(f"color: {theme.caution}")

    def add_below(self, widget: QWidget) -> None:
        """Place something under the fields, above the remark."""
        layout = self.layout()
        if isinstance(layout, QVBoxLayout):
            layout.insertWidget(layout.count() - 1, widget)

    def chain(self) -> list[QWidget]:
        """What Tab goes through, in order."""
        widgets: list[QWidget] = []
        for i in range(self.cells.count()):
            item = self.cells.itemAt(i)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widgets.append(widget.focusProxy() or widget)
        return [w for w in widgets if w.focusPolicy() & Qt.FocusPolicy.TabFocus]

    def _put(self, field: Field, stretch: int) -> None:
        _share(field)
        self.cells.addWidget(field, stretch, Qt.AlignmentFlag.AlignTop)

    def _put_time(self, field: TimeField) -> None:
        field.setFixedWidth(_time_width(field))
        self.cells.addWidget(field, 0, Qt.AlignmentFlag.AlignTop)

    def _put_buttons(self, *buttons: QToolButton) -> None:
        for button in buttons:
            button.setFixedWidth(_BUTTON_WIDTH)
            self.cells.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)

    def _button(self, sign: str, act: Callable[[], None]) -> QToolButton:
        button = QToolButton()
        button.setText(sign)
        button.clicked.connect(act)
        return button

    def _add_key(self, key: str, act: Callable[[], None]) -> None:
        shortcut = QShortcut(QKeySequence(key), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(act)

    @staticmethod
    def _name(button: QToolButton, words: str, key: str) -> None:
        button.setAccessibleName(words)
        button.setToolTip(f"{words} ({key})")


class StopLine(_Line):
    """Edits one stop."""

    moveAsked = Signal(int)  # by so many places
    wantsAsked = Signal()  # to say what the stop is for

    def __init__(self, library: Library) -> None:
        super().__init__(library)
        self.number = QLabel()
        self.number.setFixedWidth(_number_width(self))
        self.number.setContentsMargins(0, 5, 0, 0)
        self.vantage_point = ChoiceField("Vantage point", empty="no longer there")
        self.subject = ChoiceField("Subject", empty="no longer there")
        self.arrive = TimeField("Arrive", _A_DAY, "UTC", allow_empty=False)
        self.leave = TimeField("Leave", _A_DAY, "UTC", allow_empty=False)
        self.wanted = TextField("Wanted light or water")
        self.wants = self._button("…", self.wantsAsked.emit)
        self._add_key("Ctrl+Return", self.wantsAsked.emit)
        self.earlier = self._button("↑", lambda: self.moveAsked.emit(-1))
        self.later = self._button("↓", lambda: self.moveAsked.emit(1))
        self._add_key("Alt+Up", lambda: self.moveAsked.emit(-1))
        self._add_key("Alt+Down", lambda: self.moveAsked.emit(1))

        self.cells.addWidget(self.number, 0, Qt.AlignmentFlag.AlignTop)
        self._put(self.vantage_point, 3)
        self._put(self.subject, 3)
        self._put_time(self.arrive)
        self._put_time(self.leave)
        self._put(self.wanted, 3)
        self._put_buttons(self.wants, self.earlier, self.later, self.remove)

        self.needs = QLabel()
        self.needs.setProperty("soft", True)
        self.needs.setWordWrap(True)
        self.needs.setTextFormat(Qt.TextFormat.PlainText)
        self.needs.setContentsMargins(_number_width(self) + _GAP, 0, 0, 0)
        self.add_below(self.needs)

        bind = self.editor.bind
        bind("vantage_point_id", self.vantage_point, "change where a stop is")
        bind("subject_id", self.subject, "change the subject of a stop")
        bind("arrive", self.arrive, "change when a stop is reached")
        bind("leave", self.leave, "change when a stop is left")
        bind("wanted", self.wanted, "change what a stop is for")

    def show_row(self, row: StopRow, content: TripContent) -> None:
        """Put the stop into the fields."""
        self.number.setText(row.number)
        self.vantage_point.set_choices(content.vantage_points)
        self.subject.set_choices(content.subjects)
        for field in (self.arrive, self.leave):
            field.set_day(content.trip.day, content.zone)
        self.remark.setText(row.remark)
        self.remark.setVisible(bool(row.remark))
        self.needs.setText(row.needs)
        self.needs.setVisible(bool(row.needs))
        stop = f"stop {row.number}"
        names: dict[Field, str] = {
            self.vantage_point: f"Vantage point of {stop}",
            self.subject: f"Subject of {stop}",
            self.arrive: f"Arrive at {stop}",
            self.leave: f"Leave {stop}",
            self.wanted: f"Wanted at {stop}",
        }
        for named, name in names.items():
            named.setAccessibleName(name)
        self._name(self.wants, f"What {stop} needs, and how long", "Ctrl+Return")
        self._name(self.earlier, f"Move {stop} up", "Alt+Up")
        self._name(self.later, f"Move {stop} down", "Alt+Down")
        self._name(self.remove, f"Remove {stop}", "Ctrl+Del")
        self.earlier.setEnabled(row.stop.number > 1)
        self.later.setEnabled(row.stop.number < len(content.stops))
        self.editor.show(row.stop)


class WalkLine(_Line):
    """Edits one walk."""

    ruleAsked = Signal()  # finish when the walking rule says

    def __init__(self, library: Library) -> None:
        super().__init__(library)
        self.leg = ChoiceField("Leg", empty="no longer there")
        self.direction = ChoiceField("Direction", _DIRECTIONS)
        self.start = TimeField("Start", _A_DAY, "UTC", allow_empty=False)
        self.finish = TimeField("Finish", _A_DAY, "UTC", allow_empty=False)
        self.rule = QLabel()
        self.rule.setProperty("soft", True)
        self.rule.setWordWrap(True)
        self.use_rule = QPushButton("Use")
        self.use_rule.clicked.connect(lambda: self.ruleAsked.emit())

        self._put(self.leg, 4)
        self.direction.setFixedWidth(_direction_width(self))
        self.cells.addWidget(self.direction, 0, Qt.AlignmentFlag.AlignTop)
        self._put_time(self.start)
        self._put_time(self.finish)
        _share(self.rule)
        self.cells.addWidget(self.rule, 4)
        self.use_rule.setFixedWidth(_rule_width(self))
        self.cells.addWidget(self.use_rule, 0, Qt.AlignmentFlag.AlignTop)
        self._put_buttons(self.remove)

        bind = self.editor.bind
        bind("leg_id", self.leg, "change what is walked")
        bind("is_reversed", self.direction, "change the direction of a walk")
        bind("start", self.start, "change when a walk starts", _started)
        bind("finish", self.finish, "change when a walk ends")

    def show_row(self, row: WalkRow, content: TripContent) -> None:
        """Put the walk into the fields."""
        self.leg.set_choices(content.legs)
        for field in (self.start, self.finish):
            field.set_day(content.trip.day, content.zone)
        self.rule.setText(row.rule)
        self.remark.setText(row.remark)
        self.remark.setVisible(bool(row.remark))
        self.use_rule.setEnabled(row.rule_finish not in (None, row.walk.finish))
        self.use_rule.setText(row.use_rule or "Use")
        self.use_rule.setToolTip("Let the walk take as long as the walking rule says.")
        self.use_rule.setAccessibleName(f"{row.use_rule}: {row.rule}")
        self._name(self.remove, "Remove this walk", "Ctrl+Del")
        self.editor.show(row.walk)
        self.leg.setToolTip(plain_tip(self.leg.combo.currentText()))  # where it is cut


def stop_columns() -> QWidget:
    """The names of the columns above the stops."""
    return _columns(
        lambda w: [
            ("", 0, _number_width(w)),
            ("Vantage point", 3, 0),
            ("Subject", 3, 0),
            ("Arrive", 0, _time_width(w)),
            ("Leave", 0, _time_width(w)),
            ("Wanted light or water", 3, 0),
            ("", 0, 4 * _BUTTON_WIDTH + 3 * _GAP),
        ]
    )


def walk_columns() -> QWidget:
    """The names of the columns above the walks."""
    return _columns(
        lambda w: [
            ("Leg", 4, 0),
            ("Direction", 0, _direction_width(w)),
            ("Start", 0, _time_width(w)),
            ("Finish", 0, _time_width(w)),
            ("", 4, 0),
            ("", 0, _rule_width(w)),
            ("", 0, _BUTTON_WIDTH),
        ]
    )


def _columns(names: Callable[[QWidget], list[tuple[str, int, int]]]) -> QWidget:
    """Labels with the stretch or the width of the cells below them."""
    head = QWidget()
    row = QHBoxLayout(head)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(_GAP)
    for name, stretch, width in names(head):
        label = QLabel(name)
        label.setProperty("soft", True)
        if width:
            label.setFixedWidth(width)
        else:
            _share(label)
        row.addWidget(label, stretch)
    return head


def _share(widget: QWidget) -> None:
    """Let the stretch alone say how wide a cell is."""
    widget.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)


def _number_width(widget: QWidget) -> int:
    return widget.fontMetrics().horizontalAdvance("000")


def _time_width(widget: QWidget) -> int:
    return widget.fontMetrics().horizontalAdvance("00:00 second +1")


def _rule_width(widget: QWidget) -> int:
    return widget.fontMetrics().horizontalAdvance("Use 10 h 00 min") + 28


def _direction_width(widget: QWidget) -> int:
    """Room for the longest direction, and for the arrow of its list."""
    longest = max((words for _, words in _DIRECTIONS), key=len)
    return widget.fontMetrics().horizontalAdvance(longest) + 44


def _started(walk: Walk, start: datetime) -> Sequence[Change]:
    """A walk that starts at another time takes as long as before."""
    later: timedelta = start - walk.start
    return [Change(walk, replace(walk, start=start, finish=walk.finish + later))]
