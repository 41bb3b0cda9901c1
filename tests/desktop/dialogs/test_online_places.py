"""The window of the online place search: asks when told to, and shows what comes."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.online_places import OnlinePlacesDialog
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.online_places import COPYRIGHT, SERVICE, TERMS, OnlinePlace
from fieldtrip.errors import UserError
from fieldtrip.geo import Position

COVE = OnlinePlace("Merrow Cove, <b>Outer</b> Isles", Position(49.6034, -8.4012))
HOLM = OnlinePlace("Far Holm", Position(49.7, -8.5))


class Finder:
    """Stands in for the service."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.answer: tuple[OnlinePlace, ...] | UserError = (COVE, HOLM)

    def __call__(self, text: str) -> tuple[OnlinePlace, ...]:
        """What was set, or the error that was."""
        self.asked.append(text)
        if isinstance(self.answer, UserError):
            raise self.answer
        return self.answer


@pytest.fixture
def finder() -> Finder:
    return Finder()


@pytest.fixture
def dialog(finder: Finder, qtbot: QtBot) -> Iterator[OnlinePlacesDialog]:
    jobs = Jobs()
    dialog = OnlinePlacesDialog(jobs, finder)
    qtbot.addWidget(dialog)
    dialog.show()
    yield dialog
    jobs.stop()


def search(dialog: OnlinePlacesDialog, text: str, qtbot: QtBot) -> None:
    dialog.line.setText(text)
    dialog.ask.click()
    qtbot.waitUntil(dialog.ask.isEnabled)


def test_nothing_is_sent_while_one_types(
    dialog: OnlinePlacesDialog, finder: Finder, qtbot: QtBot
) -> None:
    dialog.line.insert("cove")
    assert finder.asked == []

    dialog.ask.click()

    qtbot.waitUntil(dialog.ask.isEnabled)
    assert finder.asked == ["cove"]


def test_what_is_found_is_listed_as_text(
    dialog: OnlinePlacesDialog, qtbot: QtBot
) -> None:
    search(dialog, "cove", qtbot)

    assert dialog.status.text() == "2 places found."
    first = dialog.list.item(0)
    assert first is not None
    assert first.text().startswith("Merrow Cove, <b>Outer</b> Isles\n49°")


def test_a_place_is_shown_or_made_a_location(
    dialog: OnlinePlacesDialog, qtbot: QtBot
) -> None:
    search(dialog, "cove", qtbot)

    dialog.list.setCurrentRow(1)
    with qtbot.waitSignal(dialog.goAsked) as went:
        dialog.go.click()
    assert went.args == [HOLM.position]
    assert dialog.isVisible()
    with qtbot.waitSignal(dialog.locationAsked) as made:
        dialog.make.click()
    assert made.args == [HOLM]
    assert not dialog.isVisible()


def test_without_a_find_there_is_nothing_to_press(
    dialog: OnlinePlacesDialog, finder: Finder, qtbot: QtBot
) -> None:
    search(dialog, "cove", qtbot)
    finder.answer = ()

    search(dialog, "nowhere", qtbot)

    assert "No place of that name" in dialog.status.text()
    assert not dialog.go.isEnabled()
    assert not dialog.make.isEnabled()


def test_what_went_wrong_is_said_and_can_be_tried_again(
    dialog: OnlinePlacesDialog, finder: Finder, qtbot: QtBot
) -> None:
    finder.answer = UserError("It cannot be reached.")
    search(dialog, "cove", qtbot)
    assert dialog.status.text() == "It cannot be reached."
    assert dialog.status.property("fault")

    finder.answer = (COVE,)
    search(dialog, "cove", qtbot)

    assert dialog.status.text() == "1 place found."
    assert not dialog.status.property("fault")


def test_the_service_its_terms_and_its_makers_are_named(
    dialog: OnlinePlacesDialog,
) -> None:
    assert TERMS in dialog.terms.text()
    assert COPYRIGHT in dialog.terms.text()
    assert dialog.terms.openExternalLinks()
    assert all(link.startswith("https://") for link in (TERMS, COPYRIGHT))
    assert SERVICE.endswith("openstreetmap.org")
