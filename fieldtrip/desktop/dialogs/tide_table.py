"""The window in which a printed tide table is typed or pasted."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.desktop.content.tide_typing import (
    COLUMNS,
    EXPOSURES,
    UNITS,
    TideTyped,
    TideTypingContent,
    example_text,
    tide_typing_content,
    typed_from,
    zones_offered,
)
from fieldtrip.desktop.dialogs.draft import DialogDraft
from fieldtrip.desktop.dialogs.preview import Preview, fixed_font
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    LongTextField,
    NumberField,
    TextField,
    YesNoField,
    ZoneField,
)
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_text import zone_name
from fieldtrip.places.records import Location
from fieldtrip.tides.records import TideTable

_LONG_TEXT = 4000  # characters; a month of turns
_PAUSE_MS = 300


class TideTableDialog(QDialog):
    """Shows what is read while it is typed; stores only what is sound."""

    def __init__(
        self,
        library: Library,
        location: Location,
        preferences: Preferences,  # noqa: ARG002 (all such windows are made alike)
        *,
        table: TideTable | None = None,
    ) -> None:
        super().__init__()
        self._library = library
        self._location = location
        self._table = table
        self.owner_id = location.id if table is None else table.id
        self.content: TideTypingContent | None = None
        self.setWindowTitle(
            f"Tide table for {location.name}"
            if table is None
            else f"Tide table of {table.port}"
        )
        self.setModal(False)
        self.resize(900, 640)
        self._make_fields()
        self._lay_out()
        self._fill()
        self._check()

    def store(self) -> None:
        """Keep the table as one step of undo, and close."""
        self._check()
        made = None if self.content is None else self.content.table
        if made is None:
            return
        try:
            if self._table is None:
                self._library.add("add tide table", made)
            else:
                self._library.edit("change tide table", self._table, made)
        except UserError as error:
            self.preview.show_faults((str(error),))
            return
        self._draft.drop()
        self.accept()

    def discard(self) -> None:
        """Close, and forget what was typed."""
        self._draft.drop()
        super().reject()

    def reject(self) -> None:
        """Close; what was typed is offered when the window is opened again."""
        self._draft.keep()
        super().reject()

    def _make_fields(self) -> None:
        self.port = TextField("Port")
        self.zone = ZoneField(
            "Zone of its times", zones_offered(self._location.zone), zone_name
        )
        self.zone.setToolTip(
            "Many printed tables keep winter time all year: choose such a zone, "
            "as UTC or UTC+1, and not that of the place."
        )
        self.unit = ChoiceField("Unit of its heights", UNITS, empty="choose")
        self.year = NumberField("Year, if lines give none", whole=True)
        self.year.line.setPlaceholderText("")
        self.datum = TextField("Datum", "as the authority names it")
        self.source = TextField("Source", "authority and edition")
        self.exposure = ChoiceField("How open the port lies", EXPOSURES)
        self.distorted = YesNoField("Shallow or estuarine port")
        self.distorted.setToolTip("There the tide does not follow a smooth curve.")
        self.text = LongTextField("High and low waters", lines=12)
        self.preview = Preview(COLUMNS, "What is read")
        self.store_button = QPushButton("Store")
        self.store_button.setDefault(False)
        self.store_button.setAutoDefault(False)
        self.store_button.clicked.connect(self.store)
        self.discard_button = QPushButton("Discard")
        self.discard_button.setAutoDefault(False)
        self.discard_button.clicked.connect(self.discard)
        self.close_button = QPushButton("Close")
        self.close_button.setToolTip("What is typed is offered again next time.")
        self.close_button.setAutoDefault(False)
        self.close_button.clicked.connect(self.reject)

    def _fill(self) -> None:
        typed = TideTyped() if self._table is None else typed_from(self._table)
        self.port.set_value(typed.port)
        self.zone.set_value(typed.zone)
        self.unit.set_value(typed.unit or None)
        self.datum.set_value(typed.datum)
        self.source.set_value(typed.source)
        self.exposure.set_value(typed.exposure)
        self.distorted.set_value(typed.is_distorted)
        self.text.set_value(typed.text)
        names = (
            *("port", "zone", "unit", "year", "datum", "source"),
            *("exposure", "distorted", "text"),
        )
        self._draft = DialogDraft(
            self._library,
            self.owner_id,
            "tide table",
            dict(zip(names, self._fields(), strict=True)),
            self._tell,
        )
        self._draft.offer()
        # Nothing is stored by a choice here, so one by arrow key counts at once.
        for choice in (self.unit, self.exposure, self.distorted):
            choice.combo.activated.connect(self._check)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_PAUSE_MS)
        self._later.timeout.connect(self._check)
        self.text.typed.connect(self._check_soon)
        for field in self._fields():
            if field is not self.text:
                field.typed.connect(self._check)
            field.edited.connect(field.set_value)
            field.edited.connect(self._check)
            field.dropped.connect(self._check)

    def _tell(self, fault: str) -> None:
        self.preview.show_faults((fault,))

    def _fields(self) -> tuple[Field, ...]:
        return (
            self.port,
            self.zone,
            self.unit,
            self.year,
            self.datum,
            self.source,
            self.exposure,
            self.distorted,
            self.text,
        )

    def _check_soon(self, text: str) -> None:
        """Read at once, but a long table only after a pause in typing."""
        if len(text) < _LONG_TEXT:
            self._check()
            return
        self.store_button.setEnabled(False)
        self._later.start()

    def _check(self, *_: object) -> None:
        """Read everything anew and show it."""
        faults: list[str] = []
        zone = ""
        try:
            zone = self.zone.read() or ""
        except UserError as error:
            faults.append(str(error))
        year: int | None = None
        try:
            year = self.year.read()
        except UserError as error:
            faults.append(str(error))
        typed = TideTyped(
            port=self.port.read() or "",
            zone=zone,
            unit=self.unit.read() or "",
            year=year,
            datum=self.datum.read() or "",
            source=self.source.read() or "",
            exposure=self.exposure.read(),
            is_distorted=self.distorted.read(),
            text=self.text.read() or "",
        )
        content = tide_typing_content(typed, self._location.id, self._table)
        self.content = content
        self.preview.show_rows(content.rows, content.summary)
        self.preview.show_notes(content.notes)
        self.preview.show_faults((*faults, *content.faults))
        self.store_button.setEnabled(content.table is not None and not faults)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        places: tuple[tuple[Field, int, int, int], ...] = (
            (self.port, 0, 0, 2),
            (self.source, 0, 2, 2),
            (self.zone, 1, 0, 1),
            (self.unit, 1, 1, 1),
            (self.datum, 1, 2, 1),
            (self.year, 1, 3, 1),
            (self.exposure, 2, 0, 2),
            (self.distorted, 2, 2, 2),
        )
        for field, row, col, span in places:
            cell = labelled(field.accessibleName(), field)
            grid.addWidget(cell, row, col, 1, span, Qt.AlignmentFlag.AlignTop)
        for col in range(4):
            grid.setColumnStretch(col, 1)

        typing = QWidget()
        left = QVBoxLayout(typing)
        left.setContentsMargins(0, 0, 0, 0)
        hint = QLabel("One high or low water a line, or one day a line. For example:")
        example = QLabel(example_text())
        example.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        example.setFont(fixed_font())
        self.text.box.setFont(fixed_font())
        for label in (hint, example):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setProperty("soft", True)
            label.setWordWrap(True)
            left.addWidget(label)
        left.addWidget(self.text, 1)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(typing)
        split.addWidget(self.preview)

        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for button in (self.discard_button, self.close_button, self.store_button):
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 12, 16, 12)
        column.addLayout(grid)
        column.addWidget(split, 1)
        column.addLayout(buttons)
