"""The window of the return plan: copied, mailed, and written for a calendar."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QUrl
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.return_plan import ReturnPlanDialog
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from tests.safety import story
from tests.safety.story import CLEAR, LEG, LOCATION, NOW, REFUGE, ROUTE, VANTAGE

# Of the day around the walks nothing is said yet.
TRIP = replace(
    story.TRIP,
    start_place_id=None,
    wake=None,
    drive_out_min=None,
    drive_back_min=None,
    kit_up_min=None,
    alarm_with="",
)


class Mailer:
    """Stands for the system's mail program."""

    def __init__(self) -> None:
        self.opened: list[QUrl] = []
        self.answers = True

    def __call__(self, url: QUrl) -> bool:
        """Take a link, or have no program for it."""
        self.opened.append(url)
        return self.answers


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", LOCATION, VANTAGE, REFUGE, ROUTE, LEG, TRIP)
    library.add("set the scene", *CLEAR.stops, *CLEAR.walks)
    return library


@pytest.fixture
def mailer() -> Mailer:
    return Mailer()


@pytest.fixture
def dialog(library: Library, mailer: Mailer, qtbot: QtBot) -> ReturnPlanDialog:
    dialog = ReturnPlanDialog(
        library, TRIP, Preferences(Settings()), now=lambda: NOW, open_url=mailer
    )
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def test_what_must_be_known_and_is_not_stands_on_top(dialog: ReturnPlanDialog) -> None:
    assert dialog.missing.text() == "Not known, and must be: Car, Alarm with."
    assert "Car: not known" in dialog.text.toPlainText()


def test_an_edit_of_the_trip_is_followed(
    dialog: ReturnPlanDialog, library: Library
) -> None:
    library.edit("say", TRIP, replace(TRIP, car="Blue van", alarm_with="Coastguard"))

    assert not dialog.missing.isVisible()
    assert "Car: Blue van" in dialog.text.toPlainText()


def test_the_plan_is_copied(dialog: ReturnPlanDialog) -> None:
    dialog.copy.click()

    assert QGuiApplication.clipboard().text() == dialog.text.toPlainText()
    assert dialog.said.text().startswith("Copied")


def test_the_plan_is_handed_to_the_mail_program(
    dialog: ReturnPlanDialog, mailer: Mailer
) -> None:
    dialog.mail.click()

    (url,) = mailer.opened
    assert url.scheme() == "mailto"
    assert dialog.said.text().startswith("Handed to your mail program")

    mailer.answers = False
    dialog.mail.click()
    assert dialog.said.text().startswith("No mail program answered")


def test_the_calendar_file_is_written_whole(
    dialog: ReturnPlanDialog, tmp_path: Path
) -> None:
    path = tmp_path / "return.ics"

    dialog.write_calendar(path)

    assert path.read_bytes().startswith(b"BEGIN:VCALENDAR")
    assert str(path) in dialog.said.text()


def test_a_folder_that_is_not_there_is_said_in_words(
    dialog: ReturnPlanDialog, tmp_path: Path
) -> None:
    dialog.write_calendar(tmp_path / "nowhere" / "return.ics")

    assert "could not be written" in dialog.said.text()


def test_it_closes_with_its_trip(dialog: ReturnPlanDialog, library: Library) -> None:
    library.remove("remove trip", TRIP)

    assert not dialog.isVisible()
