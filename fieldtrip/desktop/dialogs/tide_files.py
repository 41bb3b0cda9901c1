"""The window in which tide files come in: looked at first, then stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.tide_import import (
    Answers,
    TideImportContent,
    facts_of,
    find_curve,
    first_answers,
    tide_import_content,
)
from fieldtrip.desktop.content.tide_import_words import TIMED_COLUMNS
from fieldtrip.desktop.content.tide_opening import (
    Becomes,
    Opened,
    hint,
    open_files,
    said,
    unsaid,
)
from fieldtrip.desktop.content.tide_typing import EXPOSURES, UNITS, zones_offered
from fieldtrip.desktop.dialogs.preview import Preview
from fieldtrip.desktop.dialogs.tide_columns import TideColumnsBox
from fieldtrip.desktop.editing import labelled
from fieldtrip.desktop.fields import (
    ChoiceField,
    Field,
    NumberField,
    TextField,
    YesNoField,
    ZoneField,
)
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_columns import columns_of
from fieldtrip.exchange.tide_files_in import SUFFIXES
from fieldtrip.exchange.tide_text import zone_name
from fieldtrip.places.records import Location
from fieldtrip.store.changes import Change
from fieldtrip.tides.fit import Fit
from fieldtrip.tides.records import TideTable
from fieldtrip.tides.stations import Station

FILE_FILTER = (
    f"Tide files ({' '.join(f'*{suffix}' for suffix in SUFFIXES)});;All files (*)"
)
_PAUSE_MS = 250
_MOST_REMEMBERED = 50  # layouts of tables
Key = tuple[str, str]  # zone and unit: what a curve depends on besides the files
_UNITS = (*UNITS, ("mm", "millimetres (mm)"))


class TideFilesDialog(QDialog):
    """Reads in the background; asks what the files do not say; stores as one step."""

    told = Signal(str)  # a sentence for the status line

    def __init__(
        self,
        library: Library,
        location: Location,
        preferences: Preferences,
        jobs: Jobs,
        paths: Sequence[Path] = (),
    ) -> None:
        super().__init__()
        self._library = library
        self._location_id = location.id
        self._preferences = preferences
        self._jobs = jobs
        # Names of its own: a second such window does not end what this one reads.
        self._reading, self._judging, self._fitting = (
            f"{what} {id(self)}" for what in ("read tides", "judge tides", "fit tides")
        )
        self._paths: tuple[Path, ...] = ()
        self._opened = Opened()
        self._fit: tuple[Key, Fit] | None = None
        self._shown: Answers | None = None  # those of the content in sight
        self.content = TideImportContent()
        self.setWindowTitle(f"Tide files for {location.name}")
        self.setModal(False)
        self.resize(960, 680)
        self._make_fields(location)
        self._make_rest()
        self._lay_out()
        self._show_opened(Opened())
        if paths:
            self.open(paths)

    @property
    def owner_id(self) -> UUID:
        """The location for which files come in."""
        return self._location_id

    def ask_files(self) -> None:
        """Ask which files to read."""
        names, _ = QFileDialog.getOpenFileNames(
            self, "Choose tide files of one port", "", FILE_FILTER
        )
        if names:
            self.open([Path(name) for name in names])

    def open(self, paths: Sequence[Path]) -> None:  # type: ignore[override]
        """Read files in the background."""
        self._paths = tuple(paths)
        self._read()

    def find_curve(self) -> None:
        """Find the curve of a year or more in the background."""
        facts = facts_of(self.answers())
        self._show_busy("Finding the curve…")
        self._jobs.start(
            self._fitting,
            find_curve,
            self._opened,
            facts,
            done=lambda fit: self._take_fit((facts.zone, facts.unit), fit),
            failed=self._refuse,
        )

    def stop(self) -> None:
        """End what is running; nothing of it is kept."""
        for job in (self._reading, self._judging, self._fitting):
            self._jobs.cancel(job)
        self._show_idle()
        self._check_soon()

    def store(self) -> None:
        """Keep the table or the station as one step of undo, and close."""
        made = self.content.made
        if made is None or self._shown != self.answers():
            return
        try:
            if isinstance(made, TideTable):
                self._library.add("add tide table", made)
            else:
                self._store_station(made)
        except UserError as error:
            self.preview.show_faults((str(error),))
            return
        what = "table" if isinstance(made, TideTable) else "station"
        self.told.emit(f"The tide {what} is in the library; Undo takes it out again.")
        self.accept()

    def done(self, result: int) -> None:
        """Close, and end what is running."""
        for job in (self._reading, self._judging, self._fitting):
            self._jobs.cancel(job)
        self._later.stop()
        super().done(result)

    def answers(self) -> Answers:
        """What stands in the fields."""

        def read(field: Field) -> object:
            try:
                return field.read()
            except UserError:
                return None

        z0_m = read(self.z0)
        return Answers(
            port=str(read(self.port) or ""),
            zone=str(read(self.zone) or "") if self.zone.isEnabled() else "",
            unit=str(read(self.unit) or "") if self.unit.isEnabled() else "",
            datum=str(read(self.datum) or "") if self.datum.isEnabled() else "",
            source=str(read(self.source) or ""),
            z0_m=z0_m if isinstance(z0_m, float) else None,
            exposure=self.exposure.read(),
            is_distorted=self.distorted.read(),
            becomes=self.becomes.read(),
            is_right=self.right.isChecked() and self.right.isVisibleTo(self),
        )

    # Making

    def _make_fields(self, location: Location) -> None:
        self.port = TextField("Port")
        self.source = TextField("Source", "authority and edition")
        self.zone = ZoneField(
            "Zone of its times", zones_offered(location.zone), zone_name
        )
        self.unit = ChoiceField("Unit of its heights", _UNITS, empty="choose")
        self.datum = TextField("Datum", "as the authority names it")
        self.z0 = NumberField("Mean sea level above the datum", "m")
        self.exposure = ChoiceField("How open the port lies", EXPOSURES)
        self.distorted = YesNoField("Shallow or estuarine port")
        self.distorted.setToolTip("There the tide does not follow a smooth curve.")
        self.becomes = ChoiceField("It becomes", (), empty="choose")
        for field in self._fields():
            field.typed.connect(self._check_soon)
            field.edited.connect(field.set_value)
            field.edited.connect(self._check_soon)
            field.dropped.connect(self._check_soon)

    def _fields(self) -> tuple[Field, ...]:
        return (
            self.port, self.source, self.zone, self.unit, self.datum, self.z0,
            self.exposure, self.distorted, self.becomes,
        )  # fmt: skip

    def _make_rest(self) -> None:
        self.files = QLabel()
        self.files.setTextFormat(Qt.TextFormat.PlainText)
        self.files.setWordWrap(True)
        self.hint = QLabel()
        self.hint.setProperty("soft", True)
        self.hint.setWordWrap(True)
        self.columns = TideColumnsBox()
        self.columns.settled.connect(self._remember)
        self.preview = Preview(TIMED_COLUMNS, "What is read")
        self.right = QCheckBox("It is right as read")
        self.right.toggled.connect(self._check_soon)
        self.busy, self.progress = QLabel(), QProgressBar()
        self.progress.setTextVisible(False)
        self.progress.setRange(0, 0)  # how long it takes is not known beforehand
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_PAUSE_MS)
        self._later.timeout.connect(self._check)
        self.choose_button = self._button("Choose files…", self.ask_files)
        self.columns_button = self._button("Columns…", self._ask_columns)
        self.fit_button = self._button("Find the curve", self.find_curve)
        self.stop_button = self._button("Stop", self.stop)
        self.close_button = self._button("Close", self.reject)
        self.store_button = self._button("Store", self.store)

    def _button(self, text: str, pressed: object) -> QPushButton:
        made = QPushButton(text)
        made.setAutoDefault(False)
        made.clicked.connect(lambda: pressed())  # type: ignore[operator]
        return made

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 12, 16, 12)
        top = QHBoxLayout()
        top.addWidget(self.files, 1)
        top.addWidget(self.columns_button)
        top.addWidget(self.choose_button)
        column.addLayout(top)
        column.addWidget(self.columns)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        self._cells = {}
        for field, row, col, span in (
            (self.port, 0, 0, 2), (self.source, 0, 2, 2),
            (self.zone, 1, 0, 1), (self.unit, 1, 1, 1), (self.datum, 1, 2, 1),
            (self.z0, 1, 3, 1), (self.becomes, 2, 0, 2), (self.exposure, 2, 2, 1),
            (self.distorted, 2, 3, 1),
        ):  # fmt: skip
            cell = labelled(field.accessibleName(), field)
            self._cells[field] = cell
            grid.addWidget(cell, row, col, 1, span, Qt.AlignmentFlag.AlignTop)
        for col in range(4):
            grid.setColumnStretch(col, 1)
        column.addLayout(grid)
        column.addWidget(self.hint)
        column.addWidget(self.preview, 1)
        column.addWidget(self.right)
        running = QHBoxLayout()
        running.addWidget(self.busy)
        running.addWidget(self.progress, 1)
        running.addWidget(self.stop_button)
        column.addLayout(running)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for button in (self.fit_button, self.close_button, self.store_button):
            buttons.addWidget(button)
        column.addLayout(buttons)

    # Reading

    def _read(self) -> None:
        self._fit = None
        self._show_busy("Reading…")
        self._jobs.start(
            self._reading,
            open_files,
            self._paths,
            dict(self._preferences.settings.tide_columns),
            done=self._show_opened,
            failed=self._refuse,
            progressed=lambda _: None,
        )

    def _show_opened(self, opened: Opened) -> None:
        """Show what the files say, and leave the rest to be typed."""
        self._opened = opened
        names = ", ".join(path.name for path in self._paths)
        self.files.setText(names or "Choose the files of one port.")
        self.columns_button.setVisible(bool(opened.tables) and not opened.unsettled)
        self.columns.setVisible(bool(opened.unsettled))
        if opened.unsettled:
            self.columns.show_table(opened.unsettled[0].table, None)
        stated, questions = said(opened), unsaid(opened)
        for fact, field in (
            ("zone", self.zone),
            ("unit", self.unit),
            ("datum", self.datum),
        ):
            if fact in stated:
                field.set_value(stated[fact])
            elif not field.isEnabled():
                field.set_value(None if field is self.unit else "")
            field.setEnabled(fact not in stated)
            field.setToolTip("The file says so." if fact in stated else "")
        first = first_answers(opened)
        if first.port:
            self.port.set_value(first.port)
        if first.source:
            self.source.set_value(first.source)
        self._cells[self.z0].setVisible("z0" in questions)
        is_timed = not opened.files or opened.files[0].is_timed
        self._cells[self.zone].setVisible(is_timed)
        self.hint.setText(hint(opened))
        self.hint.setVisible(bool(self.hint.text()))
        self.becomes.set_choices([])
        self.becomes.set_value(first.becomes)
        self.right.setChecked(False)
        self._show_idle()
        self._check()

    def _ask_columns(self) -> None:
        """Say once more which column holds what."""
        table = self._opened.tables[0].table
        kept = dict(self._preferences.settings.tide_columns).get(table.heading)
        self.columns.show_table(table, None if kept is None else columns_of(kept))
        self.columns.show()

    def _remember(self, heading: str, columns: str) -> None:
        """Keep the columns of a heading, and read again."""
        settings = self._preferences.settings
        others = [pair for pair in settings.tide_columns if pair[0] != heading]
        kept = (*others, (heading, columns))[-_MOST_REMEMBERED:]
        self._preferences.settings = replace(settings, tide_columns=kept)
        self._read()

    # Judging

    def _check_soon(self, *_: object) -> None:
        self._shown = None
        self.store_button.setEnabled(False)
        self._later.start()

    def _check(self) -> None:
        """Judge everything anew in the background, and show it."""
        dossier = self._library.dossier(self._location_id)
        if dossier is None:
            self.preview.show_faults(("This location is no longer in the library.",))
            return
        answers = self.answers()
        key = (answers.zone, answers.unit)
        fit = self._fit[1] if self._fit and self._fit[0] == key else None
        self._shown = None
        self.store_button.setEnabled(False)
        self._jobs.start(
            self._judging,
            tide_import_content,
            self._opened,
            answers,
            dossier,
            fit,
            done=lambda content: self._show(answers, content),
            failed=self._refuse,
        )

    def _show(self, answers: Answers, content: TideImportContent) -> None:
        if content.doubts != self.content.doubts and self.right.isChecked():
            self.right.setChecked(False)  # that was about other questions
        self.content, self._shown = content, answers
        self.preview.table.setHorizontalHeaderLabels(list(content.columns))
        self.preview.show_rows(content.rows, content.summary)
        self.preview.show_notes((*content.notes, *content.doubts))
        self.preview.show_faults(content.faults)
        self.right.setVisible(bool(content.doubts))
        if content.choices:
            self.becomes.set_choices([(each, str(each)) for each in content.choices])
        is_idle = not self.stop_button.isVisibleTo(self)
        self.fit_button.setVisible(Becomes.FIT in content.choices)
        self.fit_button.setEnabled(content.can_fit and is_idle)
        self.store_button.setEnabled(content.made is not None and is_idle)

    def _take_fit(self, key: Key, fit: Fit) -> None:
        self._fit = key, fit
        self._show_idle()
        self._check()

    def _refuse(self, error: Exception) -> None:
        self._show_idle()
        if not isinstance(error, UserError):
            raise error
        self.preview.show_faults((str(error),))

    def _show_busy(self, words: str) -> None:
        self.busy.setText(words)
        for widget in (self.busy, self.progress, self.stop_button):
            widget.show()
        for button in (self.fit_button, self.store_button):
            button.setEnabled(False)

    def _show_idle(self) -> None:
        for widget in (self.busy, self.progress, self.stop_button):
            widget.hide()

    def _store_station(self, station: Station) -> None:
        location = self._library.get(Location, self._location_id)
        if location is None:
            raise UserError("This location is no longer in the library.")
        self._library.change(
            "add tide station",
            [
                Change(None, station),
                Change(location, replace(location, station_id=station.id)),
            ],
        )
