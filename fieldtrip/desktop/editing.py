"""Binds fields to one record: finished edits are stored, unfinished ones kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from fieldtrip.desktop.fields import Field
from fieldtrip.desktop.library import Library
from fieldtrip.errors import UserError
from fieldtrip.store.changes import Change

MakeChanges = Callable[[Any, Any], Sequence[Change]]  # of a record and a new value
DRAFT_DELAY_MS = 300


@dataclass(frozen=True, slots=True)
class _Bound:
    field: Field
    step: str
    changes: MakeChanges


class RecordEditor(QObject):
    """Shows one record in fields; each finished edit is one step of undo.

    An edit that the library refuses is said under its field and stays typed.
    What is being typed is kept as a draft, and offered when the record is
    shown again.
    """

    def __init__(
        self,
        library: Library,
        parent: QObject | None = None,
        delay_ms: int = DRAFT_DELAY_MS,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._record: Any = None
        self._bound: dict[str, _Bound] = {}
        self._unsaved: dict[str, str] = {}
        self._refused: set[str] = set()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(delay_ms)
        self._timer.timeout.connect(self.keep_drafts)

    @property
    def record(self) -> Any:
        """The record as it was last shown, or None."""
        return self._record

    def bind(
        self,
        attribute: str,
        field: Field,
        step: str,
        changes: MakeChanges | None = None,
    ) -> None:
        """Let a field show and edit an attribute.

        `step` names the edit in the Edit menu: "change the name".  `changes`
        makes the changes where more than the attribute itself must follow.
        """

        def replaced(record: Any, value: Any) -> Sequence[Change]:
            return [Change(record, replace(record, **{attribute: value}))]

        self._bound[attribute] = _Bound(field, step, changes or replaced)
        field.edited.connect(lambda value: self._store(attribute, value))
        field.typed.connect(lambda text: self._note(attribute, text))
        field.dropped.connect(lambda: self._drop(attribute))
        field.hidden.connect(self.keep_drafts)

    def show(self, record: Any) -> None:
        """Show a record; what is being typed into the same one stays."""
        is_same = (
            record is not None
            and self._record is not None
            and record.id == self._record.id
        )
        if not is_same:
            self.keep_drafts()
            self._refused.clear()
        self._record = record
        for attribute, bound in self._bound.items():
            value = None if record is None else getattr(record, attribute)
            bound.field.set_value(value, keep_typing=is_same)
        if record is not None and not is_same:
            self._offer_drafts(record.id)

    def finish(self) -> bool:
        """End editing in every field; False where a fault remains."""
        finished = [bound.field.finish() for bound in self._bound.values()]
        return all(finished)  # of a list: each field is asked, and says its fault

    def keep_drafts(self) -> None:
        """Save what is being typed, now."""
        self._timer.stop()
        unsaved, self._unsaved = self._unsaved, {}
        if self._record is None:
            return
        for attribute, text in unsaved.items():
            try:
                self._library.store.keep_draft(self._record.id, attribute, text)
            except UserError as error:
                self._bound[attribute].field.show_fault(str(error))

    def _offer_drafts(self, record_id: UUID) -> None:
        for (owner, attribute), text in self._library.store.drafts().items():
            if owner == record_id and attribute in self._bound:
                self._bound[attribute].field.restore(text)

    def _note(self, attribute: str, text: str) -> None:
        self._unsaved[attribute] = text
        self._timer.start()

    def _store(self, attribute: str, value: Any) -> None:
        if self._record is None:
            return
        bound = self._bound[attribute]
        try:
            self._library.change(bound.step, bound.changes(self._record, value))
        except UserError as error:
            bound.field.show_fault(str(error))
            self._refused.add(attribute)
            return
        self._refused.discard(attribute)
        self._drop(attribute)
        self.show(self._library.get(type(self._record), self._record.id))
        for other in tuple(self._refused):  # what stood in its way may be gone
            self._bound[other].field.finish()

    def _drop(self, attribute: str) -> None:
        self._unsaved.pop(attribute, None)
        if self._record is None:
            return
        try:
            self._library.store.drop_draft(self._record.id, attribute)
        except UserError as error:  # a library that is open for reading only
            self._bound[attribute].field.show_fault(str(error))


class TextDraft(QObject):
    """Keeps what is typed into one field that no record has yet."""

    def __init__(
        self,
        library: Library,
        field: Field,
        owner_id: UUID,
        name: str,
        delay_ms: int = DRAFT_DELAY_MS,
    ) -> None:
        super().__init__(field)
        self._library = library
        self._field = field
        self._key = (owner_id, name)
        self._unsaved: str | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(delay_ms)
        self._timer.timeout.connect(self.keep)
        field.typed.connect(self._note)
        field.dropped.connect(self.drop)
        field.hidden.connect(self.keep)

    def offer(self) -> bool:
        """Put what was typed before into the field; False where nothing was."""
        text = self._library.store.drafts().get(self._key)
        if text is None:
            return False
        self._field.restore(text)
        return True

    def keep(self) -> None:
        """Save what is being typed, now."""
        self._timer.stop()
        if self._unsaved is None:
            return
        text, self._unsaved = self._unsaved, None
        try:
            self._library.store.keep_draft(*self._key, text)
        except UserError as error:
            self._field.show_fault(str(error))

    def drop(self) -> None:
        """Forget it, since it is stored or given up."""
        self._timer.stop()
        self._unsaved = None
        try:
            self._library.store.drop_draft(*self._key)
        except UserError as error:  # a library that is open for reading only
            self._field.show_fault(str(error))

    def _note(self, text: str) -> None:
        self._unsaved = text
        self._timer.start()


def labelled(name: str, field: Field) -> QWidget:
    """A field under its name, which leads to it with Alt and the marked letter."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(2)
    label = QLabel(name)
    label.setProperty("soft", True)
    label.setBuddy(field)
    column.addWidget(label)
    column.addWidget(field)
    column.setAlignment(Qt.AlignmentFlag.AlignTop)
    return holder
