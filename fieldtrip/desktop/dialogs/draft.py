"""What is typed in a window and not stored yet, kept whole for the next time."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from uuid import UUID

from PySide6.QtCore import QObject, QTimer

from fieldtrip.desktop.editing import DRAFT_DELAY_MS
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    LongTextField,
    TextField,
    ZoneField,
)
from fieldtrip.desktop.library import Library
from fieldtrip.errors import UserError


class DialogDraft(QObject):
    """Every field of a window as one draft, since each says what the others mean.

    Hours without the day that was chosen for them would be those of another day.
    """

    def __init__(
        self,
        library: Library,
        owner_id: UUID,
        name: str,
        fields: Mapping[str, Field],
        tell: Callable[[str], None],
    ) -> None:
        super().__init__(next(iter(fields.values())))  # ends with them
        self._library = library
        self._key = (owner_id, name)
        self._fields = dict(fields)
        self._tell = tell
        self._untouched = self._texts()
        self._is_noted = False
        self._is_over = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(DRAFT_DELAY_MS)
        self._timer.timeout.connect(self.keep)
        for field in self._fields.values():
            field.typed.connect(self._note)
            field.edited.connect(self._note)
            field.dropped.connect(self._note)
            field.hidden.connect(self.keep)
            if isinstance(field, ChoiceField):
                field.combo.activated.connect(self._note)

    def offer(self) -> None:
        """Put what was typed before into the fields."""
        kept = self._library.store.drafts().get(self._key)
        if kept is None:
            return
        for name, text in json.loads(kept).items():
            if name in self._fields:
                self._fields[name].restore(text)

    def keep(self) -> None:
        """Save what is being typed, now."""
        self._timer.stop()
        if not self._is_noted or self._is_over:
            return
        self._is_noted = False
        texts = self._texts()
        store = self._library.store
        try:
            if texts == self._untouched:
                store.drop_draft(*self._key)
            else:
                store.keep_draft(*self._key, json.dumps(texts, ensure_ascii=False))
        except UserError as error:
            self._tell(str(error))

    def drop(self) -> None:
        """Forget it, since it is stored or given up; nothing is kept from then on."""
        self._timer.stop()
        self._is_over = True
        try:
            self._library.store.drop_draft(*self._key)
        except UserError as error:  # a library that is open for reading only
            self._tell(str(error))

    def _note(self, *_: object) -> None:
        self._is_noted = True
        self._timer.start()

    def _texts(self) -> dict[str, str]:
        return {name: _text_of(field) for name, field in self._fields.items()}


def _text_of(field: Field) -> str:
    """What stands in a field, sound or not."""
    match field:
        case ChoiceField() | ZoneField():
            return field.combo.currentText()
        case LongTextField():
            return field.box.toPlainText()
        case TextField():
            return field.line.text()
    raise TypeError(f"no text in a {type(field).__name__}")
