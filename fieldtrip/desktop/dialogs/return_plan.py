"""The window with the text for whoever waits: read, copied, mailed, or a calendar."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
)

from fieldtrip.desktop.content.return_plan import (
    calendar_name,
    mail_link,
    return_calendar,
)
from fieldtrip.desktop.facts import plain_label
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.errors import UserError
from fieldtrip.exchange.outgoing import write_whole
from fieldtrip.reports.return_plan import ReturnPlan, return_plan
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip

_HINT = (
    "Give this to the person who waits for you. When they have it, tick “Someone told” "
    "on the Checks page."
)


class ReturnPlanDialog(QDialog):
    """Follows the trip as it is kept; a name of its own for what is not known."""

    def __init__(
        self,
        library: Library,
        trip: Trip,
        preferences: Preferences,
        *,
        now: Callable[[], datetime],
        open_url: Callable[[QUrl], bool] = QDesktopServices.openUrl,
    ) -> None:
        super().__init__()
        self._library, self._preferences, self._now = library, preferences, now
        self._open_url = open_url
        self._location_id = trip.location_id
        self.owner_id: UUID = trip.id
        self.plan: ReturnPlan | None = None
        self.setWindowTitle(f"Return plan, {trip.name}")
        self.setModal(False)
        self.resize(680, 640)
        self.text = QPlainTextEdit()
        self.text.setReadOnly(True)
        self.text.setAccessibleName("Return plan")
        self.missing, self.said = plain_label(), plain_label(soft=True)
        self.missing.setProperty("fault", True)
        self.copy = QPushButton("Copy")
        self.copy.setToolTip("Put the whole text on the clipboard.")
        self.mail = QPushButton("Mail…")
        self.mail.setToolTip("Open it as a message in your mail program.")
        self.save = QPushButton("Save for a calendar…")
        self.save.setToolTip(
            "A file that the contact opens; it rings on their own device."
        )
        close = QPushButton("Close")
        for button, act in (
            (self.copy, self.copy_text),
            (self.mail, self.mail_text),
            (self.save, self.save_calendar),
            (close, self.reject),
        ):
            button.setAutoDefault(False)
            button.clicked.connect(act)
        row = QHBoxLayout()
        for button in (self.copy, self.mail, self.save):
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(close)
        column = QVBoxLayout(self)
        hint = plain_label(soft=True)
        hint.setText(_HINT)
        column.addWidget(hint)
        column.addWidget(self.missing)
        column.addWidget(self.text, 1)
        column.addWidget(self.said)
        column.addLayout(row)
        library.changed.connect(self.refresh)
        preferences.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the plan of the trip as it is now; close where the trip is gone."""
        found = self._found()
        if found is None:
            self.reject()
            return
        try:
            plan = return_plan(*found, self._now(), self._preferences.settings)
        except UserError as error:
            self.plan = None
            self.text.setPlainText("")
            self.missing.setText(str(error))
            self._offer()
            return
        self.plan = plan
        if plan.text != self.text.toPlainText():
            self.text.setPlainText(plan.text)
        names = ", ".join(plan.missing)
        self.missing.setText(f"Not known, and must be: {names}." if names else "")
        self._offer()

    def copy_text(self) -> None:
        """Put the plan on the clipboard."""
        if self.plan is not None:
            QGuiApplication.clipboard().setText(self.plan.text)
            self.said.setText("Copied. Paste it into a message.")

    def mail_text(self) -> None:
        """Hand the plan to the system's mail program."""
        found = self._found()
        if self.plan is None or found is None:
            return
        try:
            link = mail_link(self.plan, found[1].contact)
        except UserError as error:
            self.said.setText(str(error))
            return
        url = QUrl.fromEncoded(link.encode("ascii"), QUrl.ParsingMode.StrictMode)
        if self._open_url(url):
            self.said.setText("Handed to your mail program: look it over, and send it.")
        else:
            self.said.setText(
                "No mail program answered. Copy the text, and paste it into a message."
            )

    def save_calendar(self) -> None:
        """Ask for a name, and write the calendar file there."""
        found = self._found()
        if found is None:
            return
        name, _ = QFileDialog.getSaveFileName(
            self, "Save for a calendar", calendar_name(found[1]), "Calendar (*.ics)"
        )
        if name:
            self.write_calendar(Path(name))

    def write_calendar(self, path: Path) -> None:
        """Write the calendar file, whole or not at all."""
        found = self._found()
        if self.plan is None or found is None:
            return
        try:
            write_whole(path, return_calendar(*found, self.plan, self._now()))
        except UserError as error:
            self.said.setText(str(error))
            return
        self.said.setText(f"Written to {path}. Send it to the contact, who opens it.")

    def _offer(self) -> None:
        for button in (self.copy, self.mail, self.save):
            button.setEnabled(self.plan is not None)
        self.missing.setVisible(bool(self.missing.text()))

    def _found(self) -> tuple[Dossier, Trip] | None:
        dossier = self._library.dossier(self._location_id)
        if dossier is None:
            return None
        trip = by_id(dossier.trips, self.owner_id)
        return None if trip is None else (dossier, trip)
